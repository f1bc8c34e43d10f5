"""A sphere about the origin."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import TYPE_CHECKING, Annotated

import numpy as np

from shapes.chords import Lines, in_unit_ball
from shapes.curves import Arc
from shapes.hull import Hull, hull_of
from shapes.moments import Array, Mask, Moments
from shapes.parameters import Parameter
from shapes.parting import ACROSS, Parting
from shapes.profile import Profile
from shapes.shape import Shape

if TYPE_CHECKING:
    import cadquery as cq


@dataclass(frozen=True)
class Sphere(Shape):
    """A full ball; the outer core and the cover are spheres.

    >>> round(Sphere(diameter=2.0).moments().volume_mm3, 6)
    4.18879
    """

    diameter: Annotated[float, Parameter("length", "full width", above=0.0, typical=110.0)]

    def moments(self) -> Moments:
        """V = 4/3 pi R^3, int x^2 = V R^2 / 5 (Beer & Johnston; from memory)."""
        radius = self.diameter / 2.0
        volume = 4.0 / 3.0 * pi * radius**3
        square, nothing = volume * radius**2 / 5.0, 0.0 * volume
        return Moments.of(volume, (nothing, nothing, nothing), (square, square, square))

    def section(self) -> Profile:
        """Half a circle."""
        radius = self.diameter / 2.0
        return Profile((Arc((0.0, 0.0), (radius, radius), -pi / 2.0, pi),))

    def hull(self) -> Hull:
        """Round the half circle."""
        radius = self.diameter / 2.0
        return hull_of([Arc((0.0, 0.0), (radius, radius), -pi / 2.0, pi)])

    def reach_mm(self, point: Array) -> float:
        """Through the centre to the far side."""
        return float(np.linalg.norm(point)) + self.diameter / 2.0

    def support_mm(self, direction: Array) -> float:  # noqa: ARG002 every way is the same
        """The radius, whatever the direction."""
        return self.diameter / 2.0

    def contains(self, points: Array) -> Mask:
        """Within a radius of the origin."""
        return np.asarray((points**2).sum(axis=1) <= (self.diameter / 2.0) ** 2)

    def chords(self, lines: Lines) -> Array:
        """As a line and the unit ball, when both are shrunk."""
        radius = self.diameter / 2.0
        return in_unit_ball(lines.start / radius, lines.way / radius)

    def parting(self) -> Parting:
        """Square to Z at the middle, where it is widest."""
        return Parting(ACROSS, 0.0, 0.0)

    def solid(self) -> cq.Solid:
        """A spherical face, its poles turned away from the axes of the ball."""
        from shapes import solid

        return solid.sphere(self.diameter / 2.0)
