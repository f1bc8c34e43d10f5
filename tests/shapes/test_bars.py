"""Round bars: volumes of frustums (Marks' Handbook; from memory), and lines through solids."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from shapes.bars import Bar, contains, crossings_mm, solid_of
from shapes.boundary import moments_of_solid
from shapes.sphere import Sphere

CONE = Bar((1.0, 2.0, 3.0), (0.6, 0.0, 0.8), ((-10.0, 2.0), (0.0, 4.0), (30.0, 4.0)))


def test_the_volume_is_that_of_its_frustums() -> None:
    due = pi * 10.0 * (4.0 + 8.0 + 16.0) / 3.0 + pi * 16.0 * 30.0
    assert moments_of_solid(solid_of(CONE)).volume_mm3 == pytest.approx(due, rel=1e-12)
    assert pytest.approx(due, rel=1e-12) == CONE.volume_mm3


def test_it_stands_where_it_is_put() -> None:
    found = solid_of(Bar((1.0, 2.0, 3.0), (0.6, 0.0, 0.8), ((0.0, 2.0), (10.0, 2.0))))
    at = moments_of_solid(found).centroid_mm()
    np.testing.assert_allclose(at, [4.0, 2.0, 7.0], atol=1e-9)


def test_a_line_crosses_a_ball_twice() -> None:
    found = crossings_mm(
        Sphere(diameter=10.0).solid(), np.array([0.0, 3.0, 1.0]), np.array([1.0, 0.0, 0.0])
    )
    half = np.sqrt(25.0 - 10.0)
    np.testing.assert_allclose(found, [-half, half], atol=1e-9)


def test_a_line_beside_a_ball_crosses_nothing() -> None:
    ball = Sphere(diameter=10.0).solid()
    assert len(crossings_mm(ball, np.array([0.0, 6.0, 0.0]), np.array([1.0, 0.0, 0.0]))) == 0


def test_points_inside_and_outside() -> None:
    points = np.array([[0.0, 0.0, 4.9], [0.0, 0.0, 5.1]])
    assert contains(Sphere(diameter=10.0).solid(), points).tolist() == [True, False]
