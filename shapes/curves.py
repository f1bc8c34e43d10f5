"""The three curves of a half-section in the (r, z) half-plane: line, arc of an ellipse, cubic.

Every curve runs over t in [0, 1].  Arrays of parameters go in, arrays of the same shape come out.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import atan2, ceil, cos, floor, hypot, pi, sin

import numpy as np

from shapes.moments import Array

Point = tuple[float, float]  # (r, z), mm


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
        return self._level(1)

    def widest(self) -> list[float]:
        """Parameters inside (0, 1) where r stops rising or falling."""
        return self._level(0)

    def _level(self, axis: int) -> list[float]:
        p = [pole[axis] for pole in self.poles]
        a = -p[0] + 3.0 * p[1] - 3.0 * p[2] + p[3]
        b = 2.0 * (p[0] - 2.0 * p[1] + p[2])
        roots = np.roots([a, b, p[1] - p[0]])
        real = roots[np.abs(np.imag(roots)) < 1e-9].real
        return sorted(float(t) for t in real if 1e-9 < t < 1.0 - 1e-9)

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


@lru_cache(maxsize=64)
def _gauss(count: int, panels: int = 1) -> tuple[Array, Array]:
    """Gauss-Legendre nodes and weights on [0, 1], repeated over equal panels."""
    x, w = np.polynomial.legendre.leggauss(count)
    starts = np.arange(panels)[:, None]
    nodes = ((x + 1.0) / 2.0 + starts) / panels
    weights = np.tile(w / 2.0 / panels, panels)
    return nodes.ravel(), weights
