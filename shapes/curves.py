"""The three curves of a half-section in the (r, z) half-plane: line, arc of an ellipse, cubic.

Every curve runs over t in [0, 1].  `at` and `slope` take arrays of parameters and give arrays of
the same shape; `point` and `way` do the same for one plain number, which is much quicker for one.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import atan2, ceil, cos, floor, hypot, pi, sin, sqrt

import numpy as np

from shapes.moments import Array

Point = tuple[float, float]  # (r, z), mm


@dataclass(frozen=True)
class Box:
    """The least upright rectangle round a curve, mm."""

    r_low: float
    r_high: float
    z_low: float
    z_high: float


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
        return _gauss(4)

    def raised(self, by: float) -> Line:
        """Moved along the axis."""
        return Line((self.start[0], self.start[1] + by), (self.end[0], self.end[1] + by))

    def overturned(self) -> Line:
        """Turned upside down (z to -z) and run backwards, so that the body stays on the left."""
        return Line((self.end[0], -self.end[1]), (self.start[0], -self.start[1]))

    def t_at_height(self, z: Array) -> Array:
        """Parameters where the curve, rising or falling throughout, passes the heights."""
        return (z - self.start[1]) / (self.end[1] - self.start[1])


@dataclass(frozen=True)
class Arc:
    """An arc of a circle or of an ellipse with upright axes: centre + (a cos, b sin)."""

    centre: Point
    semi: Point
    from_rad: float
    sweep_rad: float

    @property
    def start(self) -> Point:
        """Where it begins."""
        return self._point(self.from_rad)

    @property
    def end(self) -> Point:
        """Where it ends."""
        return self._point(self.from_rad + self.sweep_rad)

    def _point(self, angle: float) -> Point:
        return (
            self.centre[0] + self.semi[0] * cos(angle),
            self.centre[1] + self.semi[1] * sin(angle),
        )

    @staticmethod
    def through(start: Point, middle: Point, end: Point) -> Arc:
        """The circular arc from start over middle to end; ValueError when they lie on a line."""
        (ax, ay), (bx, by), (cx, cy) = start, middle, end
        bx, by, cx, cy = bx - ax, by - ay, cx - ax, cy - ay
        area = 2.0 * (bx * cy - by * cx)
        if abs(area) <= 1e-9 * (hypot(bx, by) + hypot(cx, cy)) ** 2:
            raise ValueError("its three points lie on one line")
        b2, c2 = bx * bx + by * by, cx * cx + cy * cy
        ux, uy = (cy * b2 - by * c2) / area, (bx * c2 - cx * b2) / area
        radius = hypot(ux, uy)
        first, middle_angle, last = (
            atan2(y - uy, x - ux) for x, y in ((0.0, 0.0), (bx, by), (cx, cy))
        )
        sweep = (last - first) % (2.0 * pi)
        if (middle_angle - first) % (2.0 * pi) > sweep:
            sweep -= 2.0 * pi
        return Arc((ax + ux, ay + uy), (radius, radius), first, sweep)

    def at(self, t: Array) -> tuple[Array, Array]:
        """R and z at the parameters."""
        angle = self.from_rad + self.sweep_rad * t
        return (
            self.centre[0] + self.semi[0] * np.cos(angle),
            self.centre[1] + self.semi[1] * np.sin(angle),
        )

    def slope(self, t: Array) -> tuple[Array, Array]:
        """dr/dt and dz/dt at the parameters."""
        angle = self.from_rad + self.sweep_rad * t
        return (
            -self.semi[0] * self.sweep_rad * np.sin(angle),
            self.semi[1] * self.sweep_rad * np.cos(angle),
        )

    def point(self, t: float) -> Point:
        """R and z at one parameter."""
        return self._point(self.from_rad + self.sweep_rad * t)

    def way(self, t: float) -> Point:
        """dr/dt and dz/dt at one parameter."""
        angle = self.from_rad + self.sweep_rad * t
        return (
            -self.semi[0] * self.sweep_rad * sin(angle),
            self.semi[1] * self.sweep_rad * cos(angle),
        )

    def farthest(self, point: Point) -> list[float]:
        """Parameters among which is the one farthest from a point.

        On a circle it lies across the centre; on an ellipse a scan is made ever finer about its
        best.
        """
        (r, z), (a, b) = self.centre, self.semi
        if a == b:
            return [0.0, *self._passes(atan2(z - point[1], r - point[0])), 1.0]
        low, high = 0.0, 1.0
        best = 0.0
        for _ in range(8):
            t = np.linspace(low, high, 65)
            at_r, at_z = self.at(t)
            top = int(np.argmax(np.hypot(at_r - point[0], at_z - point[1])))
            best = float(t[top])
            low, high = float(t[max(top - 1, 0)]), float(t[min(top + 1, 64)])
        return [0.0, best, 1.0]

    def foremost(self, ahead: Point) -> list[float]:
        """Parameters among which is the one that lies farthest ahead along a direction."""
        angle = atan2(ahead[1] * self.semi[1], ahead[0] * self.semi[0])
        return [0.0, *self._passes(angle), 1.0]

    def part(self, t0: float, t1: float) -> Arc:
        """The stretch from t0 to t1."""
        return Arc(
            self.centre,
            self.semi,
            self.from_rad + self.sweep_rad * t0,
            self.sweep_rad * (t1 - t0),
        )

    def turning_points(self) -> list[float]:
        """Parameters inside (0, 1) where z stops rising or falling."""
        return self._passes(pi / 2.0)

    def widest(self) -> list[float]:
        """Parameters inside (0, 1) where r stops rising or falling."""
        return self._passes(0.0)

    def _passes(self, angle: float) -> list[float]:
        """Parameters strictly inside (0, 1) where the angle is `angle` plus whole half turns."""
        low, high = sorted((self.from_rad, self.from_rad + self.sweep_rad))
        found = [
            (angle + k * pi - self.from_rad) / self.sweep_rad
            for k in range(ceil((low - angle) / pi), floor((high - angle) / pi) + 1)
        ]
        return sorted(t for t in found if 1e-12 < t < 1.0 - 1e-12)

    def nodes(self) -> tuple[Array, Array]:
        """Gauss nodes and weights; 16 to a quarter turn leave only rounding."""
        panels = max(1, ceil(abs(self.sweep_rad) / (pi / 2.0) - 1e-9))
        return _gauss(16, panels)

    def raised(self, by: float) -> Arc:
        """Moved along the axis."""
        return Arc(
            (self.centre[0], self.centre[1] + by),
            self.semi,
            self.from_rad,
            self.sweep_rad,
        )

    def overturned(self) -> Arc:
        """Turned upside down (z to -z) and run backwards, so that the body stays on the left."""
        return Arc(
            (self.centre[0], -self.centre[1]),
            self.semi,
            -(self.from_rad + self.sweep_rad),
            self.sweep_rad,
        )

    def t_at_height(self, z: Array) -> Array:
        """Parameters where the curve, rising or falling throughout, passes the heights."""
        rise = np.arcsin(np.clip((z - self.centre[1]) / self.semi[1], -1.0, 1.0))
        middle = self.from_rad + self.sweep_rad / 2.0
        # asin answers for cos > 0; on the other side of the ellipse the angle is pi - asin
        angle = rise if cos(middle) > 0.0 else pi - rise
        turns = np.round((middle - angle) / (2.0 * pi))
        return np.clip((angle + 2.0 * pi * turns - self.from_rad) / self.sweep_rad, 0.0, 1.0)


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
        return _gauss(8)

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


Curve = Line | Arc | Cubic

# Bezier points to coefficients of t^3, t^2, t and 1
_POWER = np.array(
    [[-1.0, 3.0, -3.0, 1.0], [3.0, -6.0, 3.0, 0.0], [-3.0, 3.0, 0.0, 0.0], [1.0, 0.0, 0.0, 0.0]]
)


@lru_cache(maxsize=4096)
def box_of(curve: Curve) -> Box:
    """The rectangle round a curve."""
    points = [curve.point(t) for t in (0.0, *curve.widest(), *curve.turning_points(), 1.0)]
    r, z = [p[0] for p in points], [p[1] for p in points]
    return Box(min(r), max(r), min(z), max(z))


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


@lru_cache(maxsize=64)
def _gauss(count: int, panels: int = 1) -> tuple[Array, Array]:
    """Gauss-Legendre nodes and weights on [0, 1], repeated over equal panels."""
    x, w = np.polynomial.legendre.leggauss(count)
    starts = np.arange(panels)[:, None]
    nodes = ((x + 1.0) / 2.0 + starts) / panels
    weights = np.tile(w / 2.0 / panels, panels)
    return nodes.ravel(), weights
