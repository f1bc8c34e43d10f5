"""A table of points and tangents that stands for a spline of a half-section.

The curve through the points is the usual cubic of each pair of them: ends and tangents given, the
tangents' lengths those of the chord (Hermite's interpolation; Farin, Curves and Surfaces for CAGD,
from memory).  It is built from the figures as they are printed, and how far it leaves the true
curve is measured, so that the sheet can say so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, cos, degrees, hypot, pi, radians, sin

import numpy as np

from shapes.curves import Bezier, Point
from shapes.moments import Array

PLACES = 3  # decimals of r and height in the table
_ALLOWED_MM = (0.005, 0.01, 0.02, 0.05, 0.1)
_SMOOTH = 1e-6  # radians between two spans that run into each other
_FINE = 512  # places along a run of spans that stand for the true curve
_DENSE = 12  # places between two points at which the cubic is held against the curve


@dataclass(frozen=True)
class TablePoint:
    """One row.

    Attributes:
        at: (r, z), mm, as printed but in the section's own frame.
        tangent_deg: of the curve, upwards from the direction away from the axis.
        ends: whether a spline begins or ends here.
    """

    at: Point
    tangent_deg: float
    ends: bool


@dataclass(frozen=True)
class SplineTable:
    """The rows, spline after spline, and how near they come.

    Attributes:
        splines: the points of each smooth run of spans, in order along it.
        within_mm: the greatest distance of the cubics through them from the true curves.
    """

    splines: tuple[tuple[TablePoint, ...], ...]
    within_mm: float

    @property
    def points(self) -> tuple[TablePoint, ...]:
        """All rows in order."""
        return tuple(point for run in self.splines for point in run)


def runs_of(curves: Sequence[object]) -> list[list[Bezier]]:
    """Spans that follow one another without a corner, together."""
    runs: list[list[Bezier]] = []
    last: Bezier | None = None
    for curve in curves:
        if isinstance(curve, Bezier):
            if last is not None and _turn(last.way(1.0), curve.way(0.0)) < _SMOOTH:
                runs[-1].append(curve)
            else:
                runs.append([curve])
        last = curve if isinstance(curve, Bezier) else None
    return runs


def table_of(runs: Sequence[Sequence[Bezier]], datum_mm: float, most: int) -> SplineTable | None:
    """The fewest equal stretches a spline that come near enough; coarser where rows run out.

    Args:
        runs: of spans, as `runs_of` gives them.
        datum_mm: the height that the table counts from, where its figures are rounded.
        most: rows there is room for.

    Returns:
        None when not even a tenth of a millimetre can be kept.
    """
    for allowed in _ALLOWED_MM:
        found = [_run(run, datum_mm, allowed, most) for run in runs]
        if all(points for points, _ in found) and sum(len(p) for p, _ in found) <= most:
            return SplineTable(tuple(p for p, _ in found), max(w for _, w in found))
    return None


def _run(
    run: Sequence[Bezier], datum: float, allowed: float, most: int
) -> tuple[tuple[TablePoint, ...], float]:
    for count in range(2, most + 1):
        points, within = _tried(run, datum, count)
        if within <= allowed:
            return points, within
    return (), np.inf


def _tried(run: Sequence[Bezier], datum: float, count: int) -> tuple[tuple[TablePoint, ...], float]:
    """Points at equal lengths along a run, and how far their cubics leave it."""
    t = np.linspace(0.0, 1.0, max(32, _FINE // len(run)))
    fine = np.concatenate([np.stack(span.at(t), axis=-1)[k > 0 :] for k, span in enumerate(run)])
    place = np.concatenate([(t + k)[k > 0 :] for k in range(len(run))])
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(fine, axis=0), axis=1))])
    at = np.interp(np.linspace(0.0, along[-1], count), along, place)
    points = []
    for k, where in enumerate(at):
        span = min(int(where), len(run) - 1)
        (r, z), (dr, dz) = run[span].point(where - span), run[span].way(where - span)
        rounded = (round(float(r), PLACES), round(float(z) - datum, PLACES) + datum)
        slope = round(degrees(atan2(dz, dr)), 2)
        points.append(TablePoint(rounded, slope, k in (0, count - 1)))
    cubic = np.concatenate([_cubic(a, b) for a, b in pairwise(points)])
    return tuple(points), float(_distances(cubic, fine).max())


def _cubic(a: TablePoint, b: TablePoint) -> Array:
    """Points of the cubic between two rows."""
    s = np.linspace(0.0, 1.0, _DENSE)[:, None]
    chord = hypot(b.at[0] - a.at[0], b.at[1] - a.at[1])
    way = [chord * np.array([cos(radians(p.tangent_deg)), sin(radians(p.tangent_deg))])
           for p in (a, b)]  # fmt: skip
    return np.asarray(
        (1.0 + 2.0 * s) * (1.0 - s) ** 2 * np.array(a.at)
        + s * (1.0 - s) ** 2 * way[0]
        + s * s * (3.0 - 2.0 * s) * np.array(b.at)
        - s * s * (1.0 - s) * way[1]
    )


def _distances(points: Array, line: Array) -> Array:
    """Distances of points, shape (n, 2), from a polyline."""
    a, way = line[:-1], np.diff(line, axis=0)
    share = np.einsum("nmk,mk->nm", points[:, None] - a, way) / (way * way).sum(axis=1)
    foot = a + np.clip(share, 0.0, 1.0)[..., None] * way
    return np.asarray(np.linalg.norm(points[:, None] - foot, axis=2).min(axis=1))


def _turn(one: Point, other: Point) -> float:
    turn = atan2(other[1], other[0]) - atan2(one[1], one[0])
    return abs((turn + pi) % (2.0 * pi) - pi)
