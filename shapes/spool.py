"""A spool: a body with a waist."""

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
class Spool(Revolved):
    """A spool with flat ends and a waist; its flank is a parabola, upright at the waist.

    >>> round(Spool(40.0, 40.0, 50.0, 0.0).moments().volume_mm3, 6)  # no waist: a cylinder
    62831.853072
    """

    end_diameter: Annotated[float, Parameter("length", "width at either end", above=0.0)] = 100.0
    waist_diameter: Annotated[float, Parameter("length", "width at the waist", above=0.0)] = 78.0
    height: Annotated[float, Parameter("length", "length along its axis", above=0.0)] = 116.0
    round: Annotated[float, Parameter("length", "radius of the rims", at_least=0.0)] = 5.0

    def rules(self) -> Iterator[Rule]:
        """It has a waist, and its rims fit."""
        yield Rule(
            "waist_diameter",
            self.waist_diameter <= self.end_diameter,
            lambda: (
                f"{self.waist_diameter:g} mm is more than end_diameter, "
                f"{self.end_diameter:g} mm; a bulging flank is a barrel"
            ),
        )
        drawn = self._bowed()
        yield from rim_rules("round", drawn.rim, drawn.flank, 0.0, self.height / 2.0)

    def _bowed(self) -> Bowed:
        return bowed(self.end_diameter / 2.0, self.waist_diameter / 2.0, self.height, self.round)

    def outline(self) -> tuple[Curve, ...]:
        """Flat ends, rounded rims, a bowed flank."""
        return self._bowed().curves
