"""Families of blocks: a closed outline in the x-z plane, as thick along Y as asked.

With A the area within the outline and S its moments, Green's theorem gives

    A = o x dz,  S_x = o x^2/2 dz,  S_z = o x z dz,
    S_xx = o x^3/3 dz,  S_zz = o x z^2 dz,  S_xz = o x^2 z/2 dz

with o the integral along the outline (Green 1828, in any vector-calculus text; from memory).
"""

from __future__ import annotations

from abc import abstractmethod
from functools import lru_cache
from math import hypot
from typing import TYPE_CHECKING

import numpy as np

from shapes.chords import Lines
from shapes.curves import Curve
from shapes.flat_chords import chords_of
from shapes.hull import Hull, hull_of
from shapes.moments import Array, Mask, Moments
from shapes.parting import ALONG, Parting
from shapes.profile import Profile
from shapes.revolved import drawn
from shapes.shape import Shape

if TYPE_CHECKING:
    import cadquery as cq


class Extruded(Shape):
    """A block with a front and a back of one outline, square to Y.

    Attributes:
        thickness: from front to back, mm.
    """

    thickness: float

    @abstractmethod
    def outline(self) -> tuple[Curve, ...]:
        """The front as closed curves in (x, z), the block on their left; see `shapes.stack`."""

    def moments(self) -> Moments:
        """Green's theorem along the outline."""
        area = square = cube = rise = lifted = mixed = 0.0
        for curve in self.outline():
            a, b, c, d, e, f = curve.flat_sums()
            area, square, cube = area + a, square + b, cube + c
            rise, lifted, mixed = rise + d, lifted + e, mixed + f
        w = self.thickness
        return Moments.of(
            w * area,
            (w * square / 2.0, 0.0 * w, w * rise),
            (w * cube / 3.0, area * w**3 / 12.0, w * lifted),
            product_xz=w * mixed / 2.0,
        )

    def section(self) -> None:
        """A block is not the same all round."""
        return

    def hull(self) -> Hull:
        """Round the outline, front and back."""
        half = self.thickness / 2.0
        return [(np.sqrt(x * x + half * half), z) for x, z in hull_of(self.outline())]

    def reach_mm(self, point: Array) -> float:
        """The outline's farthest point, on the side away from the point."""
        aside = abs(float(point[1])) + self.thickness / 2.0
        across = float(point[0]), float(point[2])
        return max(
            hypot(x - across[0], aside, z - across[1])
            for curve in _outline(self).curves
            for x, z in map(curve.point, curve.farthest(across))
        )

    def support_mm(self, direction: Array) -> float:
        """The outline's foremost point, front or back."""
        ahead = float(direction[0]), float(direction[2])
        return _outline(self).extent(*ahead) + abs(float(direction[1])) * self.thickness / 2.0

    def contains(self, points: Array) -> Mask:
        """Between front and back, within the outline."""
        within = _outline(self).contains(points[:, 0], points[:, 2])
        return np.asarray(within & (np.abs(points[:, 1]) <= self.thickness / 2.0))

    def chords(self, lines: Lines) -> Array:
        """Every crossing with the outline, between front and back."""
        found = chords_of(_outline(self).curves, self.thickness, lines)
        return super().chords(lines) if found is None else found

    def solid(self) -> cq.Solid:
        """The outline pushed along Y, one face a step."""
        from shapes import solid

        return solid.prism(_outline(self).curves, self.thickness)

    def parting(self) -> Parting:
        """Halfway between front and back; its sides stand upright."""
        return Parting(ALONG, 0.0, 0.0)


@lru_cache(maxsize=1024)
def _outline(shape: Extruded) -> Profile:
    return Profile(tuple(drawn(shape.outline())))
