"""The bowed half-section that several families share: a barrel that bulges, a spool if hollow.

Its flank is a parabola of the height, r = middle + (end - middle) (2 z / height)^2: that of a plain
cylinder where both diameters are the same.  The rims between flank and flat ends are rounded.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated, NamedTuple

from shapes.curves import Curve, Line
from shapes.moments import Mask
from shapes.parameters import Parameter
from shapes.pen import Flank, Rim, below, rim
from shapes.profile import Profile
from shapes.revolved import drawn
from shapes.shape import Rule, Shape


class Bowed(NamedTuple):
    """A bowed half-section, the same above and below.

    Attributes:
        curves: lower end, lower rim, flank to the middle, flank from there, upper rim, upper end.
        rim: the upper rim.
        flank: the whole flank.
    """

    curves: tuple[Curve, ...]
    rim: Rim
    flank: Flank


def bowed(end_mm: float, middle_mm: float, height_mm: float, radius_mm: float) -> Bowed:
    """Draw it from its radii and its height."""
    half = height_mm / 2.0
    flank = Flank(0.0, middle_mm, 0.0, (end_mm - middle_mm) / half**2)
    upper = rim(flank, half, radius_mm, upper=True)
    lower = below(upper)
    nothing = 0.0 * half
    curves = (
        Line((nothing, -half), (lower.on_end_r, -half)),
        lower.arc,
        flank.curve(lower.on_flank_z, nothing),
        flank.curve(nothing, upper.on_flank_z),
        upper.arc,
        Line((upper.on_end_r, half), (nothing, half)),
    )
    return Bowed(curves, upper, flank)


def rim_rules(field: str, drawn: Rim, flank: Flank, low: float, high: float) -> Iterator[Rule]:
    """What a rim must be: on its flank, between two heights, and clear of the axis."""
    radius = drawn.arc.semi[0]
    lean = flank.lean(drawn.on_flank_z)
    tight: bool | Mask = 1.0 + 2.0 * radius * flank.bend / (1.0 + lean * lean) ** 1.5 > 0.05
    yield Rule(field, tight, lambda: f"{radius:g} mm is rounder than the flank is bowed; take less")
    yield Rule(
        field,
        (low - 1e-9 <= drawn.on_flank_z) & (drawn.on_flank_z <= high + 1e-9),
        lambda: f"a rounding of {radius:g} mm needs more height than its flank has; take less",
    )
    yield Rule(
        field,
        drawn.on_end_r >= -1e-9,
        lambda: f"a rounding of {radius:g} mm reaches past the axis; take less",
    )


@dataclass(frozen=True)
class BowedHost(Shape):
    """A barrel or a spool that a family cuts, bends or adds to."""

    end_diameter: Annotated[float, Parameter("length", "width at either end", above=0.0)] = 84.0
    middle_diameter: Annotated[float, Parameter("length", "width at the middle", above=0.0)] = 108.0
    height: Annotated[float, Parameter("length", "length along its axis", above=0.0)] = 116.0
    round: Annotated[float, Parameter("length", "radius of the rims", at_least=0.0)] = 6.0

    def host(self) -> Bowed:
        """The half-section of the barrel or spool."""
        return bowed(self.end_diameter / 2.0, self.middle_diameter / 2.0, self.height, self.round)

    def host_section(self) -> Profile:
        """The same, as Python's own numbers and without steps of no length."""
        return _host_section(self)

    def rules(self) -> Iterator[Rule]:
        """The rims fit."""
        host = self.host()
        yield from rim_rules("round", host.rim, host.flank, 0.0, self.height / 2.0)

    def section(self) -> Profile | None:
        """It is not the same all round."""
        return None


@lru_cache(maxsize=1024)
def _host_section(shape: BowedHost) -> Profile:
    return Profile(tuple(drawn(shape.host().curves)))
