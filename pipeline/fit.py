"""Finding the core: from many starts to the balls that a design wants.

From each start bounded least squares brings every entry of the target as near as can be (Branch,
Coleman & Li 1999, by SciPy); where a figure is to be as small or great as can be, sequential
quadratic programming goes on from there (Kraft 1988, by SciPy).  Slopes come from exact moments by
central differences, all rows of one Jacobian at once.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np

from pipeline.crew import Crew, done
from pipeline.design import Design
from pipeline.errors import CorewrightError
from pipeline.load import home_of, numbers_in
from pipeline.nest import nest_of
from pipeline.rewrite import rewritten
from pipeline.rows import WHY, Rows, weigh_rows
from pipeline.samples import Scatter
from pipeline.target import SLACK, Scored, Target
from pipeline.vary import numbers_at
from pipeline.wanted import spelled
from shapes.moments import Array, Mask

STARTS = 12
_SCAN_FAST, _SCAN_SLOW = 2048, 128  # balls looked at before the starts are chosen
_STEP = 1e-5  # share of a number's range
_APART = 0.12  # share of the range, a number: solutions nearer than this are one
_MOST_KEPT = 4
_AT_END = 1e-6
_EDGE = 1e-4  # a step of this share that leads to no ball is an edge
_ENOUGH = 1e-4  # entries are in halves of a window: this is far inside all
_ROUNDS = 4


class FitError(CorewrightError):
    """There is nothing to fit, or no ball at all."""


@dataclass(frozen=True, eq=False)
class Solution:
    """One ball that was found.

    Attributes:
        values: shape (k,), inner units, as they are written in its file.
        source: the design file.
        figures: by the names of `AIMED`, mm or g.
        free_g_cm3: the density that was solved, NaN without one.
        margins: shape (m,), see `Target`.
        cost: how far from what is wanted.
        met: whether all is.
    """

    values: Array
    source: bytes
    figures: dict[str, float]
    free_g_cm3: float
    margins: Array
    cost: float
    met: bool


@dataclass(frozen=True, eq=False)
class Fitted:
    """What came of a fit.

    Attributes:
        target: what was wanted.
        before: the ball as the design has it; None where there is none.
        solutions: the best first, then others that differ from it; at least one.
        starts: how many.
        evaluations: how many balls were weighed.
    """

    target: Target
    before: Scored | None
    solutions: tuple[Solution, ...]
    starts: int
    evaluations: int

    @property
    def best(self) -> Solution:
        """The first of them."""
        return self.solutions[0]


def fit(
    design: Design,
    starts: int = STARTS,
    seed: int = 1,
    crew: Crew | None = None,
    told: Callable[[int, int], None] = lambda _a, _b: None,
) -> Fitted:
    """Find the core that a design wants.

    Args:
        design: with `aim` and `vary`.
        starts: from how many places to search.
        seed: of the places; the same gives the same result, whoever does the work.
        crew: who does it.
        told: called with the starts done and those there are.

    Raises:
        FitError: the design wants nothing, nothing may vary, or no ball was found.
    """
    if not design.wanted.varied:
        raise FitError("the design says of no number that it may vary; write a vary section")
    if not design.wanted.aims:
        raise FitError("the design says of no figure what it should be; write an aim section")
    if starts < 1:
        raise FitError(f"{starts} starts; at least 1")
    if seed < 0:
        raise FitError(f"a seed of {seed}; at least 0")
    target = Target(design)
    places, looked_at = _places(target, starts, seed)
    found: dict[int, tuple[Array, int]] = {}
    told(0, len(places))
    for k, result in done(partial(_climb, target, places), range(len(places)), crew or Crew()):
        found[k] = result
        told(len(found), len(places))
    ends = np.array([found[k][0] for k in sorted(found)])
    weighed = looked_at + sum(count for _, count in found.values())
    solutions = _distinct(target, [_written(target, end) for end in ends])
    if not solutions:
        raise FitError("no ball was found at all: every one that was tried is refused")
    now = np.array([[v.now for v in target.varied]])
    before = target.score(now)
    return Fitted(target, before if before.rows.good[0] else None, solutions, len(places), weighed)


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


def _places(target: Target, starts: int, seed: int) -> tuple[Array, int]:
    """Where to start, shape (s, k): the design itself, then the best of many, well apart."""
    fast = nest_of(target.design, target.varied) is not None
    count = _SCAN_FAST if fast else _SCAN_SLOW
    k = len(target.varied)
    shares = Scatter(count, k, seed).shares(0, count)
    now = np.clip(shares_at(target, np.array([v.now for v in target.varied])), 0.0, 1.0)
    shares = np.vstack([now, shares])
    scored = target.score(values_at(target, shares))
    cost = scored.cost
    sought = np.nan_to_num(target.sought(scored.rows), nan=np.inf)
    order = [0, *(1 + np.lexsort((sought[1:], np.round(cost[1:], 6))))]
    chosen: list[Array] = []
    for index in order:
        if len(chosen) == starts or not np.isfinite(cost[index]):
            if len(chosen) == starts:
                break
            continue
        point = shares[index]
        if all(np.abs(point - other).max() > _APART for other in chosen):
            chosen.append(point)
    if not chosen:
        raise FitError(_no_ball(target, scored))
    return np.array(chosen), len(shares)


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
        k = len(share)
        ahead, back = np.minimum(share + _EDGE, 1.0), np.maximum(share - _EDGE, 0.0)
        good = self._beside(share, ahead, back).rows.good
        return np.where(good[k:], low, share), np.where(good[:k], high, share)

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


def _climb(target: Target, places: Array, number: int) -> tuple[Array, int]:
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
        share = _by_programming(search, share, low, high, target_sought, np.ones_like(hard))
    return share, search.weighed


def _missed(target: Target, scored: Scored) -> Array:
    """How far the aims are missed, shape (n,)."""
    return np.asarray((scored.entries[:, ~target.hard] ** 2).sum(axis=1))


def target_sought(target: Target, scored: Scored) -> Array:
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


def _written(target: Target, share: Array) -> Solution | None:
    """The ball of a place as its file has it: numbers rounded to what is written."""
    design = target.design
    numbers = numbers_at(target.varied, [float(v) for v in values_at(target, share)])
    folder = home_of(design)
    source = rewritten(design.source, numbers, folder)
    read = numbers_in(source, folder)
    values = np.array([read[v.path].value for v in target.varied])
    scored = target.score(values[None, :])
    if not weigh_rows(design, target.varied, values[None, :]).good[0]:
        return None
    return Solution(
        values,
        source,
        {name: float(column[0]) for name, column in scored.rows.figures.items()},
        float(scored.rows.free_g_cm3[0]),
        scored.margins[0],
        float(scored.cost[0]),
        bool(scored.met(target.scales)[0]),
    )


def _distinct(target: Target, found: Sequence[Solution | None]) -> tuple[Solution, ...]:
    """The best, then others that meet as much and lie well apart, the farthest first."""
    there = [s for s in found if s is not None]
    if not there:
        return ()
    now = shares_at(target, np.array([v.now for v in target.varied]))

    def rank(s: Solution) -> tuple[bool, float, float]:
        change = float(np.linalg.norm(shares_at(target, s.values) - now))
        return (not s.met, _sought(target, s) if s.met else s.cost, change)

    ordered = sorted(there, key=rank)
    best = ordered[0]
    if not best.met:
        ordered = [s for s in ordered if s.cost <= best.cost * 1.01 + 1e-9]
    elif target.seeks:
        near = abs(_sought(target, best)) * 1e-3 + 1e-6
        ordered = [
            s for s in ordered if s.met and _sought(target, s) <= _sought(target, best) + near
        ]
    else:
        ordered = [s for s in ordered if s.met]
    kept = [best]
    while len(kept) < _MOST_KEPT:
        gaps = [
            min(
                float(np.abs(shares_at(target, s.values) - shares_at(target, k.values)).max())
                for k in kept
            )
            for s in ordered
        ]
        far = int(np.argmax(gaps))
        if gaps[far] <= _APART:
            break
        kept.append(ordered[far])
    return tuple(kept)


def _sought(target: Target, solution: Solution) -> float:
    """What is sought, to be made small; zero where nothing is, so that least change decides."""
    figures = {name: np.array([value]) for name, value in solution.figures.items()}
    return round(float(target.sought(Rows(figures, np.zeros(1), np.zeros(1, np.int8)))[0]), 3)


def _no_ball(target: Target, scored: Scored) -> str:
    """Why nothing that was tried can be scored."""
    rows = scored.rows
    for aim in target.aims:
        if rows.good.any() and np.isnan(rows.figures[aim.figure][rows.good]).all():
            return (
                f"{spelled(aim.figure)} is undefined in every ball that was tried, so that it "
                "cannot be aimed at; leave that aim out, or let something move off the centre"
            )
    counts = {WHY[c]: int((rows.why == c).sum()) for c in np.unique(rows.why) if c}
    said = "; ".join(f"{n} of {len(rows)}: {why}" for why, n in counts.items())
    return f"no ball was found at all: {said}; widen what may vary, or its ties"
