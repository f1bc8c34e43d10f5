"""One core across ball weights, by the means that a maker has, the preferred ones first.

The first means is a density that brings every ball to its weight.  Where the windows that are held
are not met by that alone, the next means is added, and so on; the first ball that meets all of them
is taken.  A density is sought over its whole range at once; sizes are tried one by one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pipeline.ball import build_ball
from pipeline.design import Design, FreeDensity
from pipeline.errors import CorewrightError
from pipeline.line_means import (
    INSET,
    LineError,
    Try,
    cost_of,
    freed,
    held_at_least,
    own_means,
    tries_of,
    varied_of,
)
from pipeline.load import home_of, read_design
from pipeline.resize import resized, size_numbers
from pipeline.rewrite import rewritten
from pipeline.rows import Rows, figures_of, weigh_rows
from pipeline.units import G_PER_LB
from pipeline.vary import with_numbers
from pipeline.wanted import AIMED, Aim, Line, Varied, Wanted, spelled
from pipeline.weigh import weigh
from shapes.moments import Array

DEFAULT_WEIGHTS_LB = (16.0, 15.0, 14.0, 13.0, 12.0)
_POINTS = 1001  # over a density's range, and again round the best of them
_SHARED, _THIRD = 200, 40  # densities of an outer core that is shared, and of a third material
_KEPT = 1e-9


@dataclass(frozen=True, eq=False)
class Carried:
    """The core at one weight.

    Attributes:
        weight_g: what the ball is to weigh.
        met: whether every window is held.
        source: its design file; empty when there is no such ball.
        densities: by material, g/cm3.
        size: of the core; 1 as drawn.
        figures: by the names of `AIMED`, mm or g.
        means: how many of the means it took.
        why: what is not held and what can be; empty when all is.
    """

    weight_g: float
    met: bool
    source: bytes
    densities: dict[str, float]
    size: float
    figures: dict[str, float]
    means: int
    why: str


def line_up(design: Design, weights_g: Sequence[float] = ()) -> tuple[Carried, ...]:
    """Carry a core across ball weights.

    Args:
        design: with a free density, or means that say which one is.
        weights_g: the weights; else those of the file; else 16 to 12 lb.

    Raises:
        LineError: no density brings the balls to their weights, or the core cannot be resized.
    """
    line = design.wanted.line
    asked = tuple(weights_g) or line.weights_g or tuple(w * G_PER_LB for w in DEFAULT_WEIGHTS_LB)
    weights = tuple(dict.fromkeys(asked))
    tries = list(tries_of(design, line))
    alone = {w: _carry(design, line, tries, w) for w in weights}
    for group in line.shared:
        there = [w for w in weights if any(abs(w - g) < 1e-6 * g for g in group)]
        if len(there) > 1:
            alone.update(_share(design, line, tries, there))
    return tuple(alone[w] for w in weights)


def _carry(design: Design, line: Line, tries: Sequence[Try], weight_g: float) -> Carried:
    """The first way that holds every window; else the one that comes nearest."""
    nearest: tuple[float, Try, float | None] | None = None
    reached: list[Rows] = []
    for one in tries:
        values, rows = _rows(one, weight_g)
        reached.append(rows)
        cost = cost_of(line.hold, rows)
        if not np.isfinite(cost).any():
            continue
        best = int(np.argmin(cost))
        value = None if one.moved is None else float(values[best, 0])
        if value is not None:
            value = _finer(one, weight_g, line.hold, values, cost)
        now = _one(one, weight_g, value)
        off = float(cost_of(line.hold, now)[0])
        if nearest is None or off < nearest[0] - _KEPT:
            nearest = off, one, value
        if off <= _KEPT:
            break
    if nearest is None:
        return Carried(weight_g, False, b"", {}, 1.0, {}, 0, _no_ball(tries, weight_g))
    _, one, value = nearest
    return _written(design, line, one, weight_g, value, reached)


def _rows(one: Try, weight_g: float, low: float = 0.0, high: float = 1.0) -> tuple[Array, Rows]:
    """All that a way can make, over the range of the density that varies."""
    design = replace(one.design, weight_g=weight_g)
    varied = varied_of(one)
    if not varied:
        values = np.zeros((1, 0))
    else:
        share = np.linspace(low, high, _POINTS)
        values = (varied[0].low + (varied[0].high - varied[0].low) * share)[:, None]
    return values, weigh_rows(design, varied, values)


def _one(one: Try, weight_g: float, value: float | None) -> Rows:
    design = replace(one.design, weight_g=weight_g)
    values = np.zeros((1, 0)) if value is None else np.array([[value]])
    return weigh_rows(design, varied_of(one), values)


def _finer(one: Try, weight_g: float, hold: Sequence[Aim], values: Array, cost: Array) -> float:
    """The density again, between the neighbours of the best; the middle of a stretch that holds."""
    held = np.flatnonzero(cost <= _KEPT)
    if len(held):
        return float(values[held[len(held) // 2], 0])
    best, last = int(np.argmin(cost)), len(values) - 1
    low, high = max(best - 1, 0) / last, min(best + 1, last) / last
    fine, rows = _rows(one, weight_g, low, high)
    cost = cost_of(hold, rows)
    held = np.flatnonzero(cost <= _KEPT)
    return float(fine[held[len(held) // 2] if len(held) else int(np.argmin(cost)), 0])


def _written(
    design: Design,
    line: Line,
    one: Try,
    weight_g: float,
    value: float | None,
    reached: Sequence[Rows],
    third: float | None = None,
) -> Carried:
    """The ball as its file has it."""
    numbers = {"ball.weight": weight_g}
    if one.size != 1.0:
        numbers.update(size_numbers(design, one.size))
    moved = {}
    if value is not None and one.moved is not None:
        moved[f"materials.{one.moved.material}.density"] = value
    if third is not None and one.third is not None:
        moved[f"materials.{one.third.material}.density"] = third
    ball = build_ball(with_numbers(replace(one.design, weight_g=weight_g), moved))
    solved = {p.material: p.density_g_cm3 for p in ball.parts}
    for material in design.materials:
        if not isinstance(material.density, FreeDensity):
            numbers[f"materials.{material.name}.density"] = solved.get(
                material.name, material.density
            )
    for means in line.means:  # a free density gets the bounds of its means
        named = [m for m in design.materials if m.name == means.material]
        if named and isinstance(named[0].density, FreeDensity):
            numbers[f"materials.{means.material}.from"] = means.low
            numbers[f"materials.{means.material}.to"] = means.high
    source = rewritten(design.source, numbers, home_of(design), mark=f"{weight_g / G_PER_LB:g} lb")
    read = read_design(source, design.file or "design", home_of(design))
    final = replace(read, wanted=Wanted())
    try:
        ball = build_ball(final)
    except CorewrightError as error:
        return Carried(weight_g, False, b"", {}, 1.0, {}, 0, str(error))
    figures = figures_of(ball, weigh(ball))
    densities = {p.material: p.density_g_cm3 for p in ball.parts}
    met = all(abs(aim.beyond(figures[aim.figure])) <= 1e-3 * aim.scale for aim in line.hold)
    why = "" if met else _why(line.hold, figures, reached)
    return Carried(weight_g, met, source, densities, one.size, figures, one.means, why)


def _why(hold: Sequence[Aim], figures: dict[str, float], reached: Sequence[Rows]) -> str:
    """Which windows are not held, and what all means together can reach."""
    said = []
    for aim in hold:
        beyond = aim.beyond(figures[aim.figure])
        if abs(beyond) <= 1e-6 * aim.scale:
            continue
        figure = AIMED[aim.figure]
        columns = [r.figures[aim.figure][r.good] for r in reached if r.good.any()]
        span = np.concatenate(columns) / figure.size
        side = "above" if beyond > 0.0 else "below"
        low = -np.inf if aim.low is None else aim.low / figure.size
        high = np.inf if aim.high is None else aim.high / figure.size
        alone = ", but not with all else held" if ((low <= span) & (span <= high)).any() else ""
        said.append(
            f"{spelled(aim.figure)} is {abs(beyond) / figure.size:.2g} {figure.unit} "
            f"{side} its window; {_span(span)} {figure.unit} can be reached"
            f"{alone}"
        )
    return "; ".join(said)


def _span(values: Array) -> str:
    low, high = f"{values.min():.4f}", f"{values.max():.4f}"
    return f"only {low}" if low == high else f"{low} to {high}"


def _no_ball(tries: Sequence[Try], weight_g: float) -> str:
    """Why no ball of that weight can be made: what the first means would have to be."""
    design = tries[0].design
    materials = tuple(
        replace(m, density=FreeDensity(d.from_g_cm3 - INSET, d.to_g_cm3 + INSET))
        if isinstance(d := m.density, FreeDensity)
        else m
        for m in design.materials
    )
    try:
        build_ball(replace(design, weight_g=weight_g, materials=materials), solids=False)
    except CorewrightError as error:
        return str(error)
    return "every ball that was tried is refused"


def _share(
    design: Design, line: Line, tries: Sequence[Try], group: Sequence[float]
) -> dict[float, Carried]:
    """Weights whose outer cores are of one density: a second material brings them to weight.

    Every weight may take its own size and its own density of a third material; what they share is
    the density with which all of them come nearest to their windows.

    Raises:
        LineError: no other material may vary, or no density makes all of these balls.
    """
    means = line.means or own_means(design)
    first, others = means[0], [m for m in means[1:] if m.material]
    if not others:
        raise LineError("lineup.share: a second material must be among the means")
    sizes = list(dict.fromkeys(t.size for t in tries))
    base = freed(held_at_least(design, first), others[0])
    ways = [
        Try(resized(base, size), size, first, len(means), third)
        for third in (None, *others[1:])
        for size in sizes
    ]
    outer = np.linspace(first.low, first.high, _SHARED + 2)[1:-1]
    least: list[Array] = []
    chosen: list[list[tuple[int, float | None]]] = []
    reached: list[list[Rows]] = []
    for weight in group:
        over = [_over(way, weight, line.hold, outer) for way in ways]
        table = np.stack([cost for cost, _, _ in over])  # (ways, densities)
        number = np.argmin(np.round(table, 9), axis=0)  # the first of equals is preferred
        least.append(table[number, np.arange(len(outer))])
        chosen.append([(int(w), over[w][1][k]) for k, w in enumerate(number)])
        reached.append([rows for _, _, rows in over])
    total = np.sum(least, axis=0)
    if not np.isfinite(total).any():
        said = ", ".join(f"{w / G_PER_LB:g}" for w in group)
        raise LineError(f"no outer core of one density makes balls of {said} lb")
    held = np.flatnonzero(total <= _KEPT)
    at = int(held[len(held) // 2]) if len(held) else int(np.argmin(total))
    found = {}
    for weight, picks, rows in zip(group, chosen, reached, strict=True):
        way, third = picks[at]
        found[weight] = _written(design, line, ways[way], weight, float(outer[at]), rows, third)
    return found


def _over(
    way: Try, weight_g: float, hold: Sequence[Aim], outer: Array
) -> tuple[Array, list[float | None], Rows]:
    """For each outer density a way's least cost and the third density that has it; all rows."""
    design = replace(way.design, weight_g=weight_g)
    varied = [*varied_of(way)]
    third = np.zeros(1)
    if way.third is not None:
        path = f"materials.{way.third.material}.density"
        varied.append(Varied(path, path, "g/cm3", 1.0, 0.0, way.third.low, way.third.high))
        third = np.linspace(way.third.low, way.third.high, _THIRD + 2)[1:-1]
    grid = np.stack(np.meshgrid(outer, third, indexing="ij"), axis=-1).reshape(-1, 2)
    rows = weigh_rows(design, varied, grid[:, : len(varied)])
    cost = cost_of(hold, rows).reshape(len(outer), len(third))
    best = np.argmin(cost, axis=1)
    values = [None if way.third is None else float(third[k]) for k in best]
    return cost[np.arange(len(outer)), best], values, rows
