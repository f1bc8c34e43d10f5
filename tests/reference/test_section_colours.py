"""Cut faces in pictures: each part in its colour, over the area that it has there, and no hole.

Sections are of spheres, and of the shipped Turnstone, whose block has a rounded rectangle for a
section.  Areas are counted in pixels of the part's colour.  They may be off by a ring of one pixel
along the part's edges, which is mixed of two colours; in line-work by one of two, since a line of a
pixel and a half runs there.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import cos, pi, radians, sin

import numpy as np
import pytest
from numpy.typing import NDArray

from pipeline.ball import Ball, build_ball
from pipeline.load import load, read_design
from pipeline.looks import LOOKS
from pipeline.palette import rgb
from pipeline.scene import Scene
from pipeline.shipped import shipped
from pipeline.view_list import VIEWS
from pipeline.weigh import weigh
from pipeline.wish import Wish
from tests.pipeline.shots import Album, Taken, album, toward

IN = 25.4
RADII = (2.0 * IN, 3.5 * IN, 4.275 * IN)
SPHERES = """
format: corewright 1
name: Rings
revision: A
units: in
ball: {diameter: 8.55}
materials: {a: {density: 2}, b: {density: 1}}
parts:
  - {name: inner core, material: a, shape: sphere, diameter: 4}
  - {name: outer core, material: b, shape: sphere, diameter: 7}
  - {name: cover, material: a, shape: sphere, diameter: 8.55}
"""
RING_PX = {"shore": 1.0, "dusk": 1.0, "ink": 2.0}
NEAR = 2  # levels of a colour: the renderer rounds, and so does the mean over a pixel
LIT = 45  # levels: how far light may change a colour, so that no two parts' are confused


@pytest.fixture(scope="module")
def pictures() -> Iterator[Album]:
    with album() as opened:
        yield opened


@pytest.fixture(scope="module")
def spheres() -> dict[str, Scene]:
    """The views that cut a ball of three spheres, without hatching."""
    ball = build_ball(read_design(SPHERES))
    return {view: plain(ball, view) for view in ("half", "section", "quarter")}


@pytest.fixture(scope="module")
def turnstone() -> Scene:
    """Its section without hatching; every part of one colour through and through."""
    scene = plain(build_ball(load(shipped("turnstone"))), "section")
    return replace(scene, surfaces=tuple(replace(s, pour=None) for s in scene.surfaces))


@pytest.fixture(scope="module", params=["shore", "dusk", "ink"])
def look(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def plain(ball: Ball, view: str) -> Scene:
    return VIEWS[view].draw(ball, weigh(ball), Wish(faces="plain"))


def counted(taken: Taken, colour: NDArray[np.int64]) -> int:
    return int((np.abs(taken.colours - colour).max(axis=-1) <= NEAR).sum())


def colour_at(taken: Taken, point_mm: NDArray[np.float64]) -> NDArray[np.int64]:
    row, column = taken.pixel_of(point_mm[None])
    return np.asarray(taken.colours[row[0], column[0]])


def circles_px(taken: Taken, *radii_mm: float) -> float:
    """The length of circles, px."""
    return 2.0 * pi * sum(radii_mm) * taken.sheet.px_per_mm


@pytest.mark.parametrize("part", [0, 1, 2])
@pytest.mark.parametrize("view", ["half", "section"])
def test_a_part_between_spheres_covers_an_annulus_in_its_colour(
    pictures: Album, spheres: dict[str, Scene], view: str, look: str, part: int
) -> None:
    """An area of pi (R2 - r2), over which the light is even, since the face is flat."""
    taken = pictures.take(spheres[view], look=LOOKS[look])
    outer, inner = RADII[part], (0.0, *RADII)[part]
    right = taken.scene.camera.axes()[0]
    colour = colour_at(taken, (outer + inner) / 2.0 * right)
    due = pi * (outer**2 - inner**2) * taken.sheet.px_per_mm**2
    ring = RING_PX[look] * circles_px(taken, outer, inner)
    assert counted(taken, colour) == pytest.approx(due, abs=ring)


@pytest.mark.parametrize("part", [0, 1, 2])
def test_daylight_leaves_a_cut_face_its_own_colour(
    pictures: Album, spheres: dict[str, Scene], part: int
) -> None:
    taken = pictures.take(spheres["half"])
    middle = (RADII[part] + (0.0, *RADII)[part]) / 2.0
    found = colour_at(taken, middle * taken.scene.camera.axes()[0])
    due = np.array(rgb(taken.scene.legend[part].colour)) * 255.0
    assert np.abs(found - due).max() < LIT


def tint(colour: str, slant: float) -> NDArray[np.float64]:
    """Of a face in line-work: 0.62 of the way to white, and a tenth darker on edge than flat.

    As pipeline/actors.py has it, worked out here from its words.
    """
    return np.asarray(255.0 * (1.0 - 0.38 * (1.0 - np.array(rgb(colour)))) * (0.9 + 0.1 * slant))


@pytest.mark.parametrize("part", [0, 1, 2])
def test_line_work_has_one_tint_a_part(
    pictures: Album, spheres: dict[str, Scene], part: int
) -> None:
    taken = pictures.take(spheres["half"], look=LOOKS["ink"])
    middle = (RADII[part] + (0.0, *RADII)[part]) / 2.0
    found = colour_at(taken, middle * taken.scene.camera.axes()[0])
    assert found == pytest.approx(tint(taken.scene.legend[part].colour, 1.0), abs=NEAR)


def test_a_section_has_no_hole(pictures: Album, spheres: dict[str, Scene], look: str) -> None:
    """Every pixel a pixel within the ball's outline is wholly covered."""
    taken = pictures.take(spheres["half"], look=LOOKS[look])
    within = np.hypot(*taken.middles_mm()) < RADII[2] - 1.0 / taken.sheet.px_per_mm
    assert taken.shot.ball[within][:, 3].min() == 255


def test_every_pixel_of_a_section_has_the_colour_of_the_part_that_lies_there(
    pictures: Album, spheres: dict[str, Scene], look: str
) -> None:
    """But for a ring along each edge."""
    taken = pictures.take(spheres["half"], look=LOOKS[look])
    away = np.hypot(*taken.middles_mm())
    ring = RING_PX[look] / taken.sheet.px_per_mm
    wrong = 0
    for inner, outer in zip((-ring, *RADII[:2]), RADII, strict=True):
        colour = colour_at(taken, (max(inner, 0.0) + outer) / 2.0 * taken.scene.camera.axes()[0])
        here = taken.colours[(away > inner + ring) & (away < outer - ring)]
        wrong += int((np.abs(here - colour).max(axis=-1) > NEAR).sum())
    assert wrong == 0


# A quarter is taken out: two walls of half a disc, either side of where the wedge looks.


def walls(scene: Scene) -> list[tuple[NDArray[np.float64], NDArray[np.float64]]]:
    """Each wall's normal, and its way out from the pin axis: 45 deg aside of the wedge's middle.

    The middle is 9 deg past the camera (pipeline/views.py), which the cut faces must bear out.
    """
    middle = scene.camera.azimuth_deg + 9.0
    return [(toward(middle - aside, 0.0), toward(middle + aside, 0.0)) for aside in (45.0, -45.0)]


def on_wall(
    taken: Taken, normal: NDArray[np.float64], out: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Where each pixel's sightline meets a wall's plane: how far out, and how far from the centre.

    A wedge of 90 deg that holds the viewer's azimuth hides nothing of its walls, as every
    sightline from a wall stays in the wedge (it is convex; worked out here).
    """
    right, up, way = taken.scene.camera.axes()
    x, y = taken.middles_mm()
    flat = x[..., None] * right + y[..., None] * up
    at = flat - (flat @ normal / (way @ normal))[..., None] * way
    return at @ out, np.linalg.norm(at, axis=-1)


@pytest.mark.parametrize("wall", [0, 1])
@pytest.mark.parametrize("part", [0, 1])
def test_a_wall_shows_half_an_annulus_as_it_leans(
    pictures: Album, spheres: dict[str, Scene], part: int, wall: int
) -> None:
    """An area of pi (R2 - r2) / 2 times the cosine of its lean, in that lean's tint.

    The cover is left out: its outside has the same tint where it leans as a wall does.
    """
    taken = pictures.take(spheres["quarter"], look=LOOKS["ink"])
    camera = taken.scene.camera
    slant = float(walls(taken.scene)[wall][0] @ toward(camera.azimuth_deg, camera.elevation_deg))
    outer, inner = RADII[part], (0.0, *RADII)[part]
    due = pi * (outer**2 - inner**2) / 2.0 * slant * taken.sheet.px_per_mm**2
    edges = circles_px(taken, outer, inner) / 2.0 + 2.0 * taken.sheet.px_per_mm * (outer - inner)
    near = np.abs(taken.colours - tint(taken.scene.legend[part].colour, slant)).max(axis=-1) <= 1.5
    assert near.sum() == pytest.approx(due, abs=RING_PX["ink"] * edges)


@pytest.mark.parametrize("wall", [0, 1])
@pytest.mark.parametrize("part", [0, 1, 2])
def test_a_wall_has_no_hole(
    pictures: Album, spheres: dict[str, Scene], look: str, part: int, wall: int
) -> None:
    """Every pixel of a part's half annulus has one colour, but for a ring along its edges."""
    taken = pictures.take(spheres["quarter"], look=LOOKS[look])
    normal, out = walls(taken.scene)[wall]
    outer, inner = RADII[part], (0.0, *RADII)[part]
    along, away = on_wall(taken, normal, out)
    slant = float(normal @ taken.scene.camera.axes()[2])
    ring = RING_PX[look] / taken.sheet.px_per_mm / slant  # a pixel is longer on what leans
    mine = (along > ring) & (away < outer - ring) & (away > (inner + ring if inner else 0.0))
    colour = colour_at(taken, (outer + inner) / 2.0 * out)
    assert np.abs(taken.colours[mine] - colour).max() <= NEAR


# The shipped Turnstone, whose block leans by 4 deg within a plane through the section's normal.


def block_mm2() -> float:
    """A rectangle with rounded corners, w h - (4 - pi) r2, stretched upright by 1 / cos 4 deg.

    The section leans by 4 deg against the block and stays within the flats of the sides that it
    runs along, where all of the block's sections alike are that rectangle (worked out here).
    """
    w, h, r = 3.55 * IN, 5.05 * IN, 0.7 * IN
    half_way_out = (h / 2.0) / cos(radians(4.0)) * sin(radians(4.0))
    assert half_way_out < 4.115 * IN / 2.0 - r
    return (w * h - (4.0 - pi) * r**2) / cos(radians(4.0))


def block_edge_mm() -> float:
    """Nearly: the rectangle's, less what its corners save."""
    return (2.0 * (3.55 + 5.05) - (8.0 - 2.0 * pi) * 0.7) * IN


@pytest.mark.parametrize(
    ("part", "at_mm"), [(0, 0.0), (1, 3.2 * IN), (2, 3.9 * IN)], ids=["block", "round it", "cover"]
)
def test_the_turnstones_section_has_its_areas(
    pictures: Album, turnstone: Scene, look: str, part: int, at_mm: float
) -> None:
    taken = pictures.take(turnstone, look=LOOKS[look])
    outer, ball = 7.05 * IN / 2.0, 8.55 * IN / 2.0
    mm2 = (block_mm2(), pi * outer**2 - block_mm2(), pi * (ball**2 - outer**2))[part]
    circles = (0.0, circles_px(taken, outer), circles_px(taken, outer, ball))[part]
    edges = circles + (block_edge_mm() * taken.sheet.px_per_mm if part < 2 else 0.0)
    found = counted(taken, colour_at(taken, at_mm * taken.scene.camera.axes()[0]))
    due = mm2 * taken.sheet.px_per_mm**2
    assert found == pytest.approx(due, abs=RING_PX[look] * edges)
