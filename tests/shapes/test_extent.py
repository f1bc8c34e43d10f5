"""How far solids reach along a direction: closed forms."""

from __future__ import annotations

import numpy as np
import pytest

from shapes.box import Box
from shapes.extent import extent_mm
from shapes.placement import Placement
from shapes.solid import placed
from shapes.sphere import Sphere

WAY = np.array([2.0, -1.0, 2.0]) / 3.0


def test_a_ball_reaches_its_radius_any_way() -> None:
    ball = placed(Sphere(diameter=80.0).solid(), Placement(move_mm=(3.0, 0.0, 6.0)))
    assert extent_mm(ball, WAY) == pytest.approx((6.0 - 40.0, 6.0 + 40.0), abs=1e-4)


def test_a_box_reaches_its_corners() -> None:
    box = Box(size=(30.0, 60.0, 90.0)).solid()
    assert extent_mm(box, WAY) == pytest.approx((-50.0, 50.0), abs=1e-4)
