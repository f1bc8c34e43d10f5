"""Axes in pictures: as they lie on the screen, against eigenvectors of the tensor and its plane.

The tensor's eigenvectors are numpy's, worked out here and thrown on the screen by a camera worked
out here, too.  What is seen is the main direction of the pixels of an arrow's colour (principal
component analysis).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import pytest
from numpy.typing import NDArray

from pipeline.ball import build_ball
from pipeline.load import load
from pipeline.palette import rgb
from pipeline.scene import Axis, Scene
from pipeline.shipped import shipped
from pipeline.view_list import VIEWS
from pipeline.weigh import MassProperties, weigh
from pipeline.wish import Wish
from tests.pipeline.shots import Album, Taken, album

NAMES = ("low", "intermediate", "high")
CAMERAS = [(-45.0, 21.0), (110.0, -33.0), (35.0, 0.0)]
# An arrow of 60 px or more is 3 px thick and its head 10 px; half a pixel at one end of it turns
# its main direction by half a degree, and hidden halves of a bar by as much again.
SCREEN_DEG = 1.0
EXACT_DEG = 1e-4  # the azimuth of the camera is rounded to a thousandth of a degree, not its use


@dataclass(frozen=True, eq=False)
class Drawn:
    properties: MassProperties
    taken: Taken

    def axis(self, name: str) -> Axis:
        return next(axis for axis in self.taken.scene.axes if axis.name == name)


@pytest.fixture(scope="module")
def pictures() -> Iterator[Album]:
    with album() as opened:
        yield opened


@pytest.fixture(scope="module", params=CAMERAS, ids=str)
def turnstone(request: pytest.FixtureRequest, pictures: Album) -> Drawn:
    ball = build_ball(load(shipped("turnstone")))
    properties = weigh(ball)
    wish = Wish(from_deg=request.param[0], above_deg=request.param[1])
    return Drawn(properties, pictures.take(VIEWS["axes"].draw(ball, properties, wish)))


@pytest.fixture(scope="module")
def dunlin() -> tuple[MassProperties, Scene]:
    ball = build_ball(load(shipped("dunlin")))
    properties = weigh(ball)
    return properties, VIEWS["axes"].draw(ball, properties, Wish())


def on_screen(
    way: NDArray[np.float64], azimuth_deg: float, elevation_deg: float
) -> NDArray[np.float64]:
    """To the right and up: by turning the viewer to +X, then down to the horizon (worked out)."""
    a, e = np.radians([azimuth_deg, elevation_deg])
    x, y = np.cos(a) * way[0] + np.sin(a) * way[1], np.cos(a) * way[1] - np.sin(a) * way[0]
    return np.array([y, np.cos(e) * way[2] - np.sin(e) * x])


def eigenvector(properties: MassProperties, name: str) -> NDArray[np.float64]:
    """The least moment is about the low-RG axis: RG2 = I / m."""
    _, vectors = np.linalg.eigh(properties.inertia_g_mm2)
    return np.asarray(vectors[:, NAMES.index(name)])


def apart_deg(a: NDArray[np.float64], b: NDArray[np.float64]) -> float:
    """Between two lines, whichever way they run."""
    sine = (a[0] * b[1] - a[1] * b[0]) / np.linalg.norm(a) / np.linalg.norm(b)
    return float(np.degrees(np.arcsin(np.clip(abs(sine), 0.0, 1.0))))


def main_direction(taken: Taken, colour: str) -> NDArray[np.float64]:
    """Of the pixels that are wholly of a colour, to the right and up."""
    due = np.rint(np.array(rgb(colour)) * 255.0)
    over = taken.shot.over.astype(int)
    mine = (np.abs(over[..., :3] - due).max(axis=-1) <= 2) & (over[..., 3] == 255)
    rows, columns = np.nonzero(mine)
    assert len(rows) > 60, "hardly any of it is seen"
    places = np.column_stack([columns, -rows]).astype(float)
    _, vectors = np.linalg.eigh(np.cov(places.T))
    return np.asarray(vectors[:, 1])


@pytest.mark.parametrize("name", NAMES)
def test_an_arrow_on_the_screen_runs_as_its_eigenvector(turnstone: Drawn, name: str) -> None:
    camera = turnstone.taken.scene.camera
    due = on_screen(
        eigenvector(turnstone.properties, name), camera.azimuth_deg, camera.elevation_deg
    )
    found = main_direction(turnstone.taken, turnstone.axis(name).colour)
    assert apart_deg(found, due) < SCREEN_DEG


@pytest.mark.parametrize("name", NAMES)
def test_an_arrow_of_the_scene_runs_as_its_eigenvector(turnstone: Drawn, name: str) -> None:
    camera, path = turnstone.taken.scene.camera, turnstone.axis(name).path_mm
    due = on_screen(
        eigenvector(turnstone.properties, name), camera.azimuth_deg, camera.elevation_deg
    )
    found = camera.project(path[-1] - path[0])
    assert apart_deg(found, due) < EXACT_DEG


@pytest.mark.parametrize("name", NAMES)
def test_an_arrow_starts_on_the_line_of_sight_to_the_centre_of_gravity(
    turnstone: Drawn, name: str
) -> None:
    """To a thousandth of a millimetre; in a level view it is drawn in front of it."""
    camera = turnstone.taken.scene.camera
    start = on_screen(turnstone.axis(name).path_mm[0], camera.azimuth_deg, camera.elevation_deg)
    due = on_screen(
        turnstone.properties.centre_of_gravity_mm, camera.azimuth_deg, camera.elevation_deg
    )
    assert start == pytest.approx(due, abs=1e-3)


def test_a_ring_of_equal_axes_lies_square_to_the_one_that_is_defined(
    dunlin: tuple[MassProperties, Scene],
) -> None:
    """The ring's plane by the least singular vector of its points; to a millionth."""
    properties, scene = dunlin
    ring = next(axis for axis in scene.axes if axis.heads == 0).path_mm
    _, _, vectors = np.linalg.svd(ring - ring.mean(axis=0))
    assert abs(vectors[2] @ eigenvector(properties, "low")) == pytest.approx(1.0, abs=1e-6)
