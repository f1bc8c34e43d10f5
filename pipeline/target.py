"""How far a ball is from what its design wants, as numbers that a search can make small.

Every aim, wall, extent and limit is one entry.  An aim at a value counts in halves of its window;
all others count only where they are broken.  A row meets all when no entry is beyond what is
allowed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from pipeline.design import Design, FreeDensity
from pipeline.errors import BallError
from pipeline.limits import COMPONENT_DENSITY_G_CM3, limits_on_rg
from pipeline.rows import Rows, weigh_rows
from pipeline.units import MM_PER_IN
from pipeline.vary import numbers_at, with_numbers
from pipeline.wanted import AIMED, Aim, Extent, Varied, Wall, spelled
from shapes.errors import ShapeError
from shapes.moments import Array, Mask
from shapes.placed import Placed
from shapes.sphere import Sphere

_ANY_DENSITY = FreeDensity(-2.0, COMPONENT_DENSITY_G_CM3)
_G_CM3 = 0.005  # a density outside its bounds by this counts as one
_LENGTH_MM = 0.05  # a wall or an extent that is out by this counts as one
SLACK = 0.01  # of an entry's scale: a search stays that far inside, so that rounding may move it
_KEPT = 1e-6  # of an entry's scale: what rounding may add


@dataclass(frozen=True)
class Scored:
    """Rows held against what is wanted.

    Attributes:
        rows: what they weigh.
        entries: shape (n, m), signed and scaled; NaN where there is no ball.
        margins: shape (n, m), how far inside each entry is, in the inner unit; negative outside.
    """

    rows: Rows
    entries: Array
    margins: Array

    @property
    def cost(self) -> Array:
        """Sum of the squares; infinity where there is no ball."""
        return np.asarray(np.nan_to_num((self.entries**2).sum(axis=1), nan=np.inf))

    def met(self, scales: Array) -> Mask:
        """Which rows meet all."""
        with np.errstate(invalid="ignore"):
            return np.asarray((self.margins >= -_KEPT * scales).all(axis=1))


@dataclass(frozen=True)
class Entry:
    """One thing that is wanted.

    Attributes:
        name: for people.
        scale: what counts as one, in the inner unit.
        unit, size: as it is shown.
    """

    name: str
    scale: float
    unit: str
    size: float


@dataclass(frozen=True)
class Target:
    """What a design wants, ready to be held against rows.

    Raises:
        BallError: a wall is asked up to a part that is no sphere.
    """

    design: Design

    def __post_init__(self) -> None:
        for wall in self.walls:
            outer = self._part(wall.inside)
            if not isinstance(self.design.parts[outer].shape, Sphere):
                raise BallError(
                    f"keep.walls: '{wall.inside}' is no sphere; a wall is measured up to a sphere"
                )

    @property
    def varied(self) -> tuple[Varied, ...]:
        """What may vary."""
        return self.design.wanted.varied

    @property
    def aims(self) -> tuple[Aim, ...]:
        """Those with a window."""
        return tuple(a for a in self.design.wanted.aims if a.low is not None or a.high is not None)

    @property
    def seeks(self) -> tuple[Aim, ...]:
        """Those that are to be as small or as great as can be."""
        return tuple(a for a in self.design.wanted.aims if a.seek is not None)

    @property
    def walls(self) -> tuple[Wall, ...]:
        """What must be left round parts."""
        return self.design.wanted.walls

    @property
    def extents(self) -> tuple[Extent, ...]:
        """How large parts may be."""
        return self.design.wanted.extents

    @cached_property
    def _free(self) -> tuple[tuple[str, float, float], ...]:
        """The density that is solved: its material and bounds."""
        return tuple(
            (m.name, m.density.from_g_cm3, min(m.density.to_g_cm3, COMPONENT_DENSITY_G_CM3))
            for m in self.design.materials
            if isinstance(m.density, FreeDensity)
        )

    @cached_property
    def _relaxed(self) -> Design:
        """The design with that density unbounded, so that a search sees how far outside it is."""
        names = [name for name, _, _ in self._free]
        return replace(
            self.design,
            materials=tuple(
                replace(m, density=_ANY_DENSITY) if m.name in names else m
                for m in self.design.materials
            ),
        )

    @cached_property
    def _limits(self) -> tuple[Aim, ...]:
        margin = self.design.wanted.limits_margin_mm
        if margin is None:
            return ()
        found = []
        weight_varies = any(v.path == "ball.weight" for v in self.varied)
        for limit in limits_on_rg(None if weight_varies else self.design.weight_g):
            low = None if limit.least is None else limit.least * MM_PER_IN + margin
            high = None if limit.most is None else limit.most * MM_PER_IN - margin
            found.append(Aim(limit.figure.removesuffix("_in"), low, high))
        return tuple(found)

    @cached_property
    def entries(self) -> tuple[Entry, ...]:
        """What each column of `Scored` is."""
        found = [self._entry(spelled(a.figure), a) for a in self.aims]
        found += [self._entry(f"limit on {spelled(a.figure)}", a) for a in self._limits]
        found += [
            Entry(f"wall of {w.part} in {w.inside}", _LENGTH_MM, "in", MM_PER_IN)
            for w in self.walls
        ]
        found += [
            Entry(f"{e.along} of {e.part}", _LENGTH_MM, "in", MM_PER_IN) for e in self.extents
        ]
        found += [
            Entry(f"density of {name}, {low:g} to {high:g} g/cm3", _G_CM3, "g/cm3", 1.0)
            for name, low, high in self._free
        ]
        return tuple(found)

    @property
    def hard(self) -> Mask:
        """Which entries must hold whatever the aims: limits, walls, extents, densities."""
        return np.arange(len(self.entries)) >= len(self.aims)

    def sought(self, rows: Rows) -> Array:
        """What is sought, each figure in its own scale, added up to be made small, shape (n,)."""
        total = np.zeros(len(rows))
        for aim in self.seeks:
            sign = 1.0 if aim.seek == "least" else -1.0
            total = total + sign * rows.figures[aim.figure] / aim.scale
        return total

    def _entry(self, name: str, aim: Aim) -> Entry:
        figure = AIMED[aim.figure]
        return Entry(name, aim.scale, figure.unit, figure.size)

    @property
    def scales(self) -> Array:
        """Shape (m,)."""
        return np.array([e.scale for e in self.entries])

    def score(self, values: Array) -> Scored:
        """Rows of values, shape (n, k), inner units, held against what is wanted."""
        rows = weigh_rows(self._relaxed, self.varied, values, sound=True)
        count = len(values)
        entries, margins = [], []
        for aim in (*self.aims, *self._limits):
            figure = rows.figures[aim.figure]
            margin = _margin(aim, figure)
            inside = np.minimum(margin / aim.scale - SLACK, 0.0)
            entries.append(inside if aim.value is None else (figure - aim.value) / aim.scale)
            margins.append(margin)
        for margin in self._rooms(values, rows.good):
            entries.append(np.minimum(margin / _LENGTH_MM - SLACK, 0.0))
            margins.append(margin)
        for _, low, high in self._free:
            margin = np.minimum(rows.free_g_cm3 - low, high - rows.free_g_cm3)
            entries.append(np.minimum(margin / _G_CM3 - SLACK, 0.0))
            margins.append(margin)
        nothing = np.where(rows.good, 0.0, np.nan)
        return Scored(
            rows,
            np.column_stack([*entries, nothing])[:, :-1] if entries else np.zeros((count, 0)),
            np.column_stack([*margins, nothing])[:, :-1] if margins else np.zeros((count, 0)),
        )

    def _rooms(self, values: Array, good: Mask) -> list[Array]:
        """Walls and extents, how far inside, row by row."""
        asked = len(self.walls) + len(self.extents)
        if not asked:
            return []
        found = np.full((len(values), asked), np.nan)
        for k in np.flatnonzero(good):
            numbers = numbers_at(self.varied, [float(v) for v in values[k]])
            try:
                found[k] = self._rooms_of(with_numbers(self.design, numbers))
            except ShapeError:
                continue
        return list(found.T)

    def _rooms_of(self, design: Design) -> list[float]:
        bodies = [Placed(p.shape, p.placement) for p in design.parts]
        found = []
        for wall in self.walls:
            inner, outer = bodies[self._part(wall.part)], bodies[self._part(wall.inside)]
            assert isinstance(outer.shape, Sphere)
            reach = inner.reach_mm(outer.placement.offset())
            found.append(outer.shape.diameter / 2.0 - reach - wall.at_least_mm)
        for extent in self.extents:
            size = extent_mm(bodies[self._part(extent.part)], extent.along)
            low = -np.inf if extent.low_mm is None else extent.low_mm
            high = np.inf if extent.high_mm is None else extent.high_mm
            found.append(min(size - low, high - size))
        return found

    def _part(self, name: str) -> int:
        return [p.name for p in self.design.parts].index(name)


def extent_mm(body: Placed, along: str) -> float:
    """Height of a body along its own Z as drawn, or its greatest width along X or Y."""
    ways = [(0.0, 0.0, 1.0)] if along == "height" else [(1.0, 0.0, 0.0), (0.0, 1.0, 0.0)]
    shape = body.shape
    return max(shape.support_mm(np.array(way)) + shape.support_mm(-np.array(way)) for way in ways)


def _margin(aim: Aim, figure: Array) -> Array:
    inside: Sequence[Array] = [
        *([figure - aim.low] if aim.low is not None else []),
        *([aim.high - figure] if aim.high is not None else []),
    ]
    return np.asarray(np.min(inside, axis=0))
