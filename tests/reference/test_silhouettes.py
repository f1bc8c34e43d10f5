"""Outlines in pictures: their areas against bodies whose shadows are known in closed form.

What a body covers is measured as the sum of its pixels' alphas.  A difference of areas is given as
the pixels by which the radius of a disc of that area is off.  It may be a twentieth of a pixel,
which is what quarters of pixels leave of a long edge, and the sag of the mesh, which lies inside
the body: CHORD_MM.  The upright edges of boxes and cylinders run along the pixels and are drawn to
the nearest half of one, so these may be off by a quarter of a pixel all round.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, pi, radians, sin, sqrt

import numpy as np
import pytest

from pipeline.ball import build_ball
from pipeline.load import load
from pipeline.scene import Camera, Surface
from pipeline.shells import CHORD_MM
from pipeline.shipped import shipped
from pipeline.view_list import VIEWS
from pipeline.views import outside_of
from pipeline.weigh import weigh
from pipeline.wish import Wish
from shapes.box import Box
from shapes.cylinder import Cylinder
from shapes.ellipsoid import Ellipsoid
from shapes.placed import Placed
from shapes.placement import Placement
from shapes.sphere import Sphere
from tests.pipeline.shots import Album, Taken, album, bodies, toward

OUTLINE_PX = 0.05
UPRIGHT_PX = 0.30  # a rectangle has 1.13 times the outline of its disc
WAYS = [(-45.0, 21.0), (200.0, -37.0), (90.0, 0.0), (13.0, 80.0)]


@pytest.fixture(scope="module")
def pictures() -> Iterator[Album]:
    with album() as opened:
        yield opened


def seen(pictures: Album, body: Placed, way: tuple[float, float]) -> Taken:
    shell = outside_of(body)
    arrays = shell.points_mm, shell.normals, shell.triangles
    return pictures.take(bodies(Camera(*way), Surface(*arrays, "#B5482A", "skin", 0)))


def off_px(taken: Taken, due_mm2: float) -> float:
    """How far the radius of a disc as large as the outline is off."""
    found = float(taken.shot.ball[..., 3].sum()) / 255.0
    return sqrt(found / pi) - taken.sheet.px_per_mm * sqrt(due_mm2 / pi)


def may_be_off_px(taken: Taken) -> float:
    return OUTLINE_PX + CHORD_MM * taken.sheet.px_per_mm


@pytest.mark.parametrize("way", WAYS)
def test_a_sphere_covers_pi_r_squared(pictures: Album, way: tuple[float, float]) -> None:
    taken = seen(pictures, Placed(Sphere(217.0)), way)
    assert abs(off_px(taken, pi * 108.5**2)) <= may_be_off_px(taken)


@pytest.mark.parametrize("way", WAYS)
def test_an_ellipsoid_covers_pi_times_the_root_of_a_quadratic_form(
    pictures: Album, way: tuple[float, float]
) -> None:
    """By pi sqrt(b2 c2 vx2 + c2 a2 vy2 + a2 b2 vz2) along the unit vector v; from memory."""
    a, b, c = 96.0, 60.0, 80.0
    x, y, z = toward(*way)
    due = pi * sqrt((b * c * x) ** 2 + (c * a * y) ** 2 + (a * b * z) ** 2)
    taken = seen(pictures, Placed(Ellipsoid((2.0 * a, 2.0 * b, 2.0 * c))), way)
    assert abs(off_px(taken, due)) <= may_be_off_px(taken)


@pytest.mark.parametrize("elevation", [0.0, 21.0, -50.0, 80.0])
def test_a_cylinder_covers_its_side_and_one_end(pictures: Album, elevation: float) -> None:
    """2 r h cos e + pi r2 |sin e| at elevation e: a prism's side and its end (worked out here)."""
    r, h, e = 55.0, 130.0, radians(elevation)
    taken = seen(pictures, Placed(Cylinder(2.0 * r, h)), (33.0, elevation))
    due = 2.0 * r * h * cos(e) + pi * r**2 * abs(sin(e))
    assert abs(off_px(taken, due)) <= UPRIGHT_PX


@pytest.mark.parametrize("way", WAYS)
def test_a_box_covers_its_three_faces(pictures: Album, way: tuple[float, float]) -> None:
    """Each face's area times the cosine of its slant: bc |vx| + ca |vy| + ab |vz|; from memory."""
    a, b, c = 80.0, 110.0, 130.0
    x, y, z = np.abs(toward(*way))
    taken = seen(pictures, Placed(Box((a, b, c))), way)
    due = b * c * x + c * a * y + a * b * z
    assert abs(off_px(taken, due)) <= UPRIGHT_PX


def rounded_mm2(size: tuple[float, float, float], r: float, way: np.ndarray) -> float:
    """The shadow of a box with rounded edges along the unit vector `way`.

    It is that of the inner box grown by r: area + r perimeter + pi r2 (Steiner, from memory).
    An edge along x is sqrt(1 - vx2) as long in the shadow, two of each (worked out here).
    """
    a, b, c = (one - 2.0 * r for one in size)
    x, y, z = np.abs(way)
    area = b * c * x + c * a * y + a * b * z
    edges = 2.0 * (a * sqrt(1.0 - x**2) + b * sqrt(1.0 - y**2) + c * sqrt(1.0 - z**2))
    return float(area + r * edges + pi * r**2)


@pytest.mark.parametrize("way", WAYS)
def test_a_leaning_rounded_box_covers_its_grown_shadow(
    pictures: Album, way: tuple[float, float]
) -> None:
    """Leant by 30 deg towards +X: its own x and z axes are turned in the plane of X and Z."""
    size, r, lean = (80.0, 100.0, 130.0), 15.0, radians(30.0)
    own = np.array([[cos(lean), 0, -sin(lean)], [0, 1, 0], [sin(lean), 0, cos(lean)]])
    taken = seen(pictures, Placed(Box(size, r), Placement(0.0, 30.0, 0.0)), way)
    assert abs(off_px(taken, rounded_mm2(size, r, own @ toward(*way)))) <= may_be_off_px(taken)


@pytest.mark.parametrize("way", [(-45.0, 21.0), (140.0, -60.0)])
def test_the_core_view_shows_the_shipped_block_in_its_true_size(
    pictures: Album, way: tuple[float, float]
) -> None:
    """The Turnstone's: 3.55, 4.115 and 5.05 in, rounded by 0.7 in, leant by 4 deg towards +Y."""
    ball = build_ball(load(shipped("turnstone")))
    scene = VIEWS["core"].draw(ball, weigh(ball), Wish(from_deg=way[0], above_deg=way[1]))
    lean = radians(4.0)
    own = np.array([[1, 0, 0], [0, cos(lean), -sin(lean)], [0, sin(lean), cos(lean)]])
    size = (3.55 * 25.4, 4.115 * 25.4, 5.05 * 25.4)
    taken = pictures.take(scene)
    due = rounded_mm2(size, 0.7 * 25.4, own @ toward(*way))
    assert abs(off_px(taken, due)) <= may_be_off_px(taken)
