"""One core across ball weights, by the means that a maker has, the preferred ones first.

The first means is a density that brings every ball to its weight.  Where the windows that are held
are not met by that alone, the next means is added, and so on; the first ball that meets all of them
is taken.  A density is sought over its whole range at once; sizes are tried one by one.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from pipeline.ball import build_ball
from pipeline.design import Design, FreeDensity
from pipeline.errors import CorewrightError
from pipeline.load import home_of, read_design
from pipeline.resize import resized, size_numbers
from pipeline.rewrite import rewritten
from pipeline.rows import WHY, Rows, weigh_rows
from pipeline.units import G_PER_LB
from pipeline.vary import with_numbers
from pipeline.wanted import AIMED, Aim, Line, Means, Varied, Wanted, spelled
from shapes.moments import Array

DEFAULT_WEIGHTS_LB = (16.0, 15.0, 14.0, 13.0, 12.0)
_EDGE = 1e-4  # of a density's range, for the same reason
_POINTS = 1001  # over a density's range, and again round the best of them
_KEPT = 1e-9
_INSET = 2e-5  # g/cm3 inside its bounds: what is written is rounded, and solved again from there


class LineError(CorewrightError):
    """The core cannot be carried so."""


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


@dataclass(frozen=True, eq=False)
class _Try:
    """One way to make a weight: the design at a size, and the density that varies, if any."""

    design: Design
    size: float
    moved: Means | None
    means: int


def line_up(design: Design, weights_g: Sequence[float] = ()) -> tuple[Carried, ...]:
    """Carry a core across ball weights.

    Args:
        design: with a free density, or means that say which one is.
        weights_g: the weights; else those of the file; else 16 to 12 lb.

    Raises:
        LineError: no density brings the balls to their weights, or the core cannot be resized.
    """
    line = design.wanted.line
    weights = tuple(weights_g) or line.weights_g or tuple(w * G_PER_LB for w in DEFAULT_WEIGHTS_LB)
    tries = list(_tries(design, line))
    alone = {w: _carry(design, line, tries, w) for w in weights}
    for group in line.shared:
        together = _share(design, line, tries, [w for w in group if w in alone])
        alone.update(together)
    return tuple(alone[w] for w in weights)


def _tries(design: Design, line: Line) -> Iterator[_Try]:
    """Every way to make a ball, the preferred ones first."""
    means = line.means or _own_means(design)
    first = means[0]
    base = _freed(design, first)
    seen: set[tuple[float, str]] = set()
    for count in range(1, len(means) + 1):
        taken = means[:count]
        sizes = [1.0, *(s for m in taken for s in m.sizes if s != 1.0)]
        densities: list[Means | None] = [None, *(m for m in taken[1:] if m.material)]
        for size in sizes:
            for moved in densities:
                key = (size, moved.material if moved else "")
                if key not in seen:
                    seen.add(key)
                    yield _Try(resized(base, size), size, moved, count)


def _own_means(design: Design) -> tuple[Means, ...]:
    for material in design.materials:
        if isinstance(material.density, FreeDensity):
            bounds = material.density
            return (Means(material.name, bounds.from_g_cm3, bounds.to_g_cm3),)
    raise LineError(
        "no density is free and the design names no means: write lineup.by, or free a density"
    )


def _freed(design: Design, means: Means) -> Design:
    """The design with the density of the first means free; one that was free before is solved."""
    free = [m for m in design.materials if isinstance(m.density, FreeDensity)]
    solved = {}
    if free and free[0].name != means.material:
        ball = build_ball(design)
        solved = {p.material: p.density_g_cm3 for p in ball.parts}
    materials = tuple(
        replace(m, density=FreeDensity(means.low + _INSET, means.high - _INSET))
        if m.name == means.material
        else (replace(m, density=solved[m.name]) if m.name in solved else m)
        for m in design.materials
    )
    return replace(design, materials=materials)


def _carry(design: Design, line: Line, tries: Sequence[_Try], weight_g: float) -> Carried:
    """The first way that holds every window; else the one that comes nearest."""
    nearest: tuple[float, _Try, float | None] | None = None
    reached: list[Rows] = []
    for one in tries:
        values, rows = _rows(one, weight_g)
        reached.append(rows)
        cost = _cost(line.hold, rows)
        if not np.isfinite(cost).any():
            continue
        best = int(np.argmin(cost))
        value = None if one.moved is None else float(values[best, 0])
        if value is not None:
            value = _finer(one, weight_g, line.hold, values, best)
        now = _one(one, weight_g, value)
        off = float(_cost(line.hold, now)[0])
        if nearest is None or off < nearest[0] - _KEPT:
            nearest = off, one, value
        if off <= _KEPT:
            break
    if nearest is None:
        return Carried(weight_g, False, b"", {}, 1.0, {}, 0, _no_ball(tries, weight_g))
    _, one, value = nearest
    return _written(design, line, one, weight_g, value, reached)


def _varied(one: _Try) -> tuple[Varied, ...]:
    moved = one.moved
    if moved is None:
        return ()
    path = f"materials.{moved.material}.density"
    return (Varied(path, path, "g/cm3", 1.0, moved.low, moved.low, moved.high),)


def _rows(one: _Try, weight_g: float, low: float = 0.0, high: float = 1.0) -> tuple[Array, Rows]:
    """All that a way can make, over the range of the density that varies."""
    design = replace(one.design, weight_g=weight_g)
    varied = _varied(one)
    if not varied:
        values = np.zeros((1, 0))
    else:
        share = np.linspace(low, high, _POINTS)
        values = (varied[0].low + (varied[0].high - varied[0].low) * share)[:, None]
    return values, weigh_rows(design, varied, values)


def _one(one: _Try, weight_g: float, value: float | None) -> Rows:
    design = replace(one.design, weight_g=weight_g)
    values = np.zeros((1, 0)) if value is None else np.array([[value]])
    return weigh_rows(design, _varied(one), values)


def _cost(hold: Sequence[Aim], rows: Rows) -> Array:
    """How far outside the windows, in their scales, squared; infinity where there is no ball."""
    total = np.where(rows.good, 0.0, np.inf)
    for aim in hold:
        figure = rows.figures[aim.figure]
        beyond = np.zeros(len(rows))
        if aim.low is not None:
            beyond = np.maximum(beyond, aim.low - figure)
        if aim.high is not None:
            beyond = np.maximum(beyond, figure - aim.high)
        total = total + np.nan_to_num(beyond / aim.scale, nan=np.inf) ** 2
    return np.asarray(total)


def _finer(one: _Try, weight_g: float, hold: Sequence[Aim], values: Array, best: int) -> float:
    """The density again, between the neighbours of the best; the middle of a stretch that holds."""
    (varied,) = _varied(one)
    cost = _cost(hold, weigh_rows(replace(one.design, weight_g=weight_g), (varied,), values))
    held = np.flatnonzero(cost <= _KEPT)
    if len(held):
        return float(values[held[len(held) // 2], 0])
    last = len(values) - 1
    low, high = max(best - 1, 0) / last, min(best + 1, last) / last
    fine, rows = _rows(one, weight_g, low, high)
    cost = _cost(hold, rows)
    held = np.flatnonzero(cost <= _KEPT)
    return float(fine[held[len(held) // 2] if len(held) else int(np.argmin(cost)), 0])


def _written(
    design: Design,
    line: Line,
    one: _Try,
    weight_g: float,
    value: float | None,
    reached: Sequence[Rows],
) -> Carried:
    """The ball as its file has it."""
    numbers = {"ball.weight": weight_g}
    if one.size != 1.0:
        numbers.update(size_numbers(design, one.size))
    ball = build_ball(
        with_numbers(
            replace(one.design, weight_g=weight_g),
            {} if value is None or one.moved is None
            else {f"materials.{one.moved.material}.density": value},
        )
    )  # fmt: skip
    solved = {p.material: p.density_g_cm3 for p in ball.parts}
    for material in design.materials:
        if not isinstance(material.density, FreeDensity):
            numbers[f"materials.{material.name}.density"] = solved.get(
                material.name, material.density
            )
    source = rewritten(design.source, numbers, home_of(design), mark=f"{weight_g / G_PER_LB:g} lb")
    read = read_design(source, design.file or "design", home_of(design))
    final = replace(read, wanted=Wanted())
    rows = weigh_rows(final, (), np.zeros((1, 0)))
    if not rows.good[0]:
        raise LineError(f"at {weight_g / G_PER_LB:g} lb: {WHY[rows.why[0]]}")
    figures = {name: float(column[0]) for name, column in rows.figures.items()}
    densities = {p.material: p.density_g_cm3 for p in build_ball(final).parts}
    met = float(_cost(line.hold, rows)[0]) <= 1e-6
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
            f"{spelled(aim.figure)} is {abs(beyond) / figure.size:.4f} {figure.unit} "
            f"{side} its window; {span.min():.4f} to {span.max():.4f} {figure.unit} can be reached"
            f"{alone}"
        )
    return "; ".join(said)


def _no_ball(tries: Sequence[_Try], weight_g: float) -> str:
    """Why no ball of that weight can be made: what the first means would have to be."""
    try:
        build_ball(replace(tries[0].design, weight_g=weight_g), solids=False)
    except CorewrightError as error:
        return str(error)
    return "every ball that was tried is refused"


def _share(
    design: Design, line: Line, tries: Sequence[_Try], group: Sequence[float]
) -> dict[float, Carried]:
    """Weights whose outer cores are of one density: another density brings them to weight.

    Raises:
        LineError: no other material may vary.
    """
    means = line.means or _own_means(design)
    others = [m for m in means[1:] if m.material]
    if not others:
        raise LineError("lineup.share: a second material must be among the means")
    first, second = means[0], others[0]
    sizes = sorted({t.size for t in tries}, key=lambda s: [t.size for t in tries].index(s))
    best: tuple[float, _Try, float] | None = None
    reached: dict[float, list[Rows]] = {w: [] for w in group}
    for size in sizes:
        base = resized(_freed(_held(design, first), second), size)
        one = _Try(base, size, first, len(means))
        costs = []
        for weight in group:
            values, rows = _rows(one, weight, _EDGE, 1.0 - _EDGE)
            reached[weight].append(rows)
            costs.append(_cost(line.hold, rows))
        total = np.sum(costs, axis=0)
        if not np.isfinite(total).any():
            continue
        held = np.flatnonzero(total <= _KEPT)
        at = int(held[len(held) // 2]) if len(held) else int(np.argmin(total))
        if best is None or total[at] < best[0] - _KEPT:
            best = float(total[at]), one, float(values[at, 0])
        if len(held):
            break
    if best is None:
        said = ", ".join(f"{w / G_PER_LB:g}" for w in group)
        raise LineError(f"no outer core of one density makes balls of {said} lb")
    _, one, value = best
    return {w: _written(design, line, one, w, value, reached[w]) for w in group}


def _held(design: Design, means: Means) -> Design:
    """The design with the density of a means fixed, whatever it was; it varies from there."""
    materials = tuple(
        replace(m, density=means.low) if m.name == means.material else m for m in design.materials
    )
    return replace(design, materials=materials)
