"""Unions of bodies of revolution about one axis, by brute force.

At every height a section is a set of intervals of r; the union's are those merged.  Between the
heights where an outline begins, ends or crosses another, r^2 and r^4 are polynomials of z for
lines, circles and ellipses alike, so Gauss points on each stretch are exact.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

import numpy as np
from scipy.optimize import brentq

from shapes.moments import Array, Moments

_X, _W = np.polynomial.legendre.leggauss(12)


@dataclass(frozen=True)
class Side:
    """A stretch of outline as a radius over heights from low to high."""

    low: float
    high: float
    r: Callable[[Array], Array]


Section = tuple[Side, ...]
Interval = tuple[float, float]


def polygon(*corners: tuple[float, float]) -> Section:
    """Straight steps from the lower axis point to the upper one; overhangs are allowed."""

    def side(a: tuple[float, float], b: tuple[float, float]) -> Side:
        slope = (b[0] - a[0]) / (b[1] - a[1])
        low, high = sorted((a[1], b[1]))
        return Side(low, high, lambda z: a[0] + slope * (z - a[1]))

    return tuple(side(a, b) for a, b in pairwise(corners) if a[1] != b[1])


def ellipse(across: float, up: float, centre: float = 0.0) -> Section:
    """A spheroid of semi-axes `across` and `up` about a point of the axis."""

    def r(z: Array) -> Array:
        return np.asarray(across * np.sqrt(np.maximum(0.0, 1.0 - ((z - centre) / up) ** 2)))

    return (Side(centre - up, centre + up, r),)


def union(sections: Sequence[Section]) -> Moments:
    """Moments of everything that lies in any of the sections, turned about Z."""
    sides = [side for section in sections for side in section]
    total = np.zeros(4)
    for low, high in pairwise(_cuts(sides)):
        z = (low + high) / 2 + (high - low) / 2 * _X
        for height, weight in zip(z, (high - low) / 2 * _W, strict=True):
            spans = [span for section in sections for span in _intervals(section, height)]
            for near, far in _merged(spans):
                square = far**2 - near**2
                total += weight * np.array(
                    [
                        np.pi * square,
                        np.pi * square * height,
                        np.pi / 4 * (far**4 - near**4),
                        np.pi * square * height**2,
                    ]
                )
    return Moments.of_revolution(*(float(t) for t in total))


def _cuts(sides: Sequence[Side]) -> list[float]:
    cuts = {height for side in sides for height in (side.low, side.high)}
    for a, b in combinations(sides, 2):
        low, high = max(a.low, b.low), min(a.high, b.high)
        if high - low < 1e-12:
            continue

        def gap(z: float | Array, a: Side = a, b: Side = b) -> Array:
            return a.r(np.asarray(z)) ** 2 - b.r(np.asarray(z)) ** 2

        z = np.linspace(low, high, 1501)
        g = gap(z)
        z, g = z[g != 0.0], g[g != 0.0]
        for k in np.nonzero(g[:-1] * g[1:] < 0.0)[0]:
            cuts.add(float(brentq(gap, z[k], z[k + 1], xtol=1e-13)))
    return sorted(cuts)


def _intervals(section: Section, height: float) -> list[Interval]:
    """Inside from the axis or from an outline to the next: an even number of sides is crossed."""
    radii = sorted(float(s.r(np.array(height))) for s in section if s.low < height < s.high)
    if len(radii) % 2:
        radii.insert(0, 0.0)
    return list(zip(radii[::2], radii[1::2], strict=True))


def _merged(spans: Sequence[Interval]) -> list[Interval]:
    merged: list[Interval] = []
    for near, far in sorted(spans):
        if merged and near <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(far, merged[-1][1]))
        else:
            merged.append((near, far))
    return merged
