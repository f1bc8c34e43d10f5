"""Exact walls and balls: closed forms."""

from __future__ import annotations

import cadquery as cq
import numpy as np
import pytest

from shapes.clearance import ball_about_mm, least_wall
from shapes.skin import skin_of
from shapes.solid import sphere
from shapes.thickness import walls_of

SHELL = cq.Workplane().sphere(50.0).cut(cq.Workplane().sphere(40.0)).val()


@pytest.mark.parametrize(
    ("solid", "wall"),
    [(sphere(50.0), 100.0), (SHELL, 10.0), (cq.Solid.makeBox(20.0, 30.0, 50.0), 20.0)],
    ids=["ball", "shell", "box"],
)
def test_the_thinnest_wall_is_exact(solid: cq.Solid, wall: float) -> None:
    skin = skin_of(solid)
    found = least_wall(solid, skin, walls_of(skin))
    assert found is not None
    assert found[0] == pytest.approx(wall, abs=1e-6)


def test_a_ball_about_a_point_reaches_the_nearest_surface() -> None:
    assert ball_about_mm(SHELL, np.array([0.0, 0.0, 46.0])) == pytest.approx(4.0, abs=1e-9)
    assert ball_about_mm(SHELL, np.array([0.0, 0.0, 43.0])) == pytest.approx(3.0, abs=1e-9)
