"""An arc of a circle or an upright ellipse in a half-section; see `shapes.curves`."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, ceil, cos, floor, hypot, pi, sin

import numpy as np

from shapes import either
from shapes.line import FlatSums, Point, Sums, flat_sums_at_nodes, sums_at_nodes
from shapes.moments import Array
from shapes.quadrature import gauss


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
        # the widest of a stack sets the panels; a body that its family refuses has no sweep at all
        widest = float(np.max(np.nan_to_num(np.abs(self.sweep_rad))))
        panels = max(1, ceil(widest / (pi / 2.0) - 1e-9))
        return gauss(16, panels)

    def sums(self) -> Sums:
        """See `shapes.curves`; in closed form, or by Gauss's rule where that would cancel."""
        if self._plain_enough():
            return self._closed_sums()
        t, weight = self.nodes()
        r, z = self.at(t)
        return sums_at_nodes(r, z, self.slope(t)[1] * weight)

    def _plain_enough(self) -> bool:
        """Whether it is one arc, and not a short one of a great circle."""
        (r, _), (a, b), sweep = self.centre, self.semi, self.sweep_rad
        if all(isinstance(x, float) for x in (r, a, sweep)):
            return abs(sweep) > 0.5 or a + b < abs(r)
        gone = np.isnan(sweep) | np.isnan(r)  # a row of a stack that its family refuses
        return bool(np.all((np.abs(sweep) > 0.5) | (a + b < np.abs(r)) | gone))

    def _powers(self) -> tuple[float, ...]:
        """Integrals over the angle of c, c^2, ... c^5, c s, c^2 s, c^3 s, c s^2, c^2 s^2, c^3 s^2.

        C and s stand for the cosine and the sine (any table of integrals; from memory).
        """
        first, last = self.from_rad, self.from_rad + self.sweep_rad
        c0, s0, c1, s1 = (f(a) for a in (first, last) for f in (either.cos, either.sin))
        one = s1 - s0
        third, fifth = (s1**3 - s0**3) / 3.0, (s1**5 - s0**5) / 5.0
        two = (self.sweep_rad + s1 * c1 - s0 * c0) / 2.0
        four = (c1**3 * s1 - c0**3 * s0 + 3.0 * two) / 4.0
        return (
            one, two, one - third, four, one - 2.0 * third + fifth,
            (s1 * s1 - s0 * s0) / 2.0, (c0**3 - c1**3) / 3.0, (c0**4 - c1**4) / 4.0,
            third, two - four, third - fifth,
        )  # fmt: skip

    def _closed_sums(self) -> Sums:
        (r, z), (a, b) = self.centre, self.semi
        c, c2, c3, c4, c5, cs, c2s, c3s, cs2, c2s2, c3s2 = self._powers()
        rr, ra, aa = r * r, 2.0 * r * a, a * a
        slab = b * (rr * c + ra * c2 + aa * c3)
        lifted = b * b * (rr * cs + ra * c2s + aa * c3s)
        fourth = b * (
            rr * rr * c + 2.0 * rr * ra * c2 + 6.0 * rr * aa * c3 + 2.0 * ra * aa * c4
            + aa * aa * c5
        )  # fmt: skip
        square = b**3 * (rr * cs2 + ra * c2s2 + aa * c3s2)
        return (
            slab,
            z * slab + lifted,
            fourth,
            z * z * slab + 2.0 * z * lifted + square,
        )

    def flat_sums(self) -> FlatSums:
        """See `shapes.curves`; in closed form, or by Gauss's rule where that would cancel."""
        if not self._plain_enough():
            t, weight = self.nodes()
            return flat_sums_at_nodes(*self.at(t), self.slope(t)[1] * weight)
        (r, z), (a, b) = self.centre, self.semi
        c, c2, c3, c4, _, cs, c2s, c3s, cs2, c2s2, _ = self._powers()
        area = b * (r * c + a * c2)
        square = b * (r * r * c + 2.0 * r * a * c2 + a * a * c3)
        cube = b * (r**3 * c + 3.0 * r * a * (r * c2 + a * c3) + a**3 * c4)
        rise = b * b * (r * cs + a * c2s)
        lifted = b**3 * (r * cs2 + a * c2s2)
        mixed = b * b * (r * r * cs + 2.0 * r * a * c2s + a * a * c3s)
        return (
            area,
            square,
            cube,
            z * area + rise,
            z * z * area + 2.0 * z * rise + lifted,
            z * square + mixed,
        )

    def plain(self) -> Arc:
        """The same with Python's own numbers."""
        (r, z), (a, b) = self.centre, self.semi
        first, sweep = float(self.from_rad), float(self.sweep_rad)
        return Arc((float(r), float(z)), (float(a), float(b)), first, sweep)

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
