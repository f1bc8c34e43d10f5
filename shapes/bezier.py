"""A polynomial step of a half-section, one span of a spline or a fitted curve; see `shapes.curves`.

Bernstein's polynomials and de Casteljau's construction are in any text on the subject (Farin,
Curves and Surfaces for CAGD, ch. 4 and 5; from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import comb, hypot, sqrt

import numpy as np

from shapes.line import FlatSums, Point, Sums, flat_sums_at_nodes, sums_at_nodes
from shapes.moments import Array
from shapes.quadrature import gauss

# nodes and weights for degree 9, that of r^4 dz on a parabola
_FIVE = tuple((float(t), float(w)) for t, w in zip(*gauss(5), strict=True))


@dataclass(frozen=True)
class Bezier:
    """A polynomial curve by its Bezier points: three for a parabola, four for a cubic, and on."""

    poles: tuple[Point, ...]

    @property
    def degree(self) -> int:
        """Of the polynomials of t."""
        return len(self.poles) - 1

    @property
    def start(self) -> Point:
        """Where it begins."""
        return self.poles[0]

    @property
    def end(self) -> Point:
        """Where it ends."""
        return self.poles[-1]

    def at(self, t: Array) -> tuple[Array, Array]:
        """R and z at the parameters."""
        return _blend(self.poles, t)

    def slope(self, t: Array) -> tuple[Array, Array]:
        """dr/dt and dz/dt at the parameters."""
        return _blend(self._steps(), t)

    def powers(self) -> Array:
        """Shape (degree + 1, 2): coefficients of r and z, those of the highest power first."""
        return np.asarray(_power_basis(self.degree) @ np.array(self.poles))

    def _steps(self) -> tuple[Point, ...]:
        n = self.degree
        return tuple((n * (b[0] - a[0]), n * (b[1] - a[1])) for a, b in pairwise(self.poles))

    def point(self, t: float) -> Point:
        """R and z at one parameter."""
        return _casteljau(self.poles, t)

    def way(self, t: float) -> Point:
        """dr/dt and dz/dt at one parameter."""
        return _casteljau(self._steps(), t)

    def farthest(self, point: Point) -> list[float]:
        """Parameters among which is the one farthest from a point: (P - p) . P' = 0 or an end.

        The curve lies in the hull of its poles; when none of those is farther than an end, that
        end is farthest.
        """
        far = [hypot(r - point[0], z - point[1]) for r, z in self.poles]
        if max(far) <= max(far[0], far[-1]):
            return [0.0, 1.0]
        power = self.powers()
        power[-1] -= point
        slope = power[:-1] * np.arange(self.degree, 0, -1.0)[:, None]
        product = np.convolve(power[:, 0], slope[:, 0]) + np.convolve(power[:, 1], slope[:, 1])
        return [0.0, *_inside(product), 1.0]

    def foremost(self, ahead: Point) -> list[float]:
        """Parameters among which is the one that lies farthest ahead along a direction."""
        return [0.0, *_stationary([p[0] * ahead[0] + p[1] * ahead[1] for p in self.poles]), 1.0]

    def part(self, t0: float, t1: float) -> Bezier:
        """The stretch from t0 to t1, by blossoming."""
        poles, n = np.array(self.poles), self.degree

        def blossom(*ts: float) -> Point:
            points = poles
            for t in ts:
                points = points[:-1] * (1.0 - t) + points[1:] * t
            return float(points[0, 0]), float(points[0, 1])

        inner = tuple(blossom(*[t0] * (n - k), *[t1] * k) for k in range(1, n))
        first = self.poles[0] if t0 == 0.0 else blossom(*[t0] * n)
        last = self.poles[-1] if t1 == 1.0 else blossom(*[t1] * n)
        return Bezier((first, *inner, last))

    def turning_points(self) -> list[float]:
        """Parameters inside (0, 1) where z stops rising or falling."""
        return _stationary([p[1] for p in self.poles])

    def widest(self) -> list[float]:
        """Parameters inside (0, 1) where r stops rising or falling."""
        return _stationary([p[0] for p in self.poles])

    def nodes(self) -> tuple[Array, Array]:
        """Gauss nodes enough for r^4 dz, of degree 5 n - 1: they integrate it exactly."""
        return gauss((5 * self.degree + 1) // 2)

    def sums(self) -> Sums:
        """See `shapes.curves`; by Gauss's rule."""
        if self.degree == 2 and isinstance(self.poles[1][0], float):
            return self._parabola_sums()
        t, weight = self.nodes()
        r, z = self.at(t)
        return sums_at_nodes(r, z, self.slope(t)[1] * weight)

    def _parabola_sums(self) -> Sums:
        """The same rule for one parabola, node by node: quicker than arrays."""
        (p0, y0), (p1, y1), (p2, y2) = self.poles
        pb, pa, yb, ya = 2.0 * (p1 - p0), p0 - 2.0 * p1 + p2, 2.0 * (y1 - y0), y0 - 2.0 * y1 + y2
        slab = lifted = fourth = square = 0.0
        for t, weight in _FIVE:
            r, z = p0 + t * (pb + t * pa), y0 + t * (yb + t * ya)
            rr = r * r
            strip = rr * (yb + 2.0 * t * ya) * weight
            slab += strip
            lifted += strip * z
            fourth += strip * rr
            square += strip * z * z
        return slab, lifted, fourth, square

    def flat_sums(self) -> FlatSums:
        """See `shapes.curves`; by Gauss's rule."""
        t, weight = self.nodes()
        x, z = self.at(t)
        return flat_sums_at_nodes(x, z, self.slope(t)[1] * weight)

    def plain(self) -> Bezier:
        """The same with Python's own numbers."""
        return Bezier(tuple((float(r), float(z)) for r, z in self.poles))

    def raised(self, by: float) -> Bezier:
        """Moved along the axis."""
        return Bezier(tuple((r, z + by) for r, z in self.poles))

    def overturned(self) -> Bezier:
        """Turned upside down (z to -z) and run backwards, so that the body stays on the left."""
        return Bezier(tuple((r, -z) for r, z in reversed(self.poles)))

    def t_at_height(self, z: Array) -> Array:
        """Parameters where the curve, rising or falling throughout, passes the heights."""
        rise = _power_basis(self.degree) @ np.array([pole[1] for pole in self.poles])
        slope = rise[:-1] * np.arange(self.degree, 0, -1.0)
        way = 1.0 if self.end[1] > self.start[1] else -1.0
        low, high = np.zeros_like(z), np.ones_like(z)
        t = np.clip((z - self.start[1]) / (self.end[1] - self.start[1]), 0.0, 1.0)
        for _ in range(60):  # Newton's steps, and halving wherever they leave the bracket
            gap = np.polyval(rise, t) - z
            low, high = np.where(way * gap < 0.0, t, low), np.where(way * gap < 0.0, high, t)
            with np.errstate(divide="ignore", invalid="ignore"):
                ahead = t - gap / np.polyval(slope, t)
            good = (ahead >= low) & (ahead <= high)
            moved = np.where(good, ahead, (low + high) / 2.0)
            if np.all(np.abs(moved - t) <= 1e-15):
                return np.asarray(moved)
            t = moved
        return np.asarray(t)


def _blend(poles: tuple[Point, ...], t: Array) -> tuple[Array, Array]:
    """Sums of points weighted by Bernstein's polynomials; the points may be stacks."""
    n, s = len(poles) - 1, 1.0 - t
    r = z = np.zeros_like(t)
    for k, pole in enumerate(poles):
        weight = comb(n, k) * s ** (n - k) * t**k
        r, z = r + weight * pole[0], z + weight * pole[1]
    return r, z


def _casteljau(poles: tuple[Point, ...], t: float) -> Point:
    s = 1.0 - t
    points = list(poles)
    while len(points) > 1:
        points = [(s * a[0] + t * b[0], s * a[1] + t * b[1]) for a, b in pairwise(points)]
    return points[0]


@lru_cache(maxsize=32)
def _power_basis(n: int) -> Array:
    """Shape (n + 1, n + 1): Bezier points to coefficients of t^n, ..., t and 1."""
    basis = np.zeros((n + 1, n + 1))
    for k in range(n + 1):
        for j in range(k, n + 1):
            basis[n - j, k] = comb(n, k) * comb(n - k, j - k) * (-1.0) ** (j - k)
    return basis


def _stationary(poles: list[float]) -> list[float]:
    """Parameters strictly inside (0, 1) where one coordinate neither rises nor falls."""
    steps = [b - a for a, b in pairwise(poles)]
    if all(s > 0.0 for s in steps) or all(s < 0.0 for s in steps):
        return []
    if len(steps) > 3:
        slope = _power_basis(len(steps) - 1) @ np.array(steps)
        return [t for t in _inside(slope) if 1e-9 < t < 1.0 - 1e-9] if any(steps) else []
    if len(steps) < 3:  # a parabola's two steps as the three of a cubic's parabola of slopes
        first, third = steps[0], steps[-1]
        second = (first + third) / 2.0
    else:
        first, second, third = steps
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
