"""The hull of every family holds its body: no reach is farther than the hull says."""

from __future__ import annotations

import numpy as np
import pytest

from shapes.arc import Arc
from shapes.hull import farthest_mm, hull_of
from shapes.registry import FAMILIES
from tests.reference.drawn_bodies import DRAWN, drawn_shape

POINTS = [np.zeros(3), np.array([0.0, 0.0, 11.0]), np.array([9.0, -7.0, -20.0])]
WITHOUT = {"step", "mesh", "join", "cut", "mirror", "repeat"}


@pytest.mark.parametrize("word", [w for w in DRAWN if w not in WITHOUT])
@pytest.mark.parametrize("seed", range(6))
def test_no_point_is_farther_than_the_hull_says(word: str, seed: int) -> None:
    body = drawn_shape(word, np.random.default_rng([17, seed, *word.encode()]))
    hull = body.hull()
    for point in POINTS:
        most = farthest_mm(hull, np.hypot(point[0], point[1]), point[2])
        reach = body.reach_mm(point)
        assert reach <= most * (1.0 + 1e-12)


@pytest.mark.parametrize(
    ("word", "share"),
    [("sphere", 1.036), ("barrel", 1.01), ("flared", 1.01), ("ellipsoid", 1.036), ("slab", 1.01)],
)
def test_it_is_close_enough_to_be_of_use(word: str, share: float) -> None:
    body = FAMILIES[word].typical()
    assert farthest_mm(body.hull(), 0.0, 0.0) <= share * body.reach_mm(np.zeros(3))


def test_the_tangents_of_half_a_circle_reach_as_far_as_their_corners() -> None:
    """A dodecagon round a circle has its corners at 1 / cos 15 degrees (any text on geometry)."""
    hull = hull_of([Arc((0.0, 0.0), (10.0, 10.0), -np.pi / 2.0, np.pi)])
    assert farthest_mm(hull, 0.0, 0.0) == pytest.approx(10.0 / np.cos(np.pi / 12.0))
