"""The best plane for bodies of which it is known."""

from __future__ import annotations

import cadquery as cq
import numpy as np
import pytest

from shapes.best_splits import best_splits, candidate_pulls
from shapes.registry import Twisted
from shapes.skin import skin_of
from shapes.solid import ellipsoid, rod, sphere
from tests.reference.cast_solids import frustum, spool, tilted, tilted_way, turned

AXES = [(0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)]


@pytest.mark.parametrize(
    ("solid", "normal", "height"),
    [
        (frustum(30.0, 20.0, 50.0), (0.0, 0.0, 1.0), 0.0),
        (turned((0, 0), (10, 0), (30, 20), (10, 50), (0, 50)), (0.0, 0.0, 1.0), 20.0),
        (cq.Solid.makeTorus(40.0, 10.0), (0.0, 0.0, 1.0), 0.0),
        (spool(), (0.0, 1.0, 0.0), 0.0),
        (sphere(50.0), (0.0, 1.0, 0.0), 0.0),
        (cq.Solid.makeBox(20.0, 30.0, 50.0), (1.0, 0.0, 0.0), 10.0),
    ],
    ids=["at the wide end", "at a sharp rim", "at a round rim", "across", "any way", "flat"],
)
def test_the_best_plane(solid: cq.Solid, normal: tuple[float, ...], height: float) -> None:
    skin = skin_of(solid)
    best = best_splits(skin, candidate_pulls(skin, AXES), 2.0)[0]
    assert best.split.normal == normal
    assert best.split.height_mm == pytest.approx(height, abs=1e-6)
    assert best.trapped_mm2 == 0.0


def test_an_ellipsoid_parts_across_its_shortest_axis() -> None:
    """There the band of little draft is the narrowest."""
    skin = skin_of(ellipsoid(60.0, 40.0, 30.0))
    found = best_splits(skin, AXES, 2.0)
    assert found[0].split.normal == (0.0, 0.0, 1.0)
    assert found[0].low_mm2 < found[1].low_mm2 < found[2].low_mm2


def test_a_tilted_body_is_parted_along_its_own_flat_face() -> None:
    skin = skin_of(tilted(frustum(30.0, 20.0, 50.0)))
    best = best_splits(skin, candidate_pulls(skin, []), 2.0)[0]
    assert abs(np.dot(best.split.normal, tilted_way(0.0, 0.0, 1.0))) == pytest.approx(1.0)
    assert best.trapped_mm2 == 0.0


def test_facets_at_one_height_are_not_parted() -> None:
    """A twisted body's ends are flat, and its facets lie in rings."""
    skin = skin_of(Twisted.typical().solid())
    best = best_splits(skin, AXES, 1.0, few=1)[0]
    along = skin.corners_mm @ np.array(best.split.normal)
    assert along.min() <= best.split.height_mm <= along.max()


def test_no_direction_is_tried_twice_and_the_given_come_first() -> None:
    found = candidate_pulls(skin_of(rod(20.0, 80.0)), AXES)
    assert list(found[:3]) == AXES
    ways = np.array(found)
    apart = np.linalg.norm(np.cross(ways[:, None], ways[None]), axis=2)
    assert (apart + np.eye(len(ways))).min() > 1e-6
