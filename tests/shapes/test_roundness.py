"""Tightest radii and sharp edges of bodies of which they are known."""

from __future__ import annotations

from math import atan2, degrees, inf, pi

import cadquery as cq
import pytest

from shapes.roundness import sharp_edges, smallest_concave, smallest_convex
from shapes.skin import skin_of
from shapes.solid import box, ellipsoid, flipped, rod
from tests.reference.cast_solids import corner, frustum, spool


def test_the_rounding_of_a_box() -> None:
    skin = skin_of(box((20.0, 30.0, 50.0), 3.0))
    assert smallest_convex(skin).radius_mm == pytest.approx(3.0, rel=1e-6)
    assert smallest_concave(skin).radius_mm == inf
    assert sharp_edges(box((20.0, 30.0, 50.0), 3.0)) == ()


def test_a_ring_is_hollow_round_its_bore() -> None:
    """R - r, met to a facet's turn: 0.15 rad."""
    found = smallest_concave(skin_of(cq.Solid.makeTorus(40.0, 10.0)))
    assert found.radius_mm == pytest.approx(30.0, rel=2e-3)
    assert found.place_mm is not None
    assert (found.place_mm[0] ** 2 + found.place_mm[1] ** 2) ** 0.5 < 30.1


def test_an_ellipsoid_is_tightest_at_the_end_of_its_long_axis() -> None:
    """c2 / a there."""
    found = smallest_convex(skin_of(ellipsoid(60.0, 40.0, 30.0)))
    assert found.radius_mm == pytest.approx(30.0**2 / 60.0, rel=2e-3)


def test_flat_faces_bend_no_way() -> None:
    skin = skin_of(cq.Solid.makeBox(20.0, 30.0, 50.0))
    assert smallest_convex(skin).radius_mm == inf
    assert smallest_convex(skin).face is None


@pytest.mark.parametrize("solid", [corner(), flipped(corner())], ids=["as drawn", "mirrored"])
def test_one_edge_of_a_corner_is_reentrant(solid: cq.Solid) -> None:
    edges = sharp_edges(solid)
    (inner,) = [edge for edge in edges if not edge.convex]
    assert len(edges) == 18
    assert (inner.place_mm[0], inner.place_mm[2]) == pytest.approx((15.0, 15.0))
    assert inner.length_mm == pytest.approx(30.0)
    assert inner.turn_deg == pytest.approx(90.0)


def test_the_rims_of_a_cylinder() -> None:
    edges = sharp_edges(rod(20.0, 80.0))
    assert [e.length_mm for e in edges] == pytest.approx([2.0 * pi * 20.0] * 2)
    assert [(e.turn_deg, e.convex) for e in edges] == [(pytest.approx(90.0), True)] * 2


def test_the_rims_of_a_cone() -> None:
    """Normals of its foot and side differ by 180 degrees less the angle between the faces."""
    (edge,) = sharp_edges(frustum(30.0, 0.0, 50.0))
    assert edge.turn_deg == pytest.approx(180.0 - degrees(atan2(50.0, 30.0)))


def test_a_spool_has_two_reentrant_rims_at_its_stem() -> None:
    inner = [edge for edge in sharp_edges(spool()) if not edge.convex]
    assert [edge.length_mm for edge in inner] == pytest.approx([2.0 * pi * 12.0] * 2)
