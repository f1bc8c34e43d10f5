"""Hatching: its share of the face, in front of it, within it."""

from __future__ import annotations

import numpy as np
import pytest

from pipeline.cutaway import Wedge
from pipeline.hatching import hatching
from pipeline.shells import Shell
from tests.pipeline.cut_balls import area, ball, cut_all

PITCH_MM, WIDTH_MM = 4.0, 0.3
NORMALS = {
    "upright": (1.0, 0.0, 0.0),
    "leaning": (0.6, 0.0, 0.8),
    "any": (0.36, -0.48, 0.8),
    "down": (0.48, 0.64, -0.6),
    "flat": (0.0, 0.0, 1.0),
    "nearly flat": (0.1, 0.0, np.sqrt(0.99)),
}


@pytest.fixture(scope="module")
def wall() -> Shell:
    (found,) = (s for s in cut_all(ball(), Wedge(0.0, 180.0)) if s.cut)
    return found


@pytest.fixture(scope="module")
def lines(wall: Shell) -> Shell:
    return hatching(wall, wall.normals[0], PITCH_MM, 45.0, WIDTH_MM)


def test_strokes_cover_their_share_of_the_face(wall: Shell, lines: Shell) -> None:
    """Strokes of width w a pitch p apart cover w / p of it."""
    assert area(lines) == pytest.approx(area(wall) * WIDTH_MM / PITCH_MM, rel=0.02)


def test_strokes_lie_a_hair_in_front_of_the_face(wall: Shell, lines: Shell) -> None:
    ahead = (lines.points_mm - wall.points_mm[0]) @ wall.normals[0]
    assert ahead.min() > 0.0
    assert ahead.max() < 0.1


def plate(normal: np.ndarray) -> Shell:
    """A triangle of 80 mm at 20 mm from the centre, square to a normal."""
    one = np.cross(normal, np.eye(3)[int(np.argmin(np.abs(normal)))])
    one /= np.linalg.norm(one)
    turns = np.radians([0.0, 120.0, 240.0])
    around = np.outer(np.cos(turns), one) + np.outer(np.sin(turns), np.cross(normal, one))
    points = 20.0 * normal + 80.0 * around
    return Shell(0, True, points, np.tile(normal, (3, 1)), np.array([[0, 1, 2]]))


@pytest.fixture(params=NORMALS)
def leaning(request: pytest.FixtureRequest) -> tuple[np.ndarray, Shell, Shell]:
    """A normal, its plate, and the strokes on it."""
    normal = np.array(NORMALS[request.param])
    face = plate(normal)
    return normal, face, hatching(face, normal, PITCH_MM, 30.0, WIDTH_MM)


def test_strokes_on_any_plane_lie_a_hair_in_front_of_it(
    leaning: tuple[np.ndarray, Shell, Shell],
) -> None:
    normal, _, found = leaning
    ahead = found.points_mm @ normal - 20.0
    assert 0.0 < ahead.min() <= ahead.max() < 0.1


def test_strokes_on_any_plane_lie_within_its_triangles(
    leaning: tuple[np.ndarray, Shell, Shell],
) -> None:
    """An even triangle's sides are half its circle's radius from its middle; strokes have width."""
    normal, face, found = leaning
    corners = face.points_mm - 20.0 * normal
    flat = found.points_mm - np.outer(found.points_mm @ normal, normal)
    assert (flat @ -corners.T / 80.0).max() < 40.0 + WIDTH_MM


def test_strokes_on_any_plane_cover_their_share_of_it(
    leaning: tuple[np.ndarray, Shell, Shell],
) -> None:
    """Some thirty strokes, of which one more or less crosses a corner."""
    _, face, found = leaning
    assert area(found) == pytest.approx(area(face) * WIDTH_MM / PITCH_MM, rel=0.05)


def test_strokes_on_any_plane_face_as_it_does(leaning: tuple[np.ndarray, Shell, Shell]) -> None:
    normal, _, found = leaning
    a, b, c = (found.points_mm[found.triangles[:, k]] for k in range(3))
    assert (np.cross(b - a, c - a) @ normal > 0.0).all()
