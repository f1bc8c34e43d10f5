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

import numpy as np

from pipeline.climb import climb, shares_at, values_at
from pipeline.crew import Crew, done
from pipeline.design import Design
from pipeline.errors import CorewrightError
from pipeline.load import home_of, numbers_in
from pipeline.nest import nest_of
from pipeline.rewrite import rewritten
from pipeline.rows import WHY, Rows, weigh_rows
from pipeline.samples import Scatter
from pipeline.target import Scored, Target
from pipeline.vary import numbers_at
from pipeline.wanted import spelled
from shapes.moments import Array

STARTS = 12
_SCAN_FAST, _SCAN_SLOW = 2048, 128  # balls looked at before the starts are chosen
_APART = 0.12  # share of the range, a number: solutions nearer than this are one
_MOST_KEPT = 4


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
    for k, result in done(partial(climb, target, places), range(len(places)), crew or Crew()):
        found[k] = result
        told(len(found), len(places))
    ends = np.array([found[k][0] for k in sorted(found)])
    weighed = looked_at + sum(count for _, count in found.values())
    solutions = _distinct(target, [_written(target, end) for end in ends])
    if not solutions:
        raise FitError("no ball was found at all: every one that was tried is refused")
    now = np.array([[v.now for v in target.varied]])
    is_ball = weigh_rows(design, target.varied, now).good[0]  # its density within its bounds, too
    before = target.score(now) if is_ball else None
    return Fitted(target, before, solutions, len(places), weighed)


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
