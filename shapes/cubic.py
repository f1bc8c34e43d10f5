"""One span of a spline in a half-section; see `shapes.curves`."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import hypot, sqrt

import numpy as np

from shapes.line import Point
from shapes.moments import Array
from shapes.quadrature import gauss

# Bezier points to coefficients of t^3, t^2, t and 1
_POWER = np.array(
    [[-1.0, 3.0, -3.0, 1.0], [3.0, -6.0, 3.0, 0.0], [-3.0, 3.0, 0.0, 0.0], [1.0, 0.0, 0.0, 0.0]]
)


@dataclass(frozen=True)
class Cubic:
    """One span of a spline, by its four Bezier points."""

    poles: tuple[Point, Point, Point, Point]

    @property
    def start(self) -> Point:
        """Where it begins."""
        return self.poles[0]

    @property
    def end(self) -> Point:
        """Where it ends."""
        return self.poles[3]

    def at(self, t: Array) -> tuple[Array, Array]:
        """R and z at the parameters."""
        s = 1.0 - t
        weights = (s**3, 3.0 * s * s * t, 3.0 * s * t * t, t**3)
        return (
            sum(
                (w * p[0] for w, p in zip(weights, self.poles, strict=True)),
                np.zeros_like(t),
            ),
            sum(
                (w * p[1] for w, p in zip(weights, self.poles, strict=True)),
                np.zeros_like(t),
            ),
        )

    def slope(self, t: Array) -> tuple[Array, Array]:
        """dr/dt and dz/dt at the parameters."""
        s = 1.0 - t
        steps = [
            (b[0] - a[0], b[1] - a[1]) for a, b in zip(self.poles, self.poles[1:], strict=False)
        ]
        weights = (3.0 * s * s, 6.0 * s * t, 3.0 * t * t)
        return (
            sum(
                (w * d[0] for w, d in zip(weights, steps, strict=True)),
                np.zeros_like(t),
            ),
            sum(
                (w * d[1] for w, d in zip(weights, steps, strict=True)),
                np.zeros_like(t),
            ),
        )

    def point(self, t: float) -> Point:
        """R and z at one parameter."""
        s = 1.0 - t
        a, b, c, d = s * s * s, 3.0 * s * s * t, 3.0 * s * t * t, t * t * t
        p, q, u, v = self.poles
        return (
            a * p[0] + b * q[0] + c * u[0] + d * v[0],
            a * p[1] + b * q[1] + c * u[1] + d * v[1],
        )

    def way(self, t: float) -> Point:
        """dr/dt and dz/dt at one parameter."""
        s = 1.0 - t
        a, b, c = 3.0 * s * s, 6.0 * s * t, 3.0 * t * t
        p, q, u, v = self.poles
        return (
            a * (q[0] - p[0]) + b * (u[0] - q[0]) + c * (v[0] - u[0]),
            a * (q[1] - p[1]) + b * (u[1] - q[1]) + c * (v[1] - u[1]),
        )

    def farthest(self, point: Point) -> list[float]:
        """Parameters among which is the one farthest from a point: (P - p) . P' = 0 or an end.

        The curve lies in the hull of its poles; when none of those is farther than an end, that
        end is farthest.
        """
        far = [hypot(r - point[0], z - point[1]) for r, z in self.poles]
        if max(far) <= max(far[0], far[3]):
            return [0.0, 1.0]
        power = _POWER @ np.array(self.poles)
        power[3] -= point
        slope = power[:3] * np.array([[3.0], [2.0], [1.0]])
        quintic = np.convolve(power[:, 0], slope[:, 0]) + np.convolve(power[:, 1], slope[:, 1])
        return [0.0, *_inside(quintic), 1.0]

    def foremost(self, ahead: Point) -> list[float]:
        """Parameters among which is the one that lies farthest ahead along a direction."""
        return [0.0, *_stationary([p[0] * ahead[0] + p[1] * ahead[1] for p in self.poles]), 1.0]

    def part(self, t0: float, t1: float) -> Cubic:
        """The stretch from t0 to t1, by blossoming."""
        poles = np.array(self.poles)

        def blossom(*ts: float) -> Point:
            points = poles
            for t in ts:
                points = points[:-1] * (1.0 - t) + points[1:] * t
            return float(points[0, 0]), float(points[0, 1])

        return Cubic(
            (
                self.poles[0] if t0 == 0.0 else blossom(t0, t0, t0),
                blossom(t0, t0, t1),
                blossom(t0, t1, t1),
                self.poles[3] if t1 == 1.0 else blossom(t1, t1, t1),
            )
        )

    def turning_points(self) -> list[float]:
        """Parameters inside (0, 1) where z stops rising or falling."""
        return _stationary([p[1] for p in self.poles])

    def widest(self) -> list[float]:
        """Parameters inside (0, 1) where r stops rising or falling."""
        return _stationary([p[0] for p in self.poles])

    def nodes(self) -> tuple[Array, Array]:
        """Eight Gauss nodes: r^4 dz is of degree 14, which they integrate exactly."""
        return gauss(8)

    def raised(self, by: float) -> Cubic:
        """Moved along the axis."""
        a, b, c, d = ((r, z + by) for r, z in self.poles)
        return Cubic((a, b, c, d))

    def overturned(self) -> Cubic:
        """Turned upside down (z to -z) and run backwards, so that the body stays on the left."""
        a, b, c, d = ((r, -z) for r, z in reversed(self.poles))
        return Cubic((a, b, c, d))

    def t_at_height(self, z: Array) -> Array:
        """Parameters where the curve, rising or falling throughout, passes the heights."""
        low, high = np.zeros_like(z), np.ones_like(z)
        sign = 1.0 if self.end[1] > self.start[1] else -1.0
        for _ in range(52):  # halving to the last bit: slow but it cannot fail
            middle = (low + high) / 2.0
            below = sign * (self.at(middle)[1] - z) < 0.0
            low, high = np.where(below, middle, low), np.where(below, high, middle)
        return (low + high) / 2.0


def _stationary(poles: list[float]) -> list[float]:
    """Parameters strictly inside (0, 1) where a cubic of one coordinate neither rises nor falls."""
    first, second, third = (b - a for a, b in pairwise(poles))
    a, b, c = first - 2.0 * second + third, second - first, first
    scale = max(abs(first), abs(second), abs(third))
    if scale == 0.0:
        return []
    if abs(a) < 1e-12 * scale:
        roots = [-c / (2.0 * b)] if abs(b) > 1e-12 * scale else []
    else:
        square = b * b - a * c
        if square < 0.0:
            return []
        q = -(b + (sqrt(square) if b >= 0.0 else -sqrt(square)))
        roots = [q / a, c / q] if q != 0.0 else [0.0]
    return sorted({t for t in roots if 1e-9 < t < 1.0 - 1e-9})


def _inside(polynomial: Array) -> list[float]:
    """Real roots strictly inside (0, 1)."""
    roots = np.roots(polynomial)
    real = roots[np.abs(roots.imag) < 1e-7].real
    return sorted(float(t) for t in real if 0.0 < t < 1.0)
