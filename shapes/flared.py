"""A cylinder that flares towards one end or both: mass far from the centre along the pin."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

from shapes.bowed import rim_rules
from shapes.curves import Curve, Line
from shapes.parameters import Parameter
from shapes.pen import Flank, Rim, rim
from shapes.revolved import Revolved
from shapes.shape import Rule


@dataclass(frozen=True)
class Flared(Revolved):
    """A cylinder with a flare at its lower end, its upper end or both.

    The flare's flank is a parabola that leaves the cylinder smoothly.

    >>> round(Flared(40.0, 40.0, 40.0, 10.0, 50.0, 0.0).moments().volume_mm3, 6)  # a cylinder
    62831.853072
    """

    diameter: Annotated[float, Parameter("length", "width between the flares", above=0.0)] = 74.0
    lower_diameter: Annotated[float, Parameter("length", "width of the lower end", above=0.0)] = (
        114.0
    )
    upper_diameter: Annotated[float, Parameter("length", "width of the upper end", above=0.0)] = (
        74.0
    )
    flare_height: Annotated[
        float, Parameter("length", "how far a flare reaches along the axis", above=0.0)
    ] = 46.0
    height: Annotated[float, Parameter("length", "length along its axis", above=0.0)] = 118.0
    round: Annotated[float, Parameter("length", "radius of the rims", at_least=0.0)] = 5.0

    def rules(self) -> Iterator[Rule]:
        """It flares outwards, both flares have room, and its rims fit."""
        for name in ("lower_diameter", "upper_diameter"):
            width = getattr(self, name)
            yield Rule(
                name,
                width >= self.diameter,
                lambda width=width: (  # type: ignore[misc]
                    f"{width:g} mm is less than diameter, {self.diameter:g} mm, so that it would "
                    "taper; a tapering body is made of frusta"
                ),
            )
        yield Rule(
            "flare_height",
            2.0 * self.flare_height <= self.height,
            lambda: (
                f"{self.flare_height:g} mm is more than half of height; at most "
                f"{self.height / 2.0:g} mm"
            ),
        )
        half = self.height / 2.0
        (lower, low), (upper, high) = self._ends()
        yield from rim_rules("round", low, lower, -half, self.flare_height - half)
        yield from rim_rules("round", high, upper, half - self.flare_height, half)

    def _ends(self) -> tuple[tuple[Flank, Rim], tuple[Flank, Rim]]:
        radius, half = self.diameter / 2.0, self.height / 2.0
        start = half - self.flare_height
        lower, upper = (
            Flank(z, radius, 0.0, (width / 2.0 - radius) / self.flare_height**2)
            for z, width in ((-start, self.lower_diameter), (start, self.upper_diameter))
        )
        return (
            (lower, rim(lower, -half, self.round, upper=False)),
            (upper, rim(upper, half, self.round, upper=True)),
        )

    def outline(self) -> tuple[Curve, ...]:
        """Flat end, rim, flare, upright side, flare, rim, flat end."""
        (lower, low), (upper, high) = self._ends()
        half = self.height / 2.0
        start, nothing = half - self.flare_height, 0.0 * half
        return (
            Line((nothing, -half), (low.on_end_r, -half)),
            low.arc,
            lower.curve(low.on_flank_z, -start),
            Line((self.diameter / 2.0, -start), (self.diameter / 2.0, start)),
            upper.curve(start, high.on_flank_z),
            high.arc,
            Line((high.on_end_r, half), (nothing, half)),
        )
