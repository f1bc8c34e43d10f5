"""Families of bodies of revolution: each draws its half-section, and all else follows from it."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Iterable
from functools import lru_cache
from math import hypot
from typing import TYPE_CHECKING

import numpy as np

from shapes.chords import Lines
from shapes.curves import Curve
from shapes.hull import Hull, hull_of
from shapes.moments import Array, Mask, Moments
from shapes.parting import Parting, parting_of
from shapes.profile import Profile, moments_of
from shapes.shape import Shape
from shapes.turned_chords import chords_of

if TYPE_CHECKING:
    import cadquery as cq

_NOTHING_MM = 1e-9  # a curve that is no longer is left out of the half-section


class Revolved(Shape):
    """A body that is the same all round its Z axis.

    A family draws `outline`; steps may have no length, so that one drawing serves all parameters.
    """

    @abstractmethod
    def outline(self) -> tuple[Curve, ...]:
        """The half-section from the lower axis point to the upper one; a ring's closes on itself.

        It must be arithmetic that works on columns of numbers too, see `shapes.stack`.
        """

    def moments(self) -> Moments:
        """Green's theorem along the half-section, see `shapes.profile`."""
        return moments_of(self.outline())

    def section(self) -> Profile:
        """The half-section, without steps of no length."""
        return _section(self)

    def hull(self) -> Hull:
        """Round the half-section."""
        return hull_of(self.outline())

    def reach_mm(self, point: Array) -> float:
        """The farthest point lies in the plane of the point and the axis, across the axis."""
        return self.section().farthest(hypot(point[0], point[1]), float(point[2]))

    def support_mm(self, direction: Array) -> float:
        """The greatest of r sin + z cos over the half-section."""
        return self.section().extent(hypot(direction[0], direction[1]), float(direction[2]))

    def contains(self, points: Array) -> Mask:
        """Inside the half-section at its distance from the axis."""
        return self.section().contains(np.hypot(points[:, 0], points[:, 1]), points[:, 2])

    def chords(self, lines: Lines) -> Array:
        """Every crossing with the half-section."""
        return chords_of(self.section(), lines)

    def solid(self) -> cq.Solid:
        """The half-section turned a whole turn, one face a step."""
        from shapes import solid

        return solid.turned(self.section())

    def parting(self) -> Parting | None:
        """From the half-section."""
        return parting_of(self.section().curves)


@lru_cache(maxsize=1024)
def _section(shape: Revolved) -> Profile:
    return Profile(tuple(drawn(shape.outline())))


def drawn(curves: Iterable[Curve]) -> list[Curve]:
    """Curves that have a length, with Python's own numbers, which are quicker one by one."""
    plain = [curve.plain() for curve in curves]
    return [curve for curve in plain if _span_mm(curve) > _NOTHING_MM]


def _span_mm(curve: Curve) -> float:
    a, b, c = (curve.point(t) for t in (0.0, 0.5, 1.0))
    return max(hypot(b[0] - a[0], b[1] - a[1]), hypot(c[0] - a[0], c[1] - a[1]))
