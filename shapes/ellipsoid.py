"""An ellipsoid about the origin, axes along X, Y and Z."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import TYPE_CHECKING, Annotated

import numpy as np

from shapes.curves import Arc
from shapes.moments import Array, Mask, Moments
from shapes.parameters import Parameter
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
        Parameter("lengths", "full widths along x, y and z", above=0.0),
    ]

    def _semi(self) -> Array:
        return np.array(self.size, dtype=float) / 2.0

    def moments(self) -> Moments:
        """V = 4/3 pi abc, int x^2 = V a^2 / 5 (Beer & Johnston; from memory)."""
        semi = self._semi()
        volume = 4.0 / 3.0 * pi * float(semi.prod())
        return Moments(volume, np.zeros(3), np.diag(volume * semi**2 / 5.0))

    def section(self) -> Profile | None:
        """Half an ellipse, when x and y are the same."""
        a, b, c = (float(s) for s in self._semi())
        return Profile((Arc((0.0, 0.0), (a, c), -pi / 2.0, pi),)) if a == b else None

    def reach_mm(self, point: Array) -> float:
        """Farthest point: x_i = p_i / (1 - k / a_i^2) with one k above the largest a^2.

        It follows from Lagrange's condition x - p = k x / a^2 on the ellipsoid.  When the point has
        nothing along the longest axis, that coordinate is free and fills up what is left.
        """
        square = self._semi() ** 2
        longest = float(square.max())

        def fill(k: float) -> float:
            away = point[point != 0.0] / (1.0 - k / square[point != 0.0])
            return float((away**2 / square[point != 0.0]).sum())

        low, high = longest * (1.0 + 1e-14), longest + 1.0
        if not np.any(point) or fill(low) <= 1.0:
            on = np.zeros(3)
            rest = (square != longest) & (point != 0.0)
            on[rest] = point[rest] / (1.0 - longest / square[rest])
            tip = int(np.argmax(square))
            on[tip] = np.sqrt(longest * max(0.0, 1.0 - float((on**2 / square).sum())))
            return float(np.linalg.norm(on - point))
        while fill(high) > 1.0:
            high = longest + (high - longest) * 4.0
        for _ in range(200):
            k = (low + high) / 2.0
            low, high = (k, high) if fill(k) > 1.0 else (low, k)
        on = point / (1.0 - high / square)
        return float(np.linalg.norm(on - point))

    def support_mm(self, direction: Array) -> float:
        """sqrt(sum (a_i n_i)^2), the half-width between tangent planes."""
        return float(np.linalg.norm(self._semi() * direction))

    def contains(self, points: Array) -> Mask:
        """Sum (x_i / a_i)^2 <= 1."""
        return np.asarray(((points / self._semi()) ** 2).sum(axis=1) <= 1.0)

    def solid(self) -> cq.Solid:
        """A turned half-ellipse, or a unit sphere stretched along three axes."""
        from shapes import solid

        section = self.section()
        if section is not None:
            return solid.turned(section)
        return solid.ellipsoid(*(float(s) for s in self._semi()))
