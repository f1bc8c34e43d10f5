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
from math import hypot, pi

import numpy as np

from shapes.curves import Curve
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
        return self._moments

    @cached_property
    def _moments(self) -> Moments:
        return moments_of(self.curves)

    @cached_property
    def is_ring(self) -> bool:
        """Whether the curves close on themselves, off the axis."""
        first, last = self.curves[0].start, self.curves[-1].end
        return hypot(first[0] - last[0], first[1] - last[1]) < 1e-9

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
        across = (-off_axis, height)  # the farthest point lies on the other side of the axis
        return max(
            hypot(r + off_axis, z - height)
            for curve in self.curves
            for r, z in map(curve.point, curve.farthest(across))
        )

    def extent(self, sideways: float, upwards: float) -> float:
        """Greatest sideways * r + upwards * z over the section."""
        return max(
            sideways * r + upwards * z
            for curve in self.curves
            for r, z in map(curve.point, curve.foremost((sideways, upwards)))
        )

    def raised(self, by: float) -> Profile:
        """Moved along the axis."""
        return Profile(tuple(c.raised(by) for c in self.curves))

    def overturned(self) -> Profile:
        """Turned upside down."""
        return Profile(tuple(c.overturned() for c in reversed(self.curves)))


def moments_of(curves: Iterable[Curve]) -> Moments:
    """The contributions of curves to the moments of a body of revolution, by Green's theorem."""
    volume = lifted = fourth = square = 0.0
    for curve in curves:
        a, b, c, d = curve.sums()
        volume, lifted, fourth, square = volume + a, lifted + b, fourth + c, square + d
    return Moments.of_revolution(pi * volume, pi * lifted, pi / 4.0 * fourth, pi * square)


def pieces_of(curve: Curve) -> list[Curve]:
    """A curve cut where its z turns."""
    cuts = [0.0, *curve.turning_points(), 1.0]
    if len(cuts) == 2:
        return [curve]
    return [curve.part(a, b) for a, b in pairwise(cuts)]
