"""The spline is the one the reference says, held against SciPy's."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from scipy.interpolate import CubicSpline

from shapes.spline import spline_spans

POINTS = [(0.0, -30.0), (25.0, -22.0), (31.0, 4.0), (18.0, 27.0), (0.0, 33.0)]


def chord(points: list[tuple[float, float]]) -> np.ndarray:
    steps = np.hypot(*np.diff(np.array(points), axis=0).T)
    return np.concatenate([[0.0], np.cumsum(steps)])


def sampled(**ends: tuple[float, float]) -> np.ndarray:
    spans = spline_spans(POINTS, **ends)
    t = np.linspace(0.0, 1.0, 7)
    return np.concatenate([np.column_stack(span.at(t)) for span in spans])


def parameters() -> np.ndarray:
    u = chord(POINTS)
    return np.concatenate([np.linspace(a, b, 7) for a, b in itertools.pairwise(u)])


def test_natural_ends() -> None:
    due = CubicSpline(chord(POINTS), POINTS, bc_type="natural")(parameters())
    assert sampled() == pytest.approx(due, abs=1e-12)


def test_given_directions_leave_and_arrive_at_unit_speed() -> None:
    ends = ((1, np.array([1.0, 0.0])), (1, np.array([-0.6, 0.8])))
    due = CubicSpline(chord(POINTS), POINTS, bc_type=ends)(parameters())
    assert sampled(leave=(5.0, 0.0), arrive=(-3.0, 4.0)) == pytest.approx(due, abs=1e-12)


def test_two_points_make_a_straight_line() -> None:
    (span,) = spline_spans([(0.0, 0.0), (3.0, 4.0)])
    r, z = span.at(np.array([0.25]))
    assert (r[0], z[0]) == pytest.approx((0.75, 1.0))
