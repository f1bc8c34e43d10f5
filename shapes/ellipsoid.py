"""An ellipsoid about the origin, axes along X, Y and Z."""

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
class Ellipsoid(Shape):
    """An egg without a blunt end; three different sizes make an asymmetrical core.

    >>> round(Ellipsoid(size=(2.0, 4.0, 6.0)).moments().volume_mm3, 6)
    25.132741
    """

    size: Annotated[
        tuple[float, float, float],
        Parameter(
            "lengths", "full widths along x, y and z", above=0.0, typical=(96.0, 84.0, 120.0)
        ),
    ]

    def _semi(self) -> Array:
        return np.array(self.size, dtype=float) / 2.0

    def moments(self) -> Moments:
        """V = 4/3 pi abc, int x^2 = V a^2 / 5 (Beer & Johnston; from memory)."""
        a, b, c = (size / 2.0 for size in self.size)
        volume = 4.0 / 3.0 * pi * a * b * c
        share, nothing = volume / 5.0, 0.0 * volume
        squares = (share * a**2, share * b**2, share * c**2)
        return Moments.of(volume, (nothing, nothing, nothing), squares)

    def section(self) -> Profile | None:
        """Half an ellipse, when x and y are the same."""
        a, b, c = (float(s) for s in self._semi())
        return Profile((Arc((0.0, 0.0), (a, c), -pi / 2.0, pi),)) if a == b else None

    def hull(self) -> Hull:
        """Round half the ellipse across which it is widest."""
        a, b, c = (size / 2.0 for size in self.size)
        return hull_of([Arc((0.0, 0.0), (np.maximum(a, b), c), -pi / 2.0, pi)])

    def reach_mm(self, point: Array) -> float:
        """Farthest point: x_i = p_i a_i^2 / (a_i^2 - k) with one k above the largest a^2.

        It follows from Lagrange's condition x - p = k x / a^2 on the ellipsoid.  k is sought as the
        largest a^2 plus u, since u may be tiny: when the point has next to nothing along the
        longest axis, that coordinate fills up what the others leave.
        """
        square = self._semi() ** 2
        short = square - square.max()  # zero on the longest axes

        def on(u: float) -> Array:
            away = np.zeros(3)
            moved = point != 0.0
            away[moved] = point[moved] * square[moved] / (short[moved] - u)
            return away

        low, high = 1e-120, 1.0
        while (on(high) ** 2 / square).sum() > 1.0:
            high *= 16.0
        if (on(low) ** 2 / square).sum() <= 1.0:  # nothing at all along the longest axes
            farthest = on(low)
            tip = int(np.argmax(square))
            left = 1.0 - float((farthest**2 / square).sum())
            farthest[tip] = np.sqrt(square[tip] * left)
            return float(np.linalg.norm(farthest - point))
        for _ in range(500):  # halving the exponent first, then the number, to the last bit
            u = np.sqrt(low * high) if high > 2.0 * low else (low + high) / 2.0
            if not low < u < high:
                break
            low, high = (u, high) if (on(u) ** 2 / square).sum() > 1.0 else (low, u)
        return float(np.linalg.norm(on(high) - point))

    def support_mm(self, direction: Array) -> float:
        """sqrt(sum (a_i n_i)^2), the half-width between tangent planes."""
        return float(np.linalg.norm(self._semi() * direction))

    def contains(self, points: Array) -> Mask:
        """Sum (x_i / a_i)^2 <= 1."""
        return np.asarray(((points / self._semi()) ** 2).sum(axis=1) <= 1.0)

    def chords(self, lines: Lines) -> Array:
        """As a line and the unit ball, when both are squeezed."""
        return in_unit_ball(lines.start / self._semi(), lines.way / self._semi())

    def parting(self) -> Parting:
        """Square to Z at the middle, where it is widest."""
        return Parting(ACROSS, 0.0, 0.0)

    def solid(self) -> cq.Solid:
        """A turned half-ellipse, or a unit sphere stretched along three axes."""
        from shapes import solid

        section = self.section()
        if section is not None:
            return solid.turned(section)
        return solid.ellipsoid(*(float(s) for s in self._semi()))
