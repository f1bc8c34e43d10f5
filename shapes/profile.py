"""A half-section: curves in the (r, z) half-plane with the body on their left.

A chain that starts and ends on the axis is closed by the axis; a chain that returns to its own
start bounds a ring.  Moments follow by Green's theorem, span by span: for a body of revolution

    V = pi o r^2 dz,   int z = pi o r^2 z dz,   int x^2 = pi/4 o r^4 dz,   int z^2 = pi o r^2 z^2 dz

with o the integral along the curves (Green 1828, in any vector-calculus text; from memory).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import pi

import numpy as np

from shapes.curves import Curve, Line
from shapes.moments import Array, Mask, Moments


@dataclass(frozen=True)
class Profile:
    """The half-section of a body of revolution.

    Attributes:
        curves: end to end, the body on the left: from the lower axis point to the upper one.
    """

    curves: tuple[Curve, ...]

    def moments(self) -> Moments:
        """Moments of the turned body about the origin of the section's frame."""
        return moments_of(self.curves)

    @cached_property
    def rising(self) -> tuple[Curve, ...]:
        """The same curves cut where z turns, so that each rises, falls or is level throughout."""
        return tuple(piece for curve in self.curves for piece in pieces_of(curve))

    def contains(self, r: Array, z: Array) -> Mask:
        """Which points lie inside: an odd number of curves is crossed on the way out."""
        inside = np.zeros(np.shape(r), dtype=bool)
        for curve in self.rising:
            low, high = sorted((curve.start[1], curve.end[1]))
            level = (low <= z) & (z < high)
            if not level.any():
                continue
            at_r, _ = curve.at(curve.t_at_height(np.clip(z, low, high)))
            inside ^= level & (at_r > r)
        return inside

    def farthest(self, off_axis: float, height: float) -> float:
        """Greatest distance from a point `off_axis` from the axis at `height` to the body."""

        def distance(r: Array, z: Array) -> Array:
            return np.hypot(r + off_axis, z - height)

        return self._greatest(distance)

    def extent(self, sideways: float, upwards: float) -> float:
        """Greatest sideways * r + upwards * z over the section."""
        return self._greatest(lambda r, z: sideways * r + upwards * z)

    def _greatest(self, measure: object) -> float:
        """Maximum of a smooth measure along the curves: a scan, then ever finer about its best."""
        assert callable(measure)
        best = -np.inf
        for curve in self.curves:
            if isinstance(curve, Line):  # both measures are convex: an end is farthest
                t = np.array([0.0, 1.0])
                best = max(best, float(measure(*curve.at(t)).max()))
                continue
            low, high = 0.0, 1.0
            for _ in range(8):
                t = np.linspace(low, high, 65)
                values = measure(*curve.at(t))
                top = int(np.argmax(values))
                best = max(best, float(values[top]))
                low, high = t[max(top - 1, 0)], t[min(top + 1, 64)]
        return best

    def raised(self, by: float) -> Profile:
        """Moved along the axis."""
        return Profile(tuple(c.raised(by) for c in self.curves))

    def overturned(self) -> Profile:
        """Turned upside down."""
        return Profile(tuple(c.overturned() for c in reversed(self.curves)))


def moments_of(curves: Iterable[Curve]) -> Moments:
    """The contributions of curves to the moments of a body of revolution, by Green's theorem."""
    volume = first = second_r = second_z = 0.0
    for curve in curves:
        t, weight = curve.nodes()
        r, z = curve.at(t)
        slab = r * r * curve.slope(t)[1] * weight
        volume += float(slab.sum())
        first += float((slab * z).sum())
        second_r += float((slab * r * r).sum())
        second_z += float((slab * z * z).sum())
    return Moments.of_revolution(pi * volume, pi * first, pi / 4.0 * second_r, pi * second_z)


def pieces_of(curve: Curve) -> list[Curve]:
    """A curve cut where its z turns."""
    cuts = [0.0, *curve.turning_points(), 1.0]
    if len(cuts) == 2:
        return [curve]
    return [curve.part(a, b) for a, b in pairwise(cuts)]
