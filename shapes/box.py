"""A box about the origin, its edges and corners rounded where asked."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi
from typing import TYPE_CHECKING, Annotated

import numpy as np

from shapes.arc import Arc
from shapes.chords import Lines, of_intervals
from shapes.hull import Hull, hull_of
from shapes.moments import Array, Column, Mask, Moments
from shapes.parameters import Parameter
from shapes.parting import ACROSS, Parting
from shapes.shape import Rule, Shape

if TYPE_CHECKING:
    import cadquery as cq

_FAR_MM = 1e6  # beyond every plane
_LEAST_MM = 1e-3  # the CAD kernel rounds no edge by less


@dataclass(frozen=True)
class Box(Shape):
    """A block; three different sizes make an asymmetrical core.

    >>> round(Box(size=(2.0, 4.0, 6.0)).moments().volume_mm3, 6)
    48.0
    """

    size: Annotated[
        tuple[float, float, float],
        Parameter(
            "lengths", "full widths along x, y and z", above=0.0, typical=(96.0, 70.0, 110.0)
        ),
    ]
    round: Annotated[
        float, Parameter("length", "radius of all edges and corners", at_least=0.0)
    ] = 0.0

    def rules(self) -> Iterator[Rule]:
        """The rounded edges leave some of every face."""
        x, y, z = self.size
        yield Rule(
            "round",
            (self.round == 0.0) | (self.round >= _LEAST_MM),
            lambda: f"{self.round:g} mm rounds nothing; take 0, or at least {_LEAST_MM:g} mm",
        )
        yield Rule(
            "round",
            2.0 * self.round < np.minimum(np.minimum(x, y), z),
            lambda: (
                f"{self.round:g} mm is half the smallest size or more; it must be less than "
                f"{min(self.size) / 2.0:g} mm"
            ),
        )

    def _inner(self) -> Array:
        """Half-sizes of the plain block that, swept by a ball of radius `round`, gives the body."""
        return np.array(self.size, dtype=float) / 2.0 - self.round

    def moments(self) -> Moments:
        """The block, six slabs, twelve quarter-rods and eight corners, each in closed form.

        Volume by Steiner's formula for a convex body and the ball of radius r; the second moment
        along x piece by piece with x = X + u, u from 0 to r (integrals of 1, u and u^2 over a
        quarter disc and an octant of the ball; worked out here).
        """
        r = self.round
        x, y, z = (size / 2.0 - r for size in self.size)
        volume = (
            8.0 * x * y * z
            + 8.0 * r * (x * y + y * z + z * x)
            + 2.0 * pi * r**2 * (x + y + z)
            + 4.0 / 3.0 * pi * r**3
        )
        nothing = 0.0 * volume
        squares = (
            self._second_moment(x, y, z),
            self._second_moment(y, z, x),
            self._second_moment(z, x, y),
        )
        return Moments.of(volume, (nothing, nothing, nothing), squares)

    def _second_moment(self, x: Column, y: Column, z: Column) -> Column:
        """Integral of the square of the coordinate whose inner half-size is x."""
        r = self.round
        within = 2.0 * x * (4.0 * y * z + 4.0 * r * (y + z) + pi * r**2) * x**2 / 3.0
        slabs = 8.0 * y * z * ((x + r) ** 3 - x**3) / 3.0
        rods = (pi * r**2 * x**2 + 8.0 * x * r**3 / 3.0 + pi * r**4 / 4.0) * 2.0 * (y + z)
        corners = 4.0 / 3.0 * pi * r**3 * x**2 + pi * r**4 * x + 4.0 * pi * r**5 / 15.0
        return within + slabs + rods + corners

    def section(self) -> None:
        """A box is not the same all round."""
        return

    def hull(self) -> Hull:
        """Round the corners, which are balls about those of the inner block."""
        r = self.round
        x, y, z = (size / 2.0 - r for size in self.size)
        across = np.sqrt(x * x + y * y)
        return hull_of(
            Arc((across, end * z), (r, r), start, pi / 2.0)
            for end, start in ((-1.0, -pi / 2.0), (1.0, 0.0))
        )

    def reach_mm(self, point: Array) -> float:
        """The farthest corner."""
        return float(np.linalg.norm(np.abs(point) + self._inner())) + self.round

    def support_mm(self, direction: Array) -> float:
        """A corner, rounded."""
        return float(np.abs(direction) @ self._inner()) + self.round

    def contains(self, points: Array) -> Mask:
        """No farther than `round` from the inner block."""
        beyond = np.maximum(np.abs(points) - self._inner(), 0.0)
        return np.asarray((beyond**2).sum(axis=1) <= self.round**2)

    def chords(self, lines: Lines) -> Array:
        """The distance from the inner block, squared, is a quadratic between its six planes."""
        x, k = lines.start[:, None, :], lines.way[:, None, :]
        inner = self._inner()
        with np.errstate(divide="ignore", invalid="ignore"):
            planes = np.concatenate([(inner - x) / k, (-inner - x) / k], axis=2)[:, 0]
        planes = np.sort(np.where(np.isfinite(planes), planes, 0.0), axis=1)
        low = np.concatenate([planes[:, :1] - _FAR_MM, planes], axis=1)
        high = np.concatenate([planes, planes[:, -1:] + _FAR_MM], axis=1)
        middle = x + (0.5 * (low + high))[:, :, None] * k
        out = np.abs(middle) > inner  # which of the three distances count on a stretch
        side = np.sign(middle)
        a = (out * k * k).sum(axis=2)
        b = (out * k * (x - side * inner)).sum(axis=2)
        c = (out * (x - side * inner) ** 2).sum(axis=2) - self.round**2
        with np.errstate(divide="ignore", invalid="ignore"):
            half = np.sqrt(np.maximum(b * b - a * c, 0.0)) / a
            first = np.where(a > 0.0, np.maximum(low, -b / a - half), low)
            last = np.where(a > 0.0, np.minimum(high, -b / a + half), high)
        met = (first < last) & ((b * b > a * c) | (a == 0.0) & (c <= 0.0))
        return of_intervals(
            np.where(met, first, np.inf).min(axis=1), np.where(met, last, -np.inf).max(axis=1)
        )

    def parting(self) -> Parting:
        """Square to Z at the middle; its sides stand upright."""
        return Parting(ACROSS, 0.0, 0.0)

    def solid(self) -> cq.Solid:
        """Plane faces, with cylindrical edges and spherical corners when rounded."""
        from shapes import solid

        return solid.box(self.size, self.round)
