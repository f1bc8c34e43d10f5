"""Balls of which none is better in everything: what is left when figures are sought together."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from pipeline.wanted import Aim
from shapes.moments import Array, Mask


def on_front(costs: Array) -> Mask:
    """Which rows no other row beats: at most as much in every column, and less in one.

    Rows are taken in the order of their first cost, so that only those kept so far can beat one.

    Args:
        costs: shape (n, m), to be made small; rows with NaN are never on the front.

    >>> on_front(np.array([[1.0, 4.0], [2.0, 2.0], [3.0, 3.0], [4.0, 1.0]])).tolist()
    [True, True, False, True]
    """
    found = np.zeros(len(costs), dtype=bool)
    order = np.lexsort(costs.T[::-1])
    kept = np.empty((0, costs.shape[1]))
    for k in order:
        row = costs[k]
        if not np.isfinite(row).all():
            continue
        beaten = ((kept <= row).all(axis=1) & (kept < row).any(axis=1)).any()
        if not beaten:
            found[k] = True
            kept = np.vstack([kept, row])
    return found


def costs_of(aims: Sequence[Aim], figures: dict[str, Array]) -> Array:
    """What is sought, each to be made small, shape (n, m)."""
    return np.column_stack([figures[a.figure] * (1.0 if a.seek == "least" else -1.0) for a in aims])
