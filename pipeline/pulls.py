"""Why a fit ended where it did: what each number does, what binds, which aims pull apart."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pipeline.climb import Search, shares_at
from pipeline.fit import Solution
from pipeline.target import SLACK, Scored, Target
from pipeline.wanted import AIMED, Varied
from shapes.moments import Array

_STEPS = {"in": 0.01, "mm": 0.1, "cm": 0.01, "g/cm3": 0.01, "g/mL": 0.01, "deg": 1.0, "lb": 0.1}
_AT_END = 1e-4  # share of a range: what is written may be that far off its end
_BINDS = 2.0 * SLACK  # of an entry's scale
_PARTED = -0.5  # cosine of two pulls that work against each other
_COUNTS = 0.02  # of the strongest pull: weaker ones say nothing


@dataclass(frozen=True, eq=False)
class Sensitivity:
    """What a number does.

    Attributes:
        varied: the number.
        step: by how much it grows, in its own unit.
        changes: of the figures by name, in their own units (in, lb, oz); None where undefined.
    """

    varied: Varied
    step: float
    changes: dict[str, float | None]


@dataclass(frozen=True)
class Pull:
    """Two things that are wanted, of which each gets worse as the other gets better."""

    one: str
    other: str


def sensitivities(target: Target, solution: Solution) -> tuple[Sensitivity, ...]:
    """What each number does to every figure, at a solution."""
    share = shares_at(target, solution.values)
    names = list(AIMED)
    slopes = Search(target).slopes(
        np.clip(share, 0.0, 1.0),
        lambda scored: np.column_stack([scored.rows.figures[n] for n in names]),
    )
    undefined = [np.isnan(solution.figures[name]) for name in names]
    found = []
    for k, one in enumerate(target.varied):
        step = _STEPS.get(one.unit, 0.01)
        per_step = step * one.size / (one.high - one.low)
        changes = {
            name: None if undefined[m] else float(slopes[m, k] * per_step / AIMED[name].size)
            for m, name in enumerate(names)
        }
        found.append(Sensitivity(one, step, changes))
    return tuple(found)


def binding(target: Target, solution: Solution) -> tuple[str, ...]:
    """What stands in the way of going further: numbers at their ends, and what must be kept."""
    found = []
    share = shares_at(target, solution.values)
    for one, s in zip(target.varied, share, strict=True):
        if s <= _AT_END or s >= 1.0 - _AT_END:
            end, value = ("least", one.low) if s <= _AT_END else ("greatest", one.high)
            found.append(f"{one.name} at its {end}, {value / one.size:g} {one.unit}".rstrip())
    aims = len(target.aims)
    for k, (entry, margin) in enumerate(zip(target.entries, solution.margins, strict=True)):
        ranged = k >= aims or target.aims[k].value is None or bool(target.seeks)
        if ranged and margin <= _BINDS * entry.scale:
            found.append(entry.name)
    edges = Search(target).edges(np.clip(share, 0.0, 1.0))
    for one, below, above, s in zip(target.varied, *edges, share, strict=True):
        for edge, at_end, way in (
            (below, s <= _AT_END, "smaller"),
            (above, s >= 1.0 - _AT_END, "greater"),
        ):
            if edge and not at_end:
                found.append(f"{one.name}: {edge} if it were {way}")
    return tuple(found)


def pulls(target: Target, solution: Solution) -> tuple[Pull, ...]:
    """Pairs of what is wanted and not met that pull against each other.

    Each entry pulls along the slope of its square; at a place where nothing gets better the pulls
    of those that are not met add up to nothing, save for what bounds take up.
    """
    if solution.met or not target.entries:
        return ()
    share = np.clip(shares_at(target, solution.values), 0.0, 1.0)
    search = Search(target)
    entries = search.at(share).entries[0]
    slopes = search.slopes(share, _entries)
    gradient = entries[:, None] * slopes
    low, high = search.room(share, np.zeros(len(share)), np.ones(len(share)))
    held = (share - low <= _AT_END) | (high - share <= _AT_END)
    gradient[:, held] = 0.0
    size = np.linalg.norm(gradient, axis=1)
    counts = size > _COUNTS * size.max() if size.max() > 0.0 else np.zeros(len(size), dtype=bool)
    found = []
    for i in range(len(size)):
        for j in range(i + 1, len(size)):
            if counts[i] and counts[j]:
                cosine = float(gradient[i] @ gradient[j]) / float(size[i] * size[j])
                if cosine < _PARTED:
                    found.append(Pull(target.entries[i].name, target.entries[j].name))
    return tuple(found)


def _entries(scored: Scored) -> Array:
    return scored.entries
