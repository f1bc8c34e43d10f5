"""Hatching: its share of the face, in front of it, within it."""

from __future__ import annotations

import pytest

from pipeline.cutaway import Wedge
from pipeline.hatching import hatching
from pipeline.shells import Shell
from tests.pipeline.cut_balls import area, ball, cut_all

PITCH_MM, WIDTH_MM = 4.0, 0.3


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
