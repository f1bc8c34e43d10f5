"""A straight step of a half-section; see `shapes.curves`."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shapes.moments import Array
from shapes.quadrature import gauss

Point = tuple[float, float]  # (r, z), mm
Sums = tuple[float, float, float, float]
FlatSums = tuple[float, float, float, float, float, float]


def sums_at_nodes(r: Array, z: Array, weighted_dz: Array) -> Sums:
    """Integrals of r^2, r^2 z, r^4 and r^2 z^2 over dz from values at the nodes of a rule."""
    slab = r * r * weighted_dz
    lifted = slab * z
    found = slab, lifted, slab * r * r, lifted * z
    if r.ndim < 2:
        a, b, c, d = (float(f.sum()) for f in found)
        return a, b, c, d
    a, b, c, d = (f.sum(axis=-1, keepdims=True) for f in found)
    return a, b, c, d


def flat_sums_at_nodes(x: Array, z: Array, weighted_dz: Array) -> FlatSums:
    """Integrals of x, x^2, x^3, x z, x z^2 and x^2 z over dz from values at the nodes of a rule."""
    strip = x * weighted_dz
    square, rise = strip * x, strip * z
    found = strip, square, square * x, rise, rise * z, square * z
    if x.ndim < 2:
        a, b, c, d, e, f = (float(v.sum()) for v in found)
        return a, b, c, d, e, f
    a, b, c, d, e, f = (v.sum(axis=-1, keepdims=True) for v in found)
    return a, b, c, d, e, f


@dataclass(frozen=True)
class Line:
    """A straight step from start to end."""

    start: Point
    end: Point

    def at(self, t: Array) -> tuple[Array, Array]:
        """R and z at the parameters."""
        return (
            self.start[0] * (1.0 - t) + self.end[0] * t,
            self.start[1] * (1.0 - t) + self.end[1] * t,
        )

    def slope(self, t: Array) -> tuple[Array, Array]:
        """dr/dt and dz/dt at the parameters."""
        ones = np.ones_like(t)
        return (self.end[0] - self.start[0]) * ones, (self.end[1] - self.start[1]) * ones

    def point(self, t: float) -> Point:
        """R and z at one parameter."""
        s = 1.0 - t
        return self.start[0] * s + self.end[0] * t, self.start[1] * s + self.end[1] * t

    def way(self, t: float) -> Point:  # noqa: ARG002 the same all along
        """dr/dt and dz/dt at one parameter."""
        return self.end[0] - self.start[0], self.end[1] - self.start[1]

    def farthest(self, point: Point) -> list[float]:  # noqa: ARG002 an end, whatever the point
        """Parameters among which is the one farthest from a point."""
        return [0.0, 1.0]

    def foremost(self, ahead: Point) -> list[float]:  # noqa: ARG002 an end, whichever way
        """Parameters among which is the one that lies farthest ahead along a direction."""
        return [0.0, 1.0]

    def part(self, t0: float, t1: float) -> Line:
        """The stretch from t0 to t1."""
        ends = np.array([t0, t1])
        (r0, r1), (z0, z1) = self.at(ends)
        return Line(
            self.start if t0 == 0.0 else (float(r0), float(z0)),
            self.end if t1 == 1.0 else (float(r1), float(z1)),
        )

    def turning_points(self) -> list[float]:
        """Parameters inside (0, 1) where z stops rising or falling."""
        return []

    def widest(self) -> list[float]:
        """Parameters inside (0, 1) where r stops rising or falling."""
        return []

    def nodes(self) -> tuple[Array, Array]:
        """Gauss nodes and weights that integrate every moment of the curve exactly."""
        return gauss(4)

    def sums(self) -> Sums:
        """See `shapes.curves`; closed forms, worked out here."""
        (p, y), (q, w) = self.start, self.end
        rise = w - y
        pp, pq, qq = p * p, p * q, q * q
        return (
            rise * (pp + pq + qq) / 3.0,
            rise * (y * (3.0 * pp + 2.0 * pq + qq) + w * (pp + 2.0 * pq + 3.0 * qq)) / 12.0,
            rise * (pp * pp + pq * pp + pp * qq + pq * qq + qq * qq) / 5.0,
            rise
            * (
                y * y * (6.0 * pp + 3.0 * pq + qq)
                + y * w * (3.0 * pp + 4.0 * pq + 3.0 * qq)
                + w * w * (pp + 3.0 * pq + 6.0 * qq)
            )
            / 30.0,
        )

    def flat_sums(self) -> FlatSums:
        """See `shapes.curves`; closed forms, worked out here."""
        (p, y), (q, w) = self.start, self.end
        rise = w - y
        pp, pq, qq = p * p, p * q, q * q
        return (
            rise * (p + q) / 2.0,
            rise * (pp + pq + qq) / 3.0,
            rise * (pp + qq) * (p + q) / 4.0,
            rise * (y * (2.0 * p + q) + w * (p + 2.0 * q)) / 6.0,
            rise * (y * y * (3.0 * p + q) + 2.0 * y * w * (p + q) + w * w * (p + 3.0 * q)) / 12.0,
            rise * (y * (3.0 * pp + 2.0 * pq + qq) + w * (pp + 2.0 * pq + 3.0 * qq)) / 12.0,
        )

    def plain(self) -> Line:
        """The same with Python's own numbers."""
        (p, y), (q, w) = self.start, self.end
        return Line((float(p), float(y)), (float(q), float(w)))

    def raised(self, by: float) -> Line:
        """Moved along the axis."""
        return Line((self.start[0], self.start[1] + by), (self.end[0], self.end[1] + by))

    def overturned(self) -> Line:
        """Turned upside down (z to -z) and run backwards, so that the body stays on the left."""
        return Line((self.end[0], -self.end[1]), (self.start[0], -self.start[1]))

    def t_at_height(self, z: Array) -> Array:
        """Parameters where the curve, rising or falling throughout, passes the heights."""
        return (z - self.start[1]) / (self.end[1] - self.start[1])
