"""A barrel: a body that bulges at its middle."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

from shapes.bowed import Bowed, bowed, rim_rules
from shapes.curves import Curve
from shapes.parameters import Parameter
from shapes.revolved import Revolved
from shapes.shape import Rule


@dataclass(frozen=True)
class Barrel(Revolved):
    """A barrel with flat ends; its flank is a parabola, upright at the middle.

    >>> round(Barrel(40.0, 40.0, 50.0, 0.0).moments().volume_mm3, 6)  # no bulge: a cylinder
    62831.853072
    """

    end_diameter: Annotated[float, Parameter("length", "width at either end", above=0.0)] = 76.0
    middle_diameter: Annotated[float, Parameter("length", "width at the middle", above=0.0)] = 106.0
    height: Annotated[float, Parameter("length", "length along its axis", above=0.0)] = 122.0
    round: Annotated[float, Parameter("length", "radius of the rims", at_least=0.0)] = 6.0

    def rules(self) -> Iterator[Rule]:
        """It bulges, and its rims fit."""
        yield Rule(
            "middle_diameter",
            self.middle_diameter >= self.end_diameter,
            lambda: (
                f"{self.middle_diameter:g} mm is less than end_diameter, "
                f"{self.end_diameter:g} mm; a hollow flank is a spool"
            ),
        )
        drawn = self._bowed()
        yield from rim_rules("round", drawn.rim, drawn.flank, 0.0, self.height / 2.0)

    def _bowed(self) -> Bowed:
        return bowed(self.end_diameter / 2.0, self.middle_diameter / 2.0, self.height, self.round)

    def outline(self) -> tuple[Curve, ...]:
        """Flat ends, rounded rims, a bowed flank."""
        return self._bowed().curves
