"""A left hand's ball is the mirror image of a right hand's."""

from __future__ import annotations

import numpy as np
import pytest

from pipeline.ball import build_ball
from pipeline.drilled import Drilled, drill
from pipeline.load import read_design
from tests.reference.laid_balls import (
    ASYMMETRICAL,
    LAID,
    MARK,
    SYMMETRICAL,
    THUMB,
    drilled,
)

MIRROR = np.array([1.0, -1.0, 1.0])
BALLS = {"asymmetrical": (ASYMMETRICAL, LAID + MARK), "symmetrical": (SYMMETRICAL, LAID)}
# a pitch to the right is one to the left in a mirror
OTHER_THUMB = THUMB.replace("left", "right")


@pytest.fixture(params=BALLS)
def pair(request: pytest.FixtureRequest) -> tuple[Drilled, Drilled]:
    """Drilled for a right hand, and for a left one that is its mirror image."""
    ball, layout = BALLS[request.param]
    right = drilled(ball, layout, "right")
    return right, mirrored_left(ball, layout)


def mirrored_left(ball: str, layout: str) -> Drilled:
    text = f"""{ball}
drilling:
  hand: left
  grip:
    middle: {{span: 4 3/8, diameter: 25/32, depth: 2.5, forward: 1/4, left: 1/16}}
    ring: {{span: 4 5/16, diameter: 3/4, depth: 2.4, reverse: 1/8}}
    bridge: 0.25
    thumb: {OTHER_THUMB}
  axis_point: {{over: 5, up: 1/2}}
  layout: {{{layout}}}
"""
    found = drill(build_ball(read_design(text)))
    assert found is not None
    return found


def test_holes_of_either_hand_are_mirror_images(pair: tuple[Drilled, Drilled]) -> None:
    for a, b in zip(*(one.holes for one in pair), strict=True):
        assert a.name == b.name
        assert a.entry_mm * MIRROR == pytest.approx(b.entry_mm, abs=1e-9)
        assert a.way * MIRROR == pytest.approx(b.way, abs=1e-11)


def test_balls_of_either_hand_weigh_the_same(pair: tuple[Drilled, Drilled]) -> None:
    """To twice the bound: their columns are not mirror images."""
    right, left = (one.properties for one in pair)
    assert right.mass_g == pytest.approx(left.mass_g, abs=2 * right.bound.mass_g)
    assert right.principal.rg_mm == pytest.approx(left.principal.rg_mm, abs=2 * right.bound.rg_mm)


def test_tensors_of_either_hand_are_mirror_images(pair: tuple[Drilled, Drilled]) -> None:
    right, left = (one.properties for one in pair)
    image = right.inertia_g_mm2 * np.outer(MIRROR, MIRROR)
    assert image == pytest.approx(left.inertia_g_mm2, abs=5e-7 * image.max())
    assert abs(image[0, 1]) > 1e-4 * image.max()  # there is something to mirror
