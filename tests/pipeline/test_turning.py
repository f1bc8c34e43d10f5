"""A camera that turns shows what a ball shows that turns the other way before a camera at rest.

Turns are those of SciPy.  Frames of cameras are rounded to 1e-9, which 100 mm out is 1e-7 mm, so
1e-6 mm holds everywhere.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from pipeline.scene import INK, Camera, Label, Mark, Scene, Thread, frame_of
from pipeline.turning import about, drilled_from, orbited, rolled_over, seen_from, turned
from pipeline.view_list import VIEWS
from pipeline.weigh import weigh
from pipeline.wish import AS_IT_SUITS
from tests.pipeline.filmed import brick
from tests.pipeline.plain_scene import plain_scene

RNG = np.random.default_rng(7)
POINTS = RNG.uniform(-100.0, 100.0, (20, 3))
LEANING = frame_of(Rotation.from_rotvec([0.4, -1.1, 0.7]).as_matrix())
CAMERAS = [Camera(0.0, 0.0), Camera(-45.0, 21.0), Camera(130.0, -35.0, LEANING)]
ANGLES = [0.0, 1.0, 90.0, -123.0, 360.0]


@pytest.mark.parametrize("angle", [0.0, 1e-7, 1.0, -2.5, np.pi, 7.0])
def test_a_turn_is_scipys(angle: float) -> None:
    axis = np.array([2.0, -3.0, 6.0]) / 7.0
    due = Rotation.from_rotvec(angle * axis).as_matrix()
    assert about(axis, angle) == pytest.approx(due, abs=1e-14)


@pytest.mark.parametrize("camera", CAMERAS)
@pytest.mark.parametrize("angle", ANGLES)
def test_a_ball_that_turned_about_the_upright(camera: Camera, angle: float) -> None:
    up = np.array(camera.frame[2])
    moved = Rotation.from_rotvec(np.radians(angle) * up).apply(POINTS)
    found = orbited(camera, angle).project(POINTS)
    assert found == pytest.approx(camera.project(moved), abs=1e-6)


@pytest.mark.parametrize("camera", CAMERAS)
@pytest.mark.parametrize("angle", ANGLES)
def test_a_ball_that_rolled_over(camera: Camera, angle: float) -> None:
    right = camera.axes()[0]
    moved = Rotation.from_rotvec(-np.radians(angle) * right).apply(POINTS)
    found = rolled_over(camera, angle).project(POINTS)
    assert found == pytest.approx(camera.project(moved), abs=1e-6)


@pytest.mark.parametrize("camera", CAMERAS)
def test_a_ball_rolls_over_with_its_top_away_from_the_viewer(camera: Camera) -> None:
    _, up, _ = camera.axes()
    toward = rolled_over(camera, 30.0).axes()[2]
    assert float(up @ toward) == pytest.approx(-0.5, abs=1e-8)  # sin 30 degrees behind


@pytest.mark.parametrize("camera", CAMERAS)
def test_a_ball_that_turned_in_any_way(camera: Camera) -> None:
    turn = Rotation.from_rotvec([-0.9, 0.2, 1.7])
    found = turned(camera, turn.as_matrix()).project(POINTS)
    assert found == pytest.approx(camera.project(turn.apply(POINTS)), abs=1e-6)


def test_turns_add_up() -> None:
    """A quarter turn twice is a half turn."""
    camera = CAMERAS[2]
    twice = orbited(orbited(camera, 90.0), 90.0)
    assert twice.axes() == pytest.approx(orbited(camera, 180.0).axes(), abs=1e-9)


# What lies on the ball


def lying(*ways: tuple[float, float, float]) -> Scene:
    """A plain scene, seen along X, with a mark, a label and a line at each place."""
    points = [100.0 * np.array(way) / np.linalg.norm(way) for way in ways]
    return replace(
        plain_scene(),
        marks=tuple(Mark("pin", at, False) for at in points),
        labels=tuple(Label(at, (str(k),), INK) for k, at in enumerate(points)),
        threads=(Thread(np.array([points[0], -points[0]]), INK, 1.0),),
    )


SEEN, EDGE, HIDDEN = (1.0, 0.0, 0.0), (0.07, 0.0, (1.0 - 0.07**2) ** 0.5), (-1.0, 0.0, 0.0)


def test_marks_of_a_drilled_ball_fade_where_they_turn_away() -> None:
    """Whole in front, gone behind; halfway where the cosine to the viewer is 0.07."""
    found = drilled_from(lying(SEEN, EDGE, HIDDEN), Camera(0.0, 0.0))
    assert [mark.fade for mark in found.marks] == [1.0, 0.5, 0.0]


def test_words_of_a_drilled_ball_fade_as_marks_do() -> None:
    found = drilled_from(lying(SEEN, EDGE, HIDDEN), Camera(0.0, 0.0))
    assert [label.fade for label in found.labels] == [1.0, 0.5, 0.0]


def test_a_half_turn_shows_what_was_hidden() -> None:
    found = drilled_from(lying(SEEN, HIDDEN), orbited(Camera(0.0, 0.0), 180.0))
    assert [mark.fade for mark in found.marks] == [0.0, 1.0]


def test_words_on_a_line_of_the_surface_fade_with_it() -> None:
    found = seen_from(lying(SEEN, HIDDEN), Camera(0.0, 0.0), brick(), weigh(brick()))
    fades = {label.lines[0]: label.fade for label in found.labels}
    assert (fades["0"], fades["1"]) == (1.0, 0.0)


def test_words_beside_bodies_that_bear_no_lines_stay() -> None:
    scene = replace(lying(SEEN, HIDDEN), threads=())
    found = seen_from(scene, Camera(0.0, 0.0), brick(), weigh(brick()))
    assert [label.fade for label in found.labels if label.lines[0] in "01"] == [1.0, 1.0]


def test_an_axis_keeps_the_end_that_stands_out() -> None:
    """From behind it still is the end that the first camera saw."""
    properties = weigh(brick())
    scene = VIEWS["axes"].draw(brick(), properties, AS_IT_SUITS)
    found = seen_from(scene, orbited(scene.camera, 180.0), brick(), properties)
    ends = [axis.path_mm[-1] for axis in found.axes]
    assert ends == [pytest.approx(axis.path_mm[-1], abs=1e-9) for axis in scene.axes]


def test_a_pin_that_turned_away_is_said_to_be_behind() -> None:
    properties = weigh(brick())
    scene = VIEWS["whole"].draw(brick(), properties, AS_IT_SUITS)
    over = rolled_over(scene.camera, 120.0)  # the pin, at the top, goes to the back
    found = seen_from(scene, over, brick(), properties)
    assert [mark.behind for mark in found.marks if mark.kind == "pin"] == [True]
