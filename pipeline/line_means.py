"""The means by which a ball is brought to a weight, as designs with one density free."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from pipeline.ball import build_ball
from pipeline.design import Design, FreeDensity
from pipeline.errors import CorewrightError
from pipeline.resize import resized
from pipeline.rows import Rows
from pipeline.wanted import Aim, Line, Means, Varied
from shapes.moments import Array

INSET = 2e-5  # g/cm3 inside its bounds: what is written is rounded, and solved again from there


class LineError(CorewrightError):
    """The core cannot be carried so."""


@dataclass(frozen=True, eq=False)
class Try:
    """One way to make a weight: the design at a size, and the density that varies, if any."""

    design: Design
    size: float
    moved: Means | None
    means: int
    third: Means | None = None


def tries_of(design: Design, line: Line) -> Iterator[Try]:
    """Every way to make a ball, the preferred ones first."""
    means = line.means or own_means(design)
    first = means[0]
    base = freed(design, first)
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
                    yield Try(resized(base, size), size, moved, count)


def own_means(design: Design) -> tuple[Means, ...]:
    """The free density alone, for a design that names no means."""
    for material in design.materials:
        if isinstance(material.density, FreeDensity):
            bounds = material.density
            return (Means(material.name, bounds.from_g_cm3, bounds.to_g_cm3),)
    raise LineError(
        "no density is free and the design names no means: write lineup.by, or free a density"
    )


def freed(design: Design, means: Means) -> Design:
    """The design with the density of the first means free; one that was free before is solved."""
    free = [m for m in design.materials if isinstance(m.density, FreeDensity)]
    solved = {}
    if free and free[0].name != means.material:
        ball = build_ball(design)
        solved = {p.material: p.density_g_cm3 for p in ball.parts}
    materials = tuple(
        replace(m, density=FreeDensity(means.low + INSET, means.high - INSET))
        if m.name == means.material
        else (replace(m, density=solved[m.name]) if m.name in solved else m)
        for m in design.materials
    )
    return replace(design, materials=materials)


def varied_of(one: Try) -> tuple[Varied, ...]:
    """The density that varies besides the one that is solved, if any."""
    moved = one.moved
    if moved is None:
        return ()
    path = f"materials.{moved.material}.density"
    return (Varied(path, path, "g/cm3", 1.0, moved.low, moved.low, moved.high),)


def cost_of(hold: Sequence[Aim], rows: Rows) -> Array:
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


def held_at_least(design: Design, means: Means) -> Design:
    """The design with the density of a means fixed, whatever it was; it varies from there."""
    materials = tuple(
        replace(m, density=means.low) if m.name == means.material else m for m in design.materials
    )
    return replace(design, materials=materials)
