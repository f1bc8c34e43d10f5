"""Where straight lines run inside a body.

What a body says of n lines is an array of shape (n, m): the parameters t at which each line enters
and leaves it, ascending, in turn, and infinite where there are no more.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from shapes.moments import Array, Indices, Mask

SAMPLES = 48  # a line that is only probed is probed at so many places
_HALVINGS = 40


@dataclass(frozen=True, eq=False)
class Lines:
    """Straight lines x = start + t way.

    Attributes:
        start: shape (n, 3), where t is zero, mm.
        way: shape (n, 3), unit vectors.
    """

    start: Array
    way: Array

    def __len__(self) -> int:
        return len(self.start)

    def at(self, t: Array) -> Array:
        """Points of shape (n, m, 3) at the parameters, shape (n, m)."""
        return self.start[:, None, :] + t[:, :, None] * self.way[:, None, :]

    def some(self, which: Indices | Mask) -> Lines:
        """Those with these indices, or where a mask holds."""
        return Lines(self.start[which], self.way[which])


def none(lines: Lines) -> Array:
    """What a body says that no line meets."""
    return np.empty((len(lines), 0))


def within(ends: Array, t: Array) -> Mask:
    """Whether the lines are inside at their parameters t, shape (n, k): they entered more often."""
    inside = np.zeros(t.shape, dtype=bool)
    for k in range(ends.shape[1]):
        inside ^= ends[:, k, None] < t
    return inside


def of_intervals(low: Array, high: Array) -> Array:
    """Ends from one stretch a line, shape (n,) each; no stretch where `low` is not below `high`."""
    real = low < high
    return np.stack([np.where(real, low, np.inf), np.where(real, high, np.inf)], axis=1)


def in_unit_ball(start: Array, way: Array) -> Array:
    """Ends of lines, shapes (n, 3), in the ball of radius one about the origin."""
    a = (way * way).sum(axis=1)
    nearest = -(start * way).sum(axis=1) / a
    near = start + nearest[:, None] * way  # no cancellation in what is left to the rim
    half = np.sqrt(np.maximum(1.0 - (near * near).sum(axis=1), 0.0) / a)
    return of_intervals(nearest - half, nearest + half)


def gathered(crossings: Array) -> Array:
    """Ends from unsorted crossings, infinite or NaN where there are none."""
    found = np.sort(np.where(np.isnan(crossings), np.inf, crossings), axis=1)
    count = np.isfinite(found).any(axis=0).sum()
    return found[:, :count]


def combined(bodies: Sequence[Array], rule: Callable[[list[Mask]], Mask]) -> Array:
    """Ends in a body that others make: where the rule's answer, from theirs, changes."""
    every = gathered(np.concatenate(list(bodies), axis=1))
    if every.shape[1] == 0:
        return every
    inside = rule([within(ends, middles(every)) for ends in bodies])
    before = np.concatenate([np.zeros((len(every), 1), dtype=bool), inside[:, :-1]], axis=1)
    return gathered(np.where(inside != before, every, np.inf))


def middles(ends: Array) -> Array:
    """A parameter behind each end, before the next one; behind the last one, one beyond it."""
    after = np.concatenate([ends[:, 1:], np.full((len(ends), 1), np.inf)], axis=1)
    with np.errstate(invalid="ignore"):
        return np.where(np.isfinite(after), 0.5 * (ends + after), ends + 1.0)


def probed(contains: Callable[[Array], Mask], reach_mm: float, lines: Lines) -> Array:
    """Ends found by probing: at even steps through the body's reach, then by halving.

    A stretch that is shorter than a step may be missed; so it takes little with it.

    Args:
        contains: which of the points, shape (k, 3), lie in the body.
        reach_mm: no point of the body is farther from the origin.
        lines: the lines.
    """
    nearest = -(lines.start * lines.way).sum(axis=1)
    near = lines.start + nearest[:, None] * lines.way
    square = reach_mm**2 - (near * near).sum(axis=1)
    hit = np.flatnonzero(square > 0.0)
    if len(hit) == 0:
        return none(lines)
    some, half = lines.some(hit), np.sqrt(square[hit]) * (1.0 + 1e-9)
    t = nearest[hit, None] + half[:, None] * np.linspace(-1.0, 1.0, SAMPLES + 1)
    inside = contains(some.at(t).reshape(-1, 3)).reshape(t.shape)
    inside[:, 0] = inside[:, -1] = False
    row, step = np.nonzero(inside[:, 1:] != inside[:, :-1])
    if len(row) == 0:
        return none(lines)
    low, high, entered = t[row, step], t[row, step + 1], inside[row, step + 1]
    start, way = some.start[row], some.way[row]
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        beyond = contains(start + middle[:, None] * way) == entered
        high, low = np.where(beyond, middle, high), np.where(beyond, low, middle)
    place = np.arange(len(row)) - np.searchsorted(row, row)  # its turn on its line
    ends = np.full((len(lines), int(place.max()) + 1), np.inf)
    ends[hit[row], place] = 0.5 * (low + high)
    return ends
