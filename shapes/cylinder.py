"""A cylinder about Z, its middle at the origin."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import hypot, pi
from typing import TYPE_CHECKING, Annotated

import numpy as np

from shapes.curves import Line
from shapes.moments import Array, Mask, Moments
from shapes.parameters import Parameter
from shapes.profile import Profile
from shapes.shape import Shape

if TYPE_CHECKING:
    import cadquery as cq


@dataclass(frozen=True)
class Cylinder(Shape):
    """A right cylinder: a rod when it is long, a disc when it is flat.

    >>> round(Cylinder(diameter=2.0, height=3.0).moments().volume_mm3, 6)
    9.424778
    """

    diameter: Annotated[float, Parameter("length", "full width", above=0.0)]
    height: Annotated[float, Parameter("length", "length along its axis", above=0.0)]

    def moments(self) -> Moments:
        """V = pi r^2 h, int x^2 = V r^2 / 4, int z^2 = V h^2 / 12 (Beer & Johnston; memory)."""
        radius = self.diameter / 2.0
        volume = pi * radius**2 * self.height
        return Moments.of_revolution(
            volume, 0.0, volume * radius**2 / 4.0, volume * self.height**2 / 12.0
        )

    def section(self) -> Profile:
        """A rectangle on the axis."""
        radius, half = self.diameter / 2.0, self.height / 2.0
        corners = ((0.0, -half), (radius, -half), (radius, half), (0.0, half))
        return Profile(tuple(Line(a, b) for a, b in pairwise(corners)))

    def reach_mm(self, point: Array) -> float:
        """The far side of the far rim."""
        return hypot(
            hypot(point[0], point[1]) + self.diameter / 2.0,
            abs(point[2]) + self.height / 2.0,
        )

    def support_mm(self, direction: Array) -> float:
        """A point of a rim."""
        return float(
            hypot(direction[0], direction[1]) * self.diameter / 2.0
            + abs(direction[2]) * self.height / 2.0
        )

    def contains(self, points: Array) -> Mask:
        """Within the radius and between the ends."""
        radial = points[:, 0] ** 2 + points[:, 1] ** 2 <= (self.diameter / 2.0) ** 2
        return np.asarray(radial & (np.abs(points[:, 2]) <= self.height / 2.0))

    def solid(self) -> cq.Solid:
        """Two plane faces and a cylindrical one."""
        from shapes import solid

        return solid.turned(self.section())
