"""A cylinder about Z, its middle at the origin."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated

from shapes.curves import Curve, Line
from shapes.parameters import Parameter
from shapes.revolved import Revolved


@dataclass(frozen=True)
class Cylinder(Revolved):
    """A right cylinder: a rod when it is long, a disc when it is flat.

    >>> round(Cylinder(diameter=2.0, height=3.0).moments().volume_mm3, 6)
    9.424778
    """

    diameter: Annotated[float, Parameter("length", "full width", above=0.0, typical=90.0)]
    height: Annotated[float, Parameter("length", "length along its axis", above=0.0, typical=110.0)]

    def outline(self) -> tuple[Curve, ...]:
        """A rectangle on the axis."""
        radius, half, nothing = self.diameter / 2.0, self.height / 2.0, 0.0 * self.height
        corners = ((nothing, -half), (radius, -half), (radius, half), (nothing, half))
        return tuple(Line(a, b) for a, b in pairwise(corners))
