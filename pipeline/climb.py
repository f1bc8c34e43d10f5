"""One search: from a place in the design space to where nothing gets better."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from pipeline.rows import WHY
from pipeline.target import SLACK, Scored, Target
from shapes.moments import Array, Mask

_STEP = 1e-5  # share of a number's range
_AT_END = 1e-6
_EDGE = 1e-4  # a step of this share that leads to no ball is an edge
_ENOUGH = 1e-4  # entries are in halves of a window: this is far inside all
_ROUNDS = 4


def values_at(target: Target, shares: Array) -> Array:
    """Shares of the ranges, shape (..., k), as values in inner units."""
    low = np.array([v.low for v in target.varied])
    high = np.array([v.high for v in target.varied])
    return np.asarray(low + (high - low) * shares)


def shares_at(target: Target, values: Array) -> Array:
    """The other way round."""
    low = np.array([v.low for v in target.varied])
    high = np.array([v.high for v in target.varied])
    return np.asarray((values - low) / (high - low))


class Search:
    """One search: how a place scores, the last one kept, and how that changes."""

    def __init__(self, target: Target) -> None:
        self.target = target
        self.weighed = 0
        self._last: tuple[bytes, Scored] | None = None

    def at(self, share: Array) -> Scored:
        """One place."""
        key = share.tobytes()
        if self._last is None or self._last[0] != key:
            self.weighed += 1
            self._last = key, self.target.score(values_at(self.target, share[None, :]))
        return self._last[1]

    def slopes(self, share: Array, read: Callable[[Scored], Array]) -> Array:
        """D read / d share, shape (m, k), by central differences inside the range.

        Where one side is no ball the other one tells the slope.
        """
        k = len(share)
        ahead, back = np.minimum(share + _STEP, 1.0), np.maximum(share - _STEP, 0.0)
        values = read(self._beside(share, ahead, back))
        up, down = values[:k], values[k:]
        slope = (up - down) / (ahead - back)[:, None]
        if not np.isfinite(slope).all():
            here = read(self.at(share))[0]
            with np.errstate(all="ignore"):
                forward = (up - here) / (ahead - share)[:, None]
                backward = (here - down) / (share - back)[:, None]
            slope = np.where(np.isfinite(slope), slope, forward)
            slope = np.where(np.isfinite(slope), slope, backward)
        return np.asarray(np.nan_to_num(slope, nan=0.0, posinf=0.0, neginf=0.0).T)

    def room(self, share: Array, low: Array, high: Array) -> tuple[Array, Array]:
        """The bounds, drawn in to the place where a small step along a number leads to no ball."""
        below, above = (np.array([not why for why in side]) for side in self.edges(share))
        return np.where(below, low, share), np.where(above, high, share)

    def edges(self, share: Array) -> tuple[list[str], list[str]]:
        """For each number what a small step down, and up, would run into; nothing for nothing."""
        k = len(share)
        ahead, back = np.minimum(share + _EDGE, 1.0), np.maximum(share - _EDGE, 0.0)
        why = [WHY[code] for code in self._beside(share, ahead, back).rows.why]
        return why[k:], why[:k]

    def _beside(self, share: Array, ahead: Array, back: Array) -> Scored:
        """Each number in turn a step ahead, then each a step back."""
        k = len(share)
        points = np.repeat(share[None, :], 2 * k, axis=0)
        points[np.arange(k), np.arange(k)] = ahead
        points[k + np.arange(k), np.arange(k)] = back
        self.weighed += 2 * k
        return self.target.score(values_at(self.target, points))


def climb(target: Target, places: Array, number: int) -> tuple[Array, int]:
    """From one place to where nothing gets better: shares, and the balls weighed."""
    search = Search(target)
    share = places[number]
    low, high = np.zeros(len(share)), np.ones(len(share))
    for _ in range(_ROUNDS if target.entries else 0):
        share = _by_least_squares(search, share, low, high)
        if search.at(share).cost[0] <= _ENOUGH:
            break
        drawn = search.room(share, low, high)
        if np.array_equal(drawn, (low, high)):
            break
        low, high = drawn  # what a shape's rules forbid acts as a bound from here on
    scales, hard = target.scales, target.hard
    if (search.at(share).margins[0][hard] < 0.0).any():  # aims may be missed, these may not
        share = _by_programming(search, share, low, high, _missed, hard)
    if target.seeks and search.at(share).met(scales)[0]:
        share = _by_programming(search, share, low, high, _wanted, np.ones_like(hard))
    return share, search.weighed


def _missed(target: Target, scored: Scored) -> Array:
    """How far the aims are missed, shape (n,)."""
    return np.asarray((scored.entries[:, ~target.hard] ** 2).sum(axis=1))


def _wanted(target: Target, scored: Scored) -> Array:
    """What is sought, on a scale that suits the search, shape (n,)."""
    return target.sought(scored.rows) / 20.0


def _by_least_squares(search: Search, share: Array, low: Array, high: Array) -> Array:
    from scipy.optimize import least_squares

    free = high - low > 10.0 * _EDGE
    start = np.clip(share, low + 1e-9, np.maximum(high - 1e-9, low + 1e-9))
    start = np.where(free, start, share)
    if not free.any() or not np.isfinite(search.at(start).cost[0]):
        return share

    def whole(x: Array) -> Array:
        full = start.copy()
        full[free] = x
        return full

    def enough(intermediate_result: Any) -> None:
        if intermediate_result.cost <= _ENOUGH / 2.0:
            raise StopIteration

    found = least_squares(
        lambda x: search.at(whole(x)).entries[0],
        start[free],
        jac=lambda x: search.slopes(whole(x), lambda scored: scored.entries)[:, free],
        bounds=(low[free], high[free]),
        xtol=1e-10,
        ftol=1e-10,
        gtol=1e-10,
        max_nfev=40,
        method="dogbox",
        callback=enough,
    )
    end = whole(found.x)
    ended = np.where(end - low < _AT_END, low, np.where(high - end < _AT_END, high, end))
    return ended if search.at(ended).rows.good[0] else end


def _by_programming(
    search: Search,
    share: Array,
    low: Array,
    high: Array,
    wanted: Callable[[Target, Scored], Array],
    kept: Mask,
) -> Array:
    """Go on to the least of what is wanted, inside what is kept."""
    from scipy.optimize import minimize

    target = search.target
    scales = target.scales[kept]

    def inside(scored: Scored) -> Array:
        return np.asarray(scored.margins[:, kept] / scales - SLACK)

    def least(scored: Scored) -> Array:
        return wanted(target, scored)[:, None]

    size = 1.0 + abs(float(np.nan_to_num(least(search.at(share))[0, 0])))
    constraint: Any = {
        "type": "ineq",
        "fun": lambda x: np.nan_to_num(inside(search.at(x))[0], nan=-1e3),
        "jac": lambda x: search.slopes(x, inside),
    }
    found = minimize(
        lambda x: float(np.nan_to_num(least(search.at(x))[0, 0] / size, nan=1e6)),
        share,
        jac=lambda x: search.slopes(x, least)[0] / size,
        bounds=list(zip(low, high, strict=True)),
        constraints=[constraint] if kept.any() else [],
        method="SLSQP",
        options={"maxiter": 100, "ftol": 1e-10},
    )
    end = np.clip(found.x, low, high)
    before, after = search.at(share), search.at(end)
    if not after.rows.good[0]:
        return share
    worst = [float(np.min(s.margins[0][kept] / scales, initial=0.0)) for s in (before, after)]
    if worst[1] < min(worst[0], -_AT_END):
        return share
    better = least(after)[0, 0] <= least(before)[0, 0] or worst[0] < -_AT_END
    return end if better else share
