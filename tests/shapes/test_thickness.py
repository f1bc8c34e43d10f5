"""Walls and the largest ball inside, against closed forms."""

from __future__ import annotations

import cadquery as cq
import numpy as np
import pytest

from shapes.largest_ball import WORTH, largest_ball
from shapes.skin import Skin, skin_of
from shapes.solid import ellipsoid, rod, sphere
from shapes.thickness import tangent_balls_mm, walls_of
from tests.reference.cast_solids import frustum, tilted, wedge

HOLLOW = cq.Workplane().sphere(50.0).cut(cq.Workplane().sphere(40.0)).val()
P, Q = 100.0, 20.0  # the wedge's legs


def largest(skin: Skin) -> tuple[float, float]:
    """Radius, and the sag it is right to."""
    walls = walls_of(skin).through_mm
    return largest_ball(skin, tangent_balls_mm(skin, walls))[1], skin.sag_mm + 1e-3


@pytest.mark.parametrize(
    ("solid", "radius"),
    [
        (sphere(50.0), 50.0),
        (cq.Solid.makeBox(20.0, 30.0, 50.0), 10.0),
        (cq.Solid.makeBox(50.0, 50.0, 50.0), 25.0),
        (cq.Solid.makeBox(100.0, 100.0, 2.0), 1.0),
        (rod(20.0, 80.0), 20.0),
        (rod(50.0, 30.0), 15.0),
        (HOLLOW, 5.0),
        (cq.Solid.makeTorus(40.0, 10.0), 10.0),
        (ellipsoid(60.0, 40.0, 30.0), 30.0),
        (wedge(), P * Q / (P + Q + np.hypot(P, Q))),
        # half the angle at the foot of the side: r = R tan(a / 2)
        (frustum(30.0, 0.0, 50.0), 30.0 * np.tan(np.arctan2(50.0, 30.0) / 2.0)),
    ],
    ids=[
        "ball", "box", "cube", "plate", "rod", "disc", "shell", "ring", "ellipsoid", "wedge",
        "cone",
    ],
)  # fmt: skip
def test_the_largest_ball(solid: cq.Solid, radius: float) -> None:
    """Half the least width; for the wedge and the cone the inscribed circle of a triangle."""
    found, sag = largest(skin_of(tilted(solid)))
    assert found == pytest.approx(radius, abs=sag)


@pytest.mark.parametrize(
    ("solid", "least"),
    [
        (sphere(50.0), 100.0),
        (cq.Solid.makeBox(20.0, 30.0, 50.0), 20.0),
        (cq.Solid.makeBox(100.0, 100.0, 2.0), 2.0),
        (HOLLOW, 10.0),
        (rod(50.0, 30.0), 30.0),
    ],
    ids=["ball", "box", "plate", "shell", "disc"],
)
def test_the_thinnest_wall(solid: cq.Solid, least: float) -> None:
    skin = skin_of(tilted(solid))
    assert walls_of(skin).through_mm.min() == pytest.approx(least, abs=1.5 * skin.sag_mm + 1e-6)


def test_through_a_wedge_a_line_meets_the_other_side() -> None:
    """From its long leg straight up, h = Q (1 - x / P)."""
    skin = skin_of(wedge())
    foot = skin.normals[:, 2] < -0.9
    assert walls_of(skin).through_mm[foot] == pytest.approx(
        Q * (1.0 - skin.middles_mm[foot, 0] / P), abs=1e-9
    )


def test_no_tangent_ball_is_thicker_than_the_wall_or_the_rounding() -> None:
    skin = skin_of(cq.Solid.makeTorus(40.0, 10.0))
    walls = walls_of(skin).through_mm
    balls = tangent_balls_mm(skin, walls)
    assert (balls <= walls).all()
    assert balls == pytest.approx(20.0, abs=2.0 * skin.sag_mm)


def test_tangent_balls_of_a_wedge_shrink_towards_its_edge() -> None:
    """On the long leg at x the ball that touches both sides: r = (P - x) tan(a / 2).

    It is held against samples that lie as far apart as the facets are long: 3 mm here.
    """
    skin = skin_of(wedge(), side_mm=3.0)
    balls = tangent_balls_mm(skin, walls_of(skin).through_mm)
    x, y = skin.middles_mm[:, 0], skin.middles_mm[:, 1]
    here = (skin.normals[:, 2] < -0.9) & (x > 30.0) & (x < 60.0) & (np.abs(y + 30.0) < 20.0)
    expected = 2.0 * (P - x[here]) * np.tan(np.arctan2(Q, P) / 2.0)
    assert balls[here] == pytest.approx(expected, rel=0.03)


def test_beside_a_sharp_edge_the_side_next_to_it_is_no_wall() -> None:
    """A steep cone: from its foot's rim straight up a line meets its side, 72 degrees to it."""
    skin = skin_of(frustum(30.0, 20.0, 30.0))
    walls = walls_of(skin)
    assert walls.through_mm.min() < 10.0
    assert walls.thinnest is not None
    assert walls.through_mm[walls.thinnest] == pytest.approx(30.0, abs=0.01)


def test_balls_worth_shrinking_come_out_as_when_all_are_shrunk() -> None:
    skin = skin_of(tilted(frustum(30.0, 20.0, 30.0)))
    walls = walls_of(skin).through_mm
    every, some = tangent_balls_mm(skin, walls), tangent_balls_mm(skin, walls, WORTH)
    large = every >= WORTH * every.max()
    assert 0 < large.sum() < len(large)
    assert np.array_equal(some[large], every[large])
    assert (some[~large] < WORTH * every.max()).all()
