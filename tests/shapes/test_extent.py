"""How far solids reach along a direction: closed forms."""

from __future__ import annotations

import numpy as np
import pytest

from shapes.box import Box
from shapes.extent import extent_mm, extents_mm
from shapes.placement import Placement
from shapes.solid import placed, rod
from shapes.sphere import Sphere

WAY = np.array([2.0, -1.0, 2.0]) / 3.0


def test_a_ball_reaches_its_radius_any_way() -> None:
    ball = placed(Sphere(diameter=80.0).solid(), Placement(move_mm=(3.0, 0.0, 6.0)))
    assert extent_mm(ball, WAY) == pytest.approx((6.0 - 40.0, 6.0 + 40.0), abs=1e-4)


def test_a_box_reaches_its_corners() -> None:
    box = Box(size=(30.0, 60.0, 90.0)).solid()
    assert extent_mm(box, WAY) == pytest.approx((-50.0, 50.0), abs=1e-4)


def test_along_three_axes_at_once_a_cylinder_reaches_as_along_each() -> None:
    """Along n it reaches its radius times n across Z and half its height times n along Z."""
    axes = np.array([[2.0, -1.0, 2.0], [2.0, 2.0, -1.0], [-1.0, 2.0, 2.0]]).T / 3.0
    due = 20.0 * np.hypot(axes[0], axes[1]) + 45.0 * np.abs(axes[2])
    low, high = extents_mm(rod(20.0, 90.0), axes)
    assert high == pytest.approx(due, abs=1e-4)
    assert low == pytest.approx(-due, abs=1e-4)
