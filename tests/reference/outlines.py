"""Half-sections by SciPy: CubicSpline, a root finder for fillets, adaptive quadrature for moments.

Volumes are taken by shells, 2 pi int r z dr, where the product takes discs, pi int r^2 dz.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import atan2, hypot, pi

import numpy as np
from scipy.integrate import quad
from scipy.interpolate import CubicSpline
from scipy.optimize import root

from shapes.moments import Array, Moments

Point = tuple[float, float]


@dataclass(frozen=True)
class Piece:
    """A smooth stretch of outline, the body on its left.

    Attributes:
        at: parameter to (r, z), shape (2,).
        slope: parameter to the derivatives of both.
        knots: where the parameter begins and ends, and where smoothness breaks between.
        kind: line, arc or spline.
    """

    at: Callable[[float], Array]
    slope: Callable[[float], Array]
    knots: tuple[float, ...]
    kind: str

    def between(self, low: float, high: float) -> Piece:
        """The stretch from one parameter to another."""
        return replace(self, knots=(low, *(k for k in self.knots if low < k < high), high))


def line(start: Point, end: Point) -> Piece:
    a, b = np.array(start), np.array(end)
    length = float(np.linalg.norm(b - a))
    way = (b - a) / length
    return Piece(lambda s: a + s * way, lambda _: way, (0.0, length), "line")


def arc(centre: Array, radius: float, first: float, last: float) -> Piece:
    """From one angle to another, whichever is greater; the parameter is the angle, unsigned."""
    sign = 1.0 if last > first else -1.0

    def at(s: float) -> Array:
        return centre + radius * np.array([np.cos(sign * s), np.sin(sign * s)])

    def slope(s: float) -> Array:
        return sign * radius * np.array([-np.sin(sign * s), np.cos(sign * s)])

    return Piece(at, slope, (sign * first, sign * last), "arc")


def arc_through(start: Point, through: Point, end: Point) -> Piece:
    """The circle through three points: equally far from all, two linear equations."""
    a, b, c = (np.array(p) for p in (start, through, end))
    centre = np.linalg.solve(2 * np.array([b - a, c - a]), [b @ b - a @ a, c @ c - a @ a])
    radius = float(np.linalg.norm(a - centre))
    first, middle, last = (atan2(p[1] - centre[1], p[0] - centre[0]) for p in (a, b, c))
    turn = 1.0 if np.cross(np.append(b - a, 0), np.append(c - b, 0))[2] > 0 else -1.0
    while turn * (middle - first) < 0:
        middle += turn * 2 * pi
    while turn * (last - middle) < 0:
        last += turn * 2 * pi
    return arc(centre, radius, first, last)


def spline(
    points: Sequence[Point], leave: Point | None = None, arrive: Point | None = None
) -> Piece:
    """The C2 cubic with chord-length parameter, ends natural or at unit speed along a direction."""
    chord = [0.0]
    for a, b in pairwise(points):
        chord.append(chord[-1] + hypot(b[0] - a[0], b[1] - a[1]))
    ends = tuple(
        (2, np.zeros(2)) if way is None else (1, np.array(way) / hypot(*way))
        for way in (leave, arrive)
    )
    curve = CubicSpline(chord, np.array(points), bc_type=ends)
    return Piece(curve, curve.derivative(), tuple(chord), "spline")


def rounded(pieces: Sequence[Piece], radius: float) -> list[Piece]:
    """An arc at every corner, its centre square to a point of either side and `radius` away."""
    found = list(pieces)
    k = 0
    while k < len(found) - 1:
        before, after = found[k], found[k + 1]
        a, b = before.slope(before.knots[-1]), after.slope(after.knots[0])
        a, b = a / np.linalg.norm(a), b / np.linalg.norm(b)
        if abs(a[0] * b[1] - a[1] * b[0]) > 1e-6:
            found[k : k + 2] = _corner(before, after, a, b, radius)
            k += 1
        k += 1
    return found


def _corner(before: Piece, after: Piece, a: Array, b: Array, radius: float) -> list[Piece]:
    corner = before.at(before.knots[-1])
    half = np.arccos(np.clip(-a @ b, -1, 1)) / 2
    centre = corner + (b - a) / np.linalg.norm(b - a) * radius / np.sin(half)
    room = radius / np.tan(half)

    def misses(x: Array) -> list[float]:
        one, two = x[:2] - before.at(x[2]), x[:2] - after.at(x[3])
        return [
            (one @ one - radius**2) / radius,
            (two @ two - radius**2) / radius,
            one @ before.slope(x[2]),
            two @ after.slope(x[3]),
        ]

    back = room / np.linalg.norm(before.slope(before.knots[-1]))
    on = room / np.linalg.norm(after.slope(after.knots[0]))
    guess = np.array([*centre, before.knots[-1] - back, after.knots[0] + on])
    answer = root(misses, guess, tol=1e-14)
    assert np.abs(misses(answer.x)).max() < 1e-9 * radius
    assert abs(answer.x[2] - guess[2]) < back
    assert abs(answer.x[3] - guess[3]) < on
    centre, s, t = answer.x[:2], float(answer.x[2]), float(answer.x[3])
    first, last = (float(np.arctan2(*(p - centre)[::-1])) for p in (before.at(s), after.at(t)))
    if abs(last - first) > pi:  # a fillet is less than half a turn
        last -= np.sign(last - first) * 2 * pi
    return [
        before.between(before.knots[0], s),
        arc(centre, radius, first, last),
        after.between(t, after.knots[-1]),
    ]


def moments(pieces: Sequence[Piece]) -> Moments:
    """Moments of the body turned from an outline, by shells and adaptive quadrature."""

    def along(integrand: Callable[[float, float], float]) -> float:
        total = 0.0
        for piece in pieces:

            def value(s: float, piece: Piece = piece) -> float:
                r, z = piece.at(s)
                return integrand(float(r), float(z)) * float(piece.slope(s)[0])

            for low, high in pairwise(piece.knots):
                total -= quad(value, low, high, epsabs=1e-9, epsrel=1e-12, limit=200)[0]
        return total

    return Moments.of_revolution(
        2 * pi * along(lambda r, z: r * z),
        pi * along(lambda r, z: r * z * z),
        pi * along(lambda r, z: r**3 * z),
        2 / 3 * pi * along(lambda r, z: r * z**3),
    )
