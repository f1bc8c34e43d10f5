"""The spline of a half-section: a C2 cubic through given points, as Bezier spans."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from shapes.curves import Bezier, Point
from shapes.moments import Array


def spline_spans(
    points: Sequence[Point], leave: Point | None = None, arrive: Point | None = None
) -> list[Bezier]:
    """The C2 cubic spline through points with chord-length parameters, one `Bezier` a span.

    Args:
        points: at least two, no two neighbours alike, (r, z) in mm.
        leave: direction at the first point; without it the second derivative is zero there
            (a natural end).  Only the direction counts: the spline leaves at unit speed, which is
            the mean speed of a chord-length parameter.
        arrive: the same at the last point.

    The second derivatives solve the usual tridiagonal system (de Boor, A Practical Guide to
    Splines, ch. IV; from memory).
    """
    knots = np.array(points, dtype=float)
    chord = np.hypot(*np.diff(knots, axis=0).T)
    bend = _second_derivatives(knots, chord, leave, arrive)
    spans = []
    for k, h in enumerate(chord):
        a, b = knots[k], knots[k + 1]
        slope_a = (b - a) / h - h * (2.0 * bend[k] + bend[k + 1]) / 6.0
        slope_b = (b - a) / h + h * (bend[k] + 2.0 * bend[k + 1]) / 6.0
        inner = [a + slope_a * h / 3.0, b - slope_b * h / 3.0]
        p, q = ((float(x[0]), float(x[1])) for x in inner)
        spans.append(Bezier((points[k], p, q, points[k + 1])))
    return spans


def _second_derivatives(
    knots: Array, chord: Array, leave: Point | None, arrive: Point | None
) -> Array:
    """Shape (n, 2), second derivatives at the points."""
    n = len(knots)
    matrix, right = np.zeros((n, n)), np.zeros((n, 2))
    slope = np.diff(knots, axis=0) / chord[:, None]
    for k in range(1, n - 1):
        matrix[k, k - 1 : k + 2] = (
            chord[k - 1],
            2.0 * (chord[k - 1] + chord[k]),
            chord[k],
        )
        right[k] = 6.0 * (slope[k] - slope[k - 1])
    matrix[0, 0] = matrix[-1, -1] = 1.0
    if leave is not None:
        matrix[0, :2] = 2.0 * chord[0], chord[0]
        right[0] = 6.0 * (slope[0] - _unit(leave))
    if arrive is not None:
        matrix[-1, -2:] = chord[-1], 2.0 * chord[-1]
        right[-1] = 6.0 * (_unit(arrive) - slope[-1])
    return np.asarray(np.linalg.solve(matrix, right))


def _unit(direction: Point) -> Array:
    vector = np.array(direction, dtype=float)
    return np.asarray(vector / np.hypot(*vector))
