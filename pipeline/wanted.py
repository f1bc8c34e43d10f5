"""What a design is to become: aims, what must be kept, and what may vary to get there."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from pipeline.units import G_PER_LB, G_PER_OZ, MM_PER_IN

Seek = Literal["least", "greatest"]
Sense = Literal["with", "against", "beside"]


@dataclass(frozen=True)
class Figure:
    """A figure of the ball that can be aimed at.

    Attributes:
        says: one line for the reference.
        unit: as it is shown, 'in', 'lb' or 'oz'.
        size: of that unit in the inner one, mm or g.
        fine: a change that hardly matters, in the inner unit: the scale of ranges.
    """

    says: str
    unit: str
    size: float
    fine: float


_RG = (MM_PER_IN, 0.0005 * MM_PER_IN)
AIMED: dict[str, Figure] = {
    "low_rg": Figure("RG about the pin axis, the low one", "in", *_RG),
    "intermediate_rg": Figure("the middle RG", "in", *_RG),
    "high_rg": Figure("the high RG", "in", *_RG),
    "total_differential": Figure("high less low RG", "in", *_RG),
    "intermediate_differential": Figure("high less intermediate RG", "in", *_RG),
    "pin_to_cg": Figure(
        "along the surface from the pin to the CG mark", "in", MM_PER_IN, 0.05 * MM_PER_IN
    ),
    "top_weight": Figure("first moment over the radius", "oz", G_PER_OZ, 0.05 * G_PER_OZ),
    "mass": Figure("mass of the ball", "lb", G_PER_LB, 0.005 * G_PER_LB),
    "core_mass": Figure("mass of all parts inside the outer core", "lb", G_PER_LB, 0.02 * G_PER_LB),
}


def spelled(figure: str) -> str:
    """The name of a figure for people.

    >>> spelled("low_rg"), spelled("pin_to_cg")
    ('low RG', 'pin to CG')
    """
    return re.sub(r"\b(rg|cg)\b", lambda m: m[0].upper(), figure.replace("_", " "))


@dataclass(frozen=True)
class Aim:
    """What a figure should be.

    Attributes:
        figure: one of `AIMED`.
        low, high: the window it should lie in, mm or g; None where that side is open.
        value: the middle to come near to; None where all of the window is as good.
        seek: whether it should be as small or as great as can be, inside the window.
        line: where it stands in the file.
    """

    figure: str
    low: float | None = None
    high: float | None = None
    value: float | None = None
    seek: Seek | None = None
    line: int = 0

    @property
    def scale(self) -> float:
        """Half the window's width where it has two sides, else what hardly matters."""
        if self.low is not None and self.high is not None and self.high > self.low:
            return (self.high - self.low) / 2.0
        return AIMED[self.figure].fine

    def beyond(self, value: float) -> float:
        """How far outside the window a value lies: negative below, positive above, else zero."""
        if self.low is not None and value < self.low:
            return value - self.low
        if self.high is not None and value > self.high:
            return value - self.high
        return 0.0


@dataclass(frozen=True)
class Wall:
    """How much must be left between a part and the surface of a sphere round it, mm."""

    part: str
    inside: str
    at_least_mm: float


@dataclass(frozen=True)
class Extent:
    """How large a part may be as drawn, mm: its height along its own Z, or its greatest width."""

    part: str
    along: Literal["height", "width"]
    low_mm: float | None
    high_mm: float | None


@dataclass(frozen=True)
class Tie:
    """A number that follows one that varies.

    Attributes:
        path: of its field in the design file.
        sense: 'with' keeps it equal, 'against' equal with the other sign, 'beside' at the distance
            that it has in the file.
        gap: that distance.
    """

    path: str
    sense: Sense
    gap: float = 0.0

    def follow(self, value: float) -> float:
        """Its value beside that of the number it follows."""
        return {"with": value, "against": -value, "beside": value + self.gap}[self.sense]


@dataclass(frozen=True)
class Varied:
    """A number that may vary.

    Attributes:
        path: of its field in the design file.
        name: the same for people, such as 'inner core size.x' or 'density of clay'.
        unit: in which it is shown.
        size: of that unit in the inner one.
        now: its value in the file, in the inner unit.
        low, high: between which it may vary.
        ties: numbers that follow it.
        line: where it stands in the file.
    """

    path: str
    name: str
    unit: str
    size: float
    now: float
    low: float
    high: float
    ties: tuple[Tie, ...] = ()
    line: int = 0


@dataclass(frozen=True)
class Means:
    """A way to reach a ball weight: the density of a material, or sizes of the whole core.

    Attributes:
        material: whose density may vary; empty for sizes.
        low, high: its bounds, g/cm3.
        sizes: factors by which the core may be made larger or smaller about the ball's centre.
        line: where it stands in the file.
    """

    material: str = ""
    low: float = 0.0
    high: float = 0.0
    sizes: tuple[float, ...] = ()
    line: int = 0


@dataclass(frozen=True)
class Line:
    """How a core is carried across ball weights.

    Attributes:
        weights_g: the weights, as they are listed.
        hold: windows for the figures of every ball.
        means: in order of preference, the first a material.
        shared: weights whose outer cores are to be of one density.
    """

    weights_g: tuple[float, ...] = ()
    hold: tuple[Aim, ...] = ()
    means: tuple[Means, ...] = ()
    shared: tuple[tuple[float, ...], ...] = ()


@dataclass(frozen=True)
class Wanted:
    """All of it.

    Attributes:
        aims: figures and what they should be.
        walls, extents: what must be kept.
        limits_margin_mm: how far inside the governing body's limits RG and differentials must stay;
            None when they are not asked for.
        varied: what may vary.
        line: how the core is carried across ball weights.
    """

    aims: tuple[Aim, ...] = ()
    walls: tuple[Wall, ...] = ()
    extents: tuple[Extent, ...] = ()
    limits_margin_mm: float | None = None
    varied: tuple[Varied, ...] = ()
    line: Line = Line()


NOTHING = Wanted()
