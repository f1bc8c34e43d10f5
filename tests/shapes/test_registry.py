"""Every registered shape, with random parameters and placements, told twice alike."""

from __future__ import annotations

import numpy as np
import pytest

from shapes.boundary import moments_of_solid
from shapes.moments import Moments
from shapes.solid import placed
from tests.reference.drawn_bodies import DRAWN, drawn_body

CASES = [(word, seed) for word in DRAWN for seed in range(200, 206)]


def rg_in(moments: Moments) -> np.ndarray:
    return np.sqrt(np.linalg.eigvalsh(moments.inertia_mm5()) / moments.volume_mm3) / 25.4


@pytest.mark.parametrize(("word", "seed"), CASES)
def test_own_moments_and_boundary_of_the_solid_agree(word: str, seed: int) -> None:
    body = drawn_body(word, seed)
    own, built = body.moments(), moments_of_solid(placed(body.shape.solid(), body.placement))
    assert built.volume_mm3 == pytest.approx(own.volume_mm3, rel=1e-8)
    assert built.centroid_mm() == pytest.approx(own.centroid_mm(), abs=1e-6)
    assert rg_in(built) == pytest.approx(rg_in(own), abs=1e-7)


@pytest.mark.parametrize("word", DRAWN)
def test_counted_points_agree_with_the_volume(word: str) -> None:
    body = drawn_body(word, 99)
    high = np.array([body.support_mm(n) for n in np.eye(3)])
    low = -np.array([body.support_mm(-n) for n in np.eye(3)])
    points = np.random.default_rng(5).uniform(low, high, (200_000, 3))
    share = body.contains(points).mean()
    due = body.moments().volume_mm3 / (high - low).prod()
    assert share == pytest.approx(due, abs=5 * np.sqrt(due * (1 - due) / 200_000))


@pytest.mark.parametrize("word", DRAWN)
def test_no_point_lies_farther_than_reach_and_support_say(word: str) -> None:
    from shapes.facets import facets_of

    body = drawn_body(word, 7)
    corners = facets_of(placed(body.shape.solid(), body.placement), 0.05, 0.1).corners_mm
    for point in (np.zeros(3), np.array([10.0, -20.0, 5.0])):
        seen = np.linalg.norm(corners - point, axis=1).max()
        assert seen - 1e-6 <= body.reach_mm(point) <= seen + 0.1
    for direction in (np.eye(3)[0], np.array([0.6, 0.0, -0.8])):
        seen = (corners @ direction).max()
        assert seen - 1e-6 <= body.support_mm(direction) <= seen + 0.1
