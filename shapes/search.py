"""The greatest value of a continuous function on a line or a square, by a scan made ever finer."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from shapes.moments import Array

_LINE = 200  # points of the first scan
_STARTS = 6  # of the best that are looked at closely
_FINER = 9  # points across each
_ROUNDS = 24


def highest(value: Callable[[Array], Array]) -> float:
    """Over t in [0, 1], shape (n,) to shape (n,)."""
    t = np.linspace(0.0, 1.0, _LINE + 1)
    found = value(t)
    beyond = np.concatenate([[-np.inf], found, [-np.inf]])
    peaks = np.nonzero((found >= beyond[:-2]) & (found >= beyond[2:]))[0]
    peaks = peaks[np.argsort(-found[peaks], kind="stable")[:_STARTS]]
    centre, reach = t[peaks], 1.0 / _LINE
    offsets = np.linspace(-1.0, 1.0, _FINER)
    best = float(found.max())
    for _ in range(_ROUNDS):
        near = np.clip(centre[:, None] + reach * offsets, 0.0, 1.0)
        values = value(near.ravel()).reshape(near.shape)
        top = values.argmax(axis=1)
        centre = near[np.arange(len(near)), top]
        best = max(best, float(values.max()))
        reach /= 3.0
    return best


def highest_of_square(value: Callable[[Array, Array], Array], steps: int) -> float:
    """Over (u, v) in [0, 1]^2, both shape (n,), scanned first at so many steps a side."""
    side = np.linspace(0.0, 1.0, steps + 1)
    u, v = (grid.ravel() for grid in np.meshgrid(side, side, indexing="ij"))
    found = value(u, v)
    grid = np.pad(found.reshape(steps + 1, steps + 1), 1, constant_values=-np.inf)
    inner = grid[1:-1, 1:-1]
    around = [
        grid[1 + i : steps + 2 + i, 1 + j : steps + 2 + j]
        for i in (-1, 0, 1)
        for j in (-1, 0, 1)
        if (i, j) != (0, 0)
    ]
    peaks = np.nonzero(np.all([inner >= a for a in around], axis=0).ravel())[0]
    peaks = peaks[np.argsort(-found[peaks], kind="stable")[:_STARTS]]
    at_u, at_v, reach = u[peaks], v[peaks], 1.0 / steps
    du, dv = (g.ravel() for g in np.meshgrid(*[np.linspace(-1.0, 1.0, _FINER)] * 2))
    best = float(found.max())
    for _ in range(_ROUNDS):
        near_u = np.clip(at_u[:, None] + reach * du, 0.0, 1.0)
        near_v = np.clip(at_v[:, None] + reach * dv, 0.0, 1.0)
        values = value(near_u.ravel(), near_v.ravel()).reshape(near_u.shape)
        top = values.argmax(axis=1)
        rows = np.arange(len(top))
        at_u, at_v = near_u[rows, top], near_v[rows, top]
        best = max(best, float(values.max()))
        reach /= 2.5
    return best
