"""Skins: areas, normals and curvatures against the closed forms of balls, rings and cylinders."""

from __future__ import annotations

from math import pi

import cadquery as cq
import numpy as np
import pytest

from shapes.facets import facets_of
from shapes.skin import skin_of
from shapes.solid import ellipsoid, flipped, rod, sphere
from tests.reference.cast_solids import frustum, spool


def test_the_middles_of_a_ball_s_skin_and_their_normals_are_exact() -> None:
    skin = skin_of(sphere(50.0))
    assert skin.middles_mm == pytest.approx(50.0 * skin.normals, abs=1e-12)


def test_the_facets_of_a_ball_sum_to_its_area() -> None:
    """4 pi R2, with flat facets at the poles."""
    assert skin_of(sphere(50.0)).area_mm2 == pytest.approx(4.0 * pi * 50.0**2, rel=2e-5)


def test_a_ring_s_area_needs_no_flat_facet() -> None:
    """Pappus: 4 pi2 R r."""
    assert skin_of(cq.Solid.makeTorus(40.0, 10.0)).area_mm2 == pytest.approx(
        4.0 * pi**2 * 400.0, rel=1e-12
    )


def test_curvatures_of_a_ring() -> None:
    """1 / r round the tube, cos(v) / (R + r cos(v)) along it (do Carmo, 3-3; from memory)."""
    skin = skin_of(cq.Solid.makeTorus(40.0, 10.0))
    out = np.hypot(*skin.middles_mm[:, :2].T)
    assert skin.most_curved_per_mm == pytest.approx(0.1, rel=1e-7)
    assert skin.least_curved_per_mm == pytest.approx((out - 40.0) / 10.0 / out, abs=1e-8)


def test_curvature_of_a_spline_surface() -> None:
    """The Gaussian curvature of an ellipsoid (its support function to the fourth; from memory)."""
    a, b, c = 60.0, 40.0, 30.0
    skin = skin_of(ellipsoid(a, b, c))
    x, y, z = skin.middles_mm.T
    square = x * x / a**4 + y * y / b**4 + z * z / c**4
    expected = 1.0 / (a * b * c * square) ** 2
    assert skin.most_curved_per_mm * skin.least_curved_per_mm == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize(
    "solid", [spool(), frustum(30.0, 0.0, 50.0), rod(20.0, 80.0), flipped(spool())],
    ids=["spool", "cone", "rod", "mirrored"],
)  # fmt: skip
def test_normals_point_out_of_the_body(solid: cq.Solid) -> None:
    """The closed mesh of another module says which way is out."""
    skin = skin_of(solid)
    a, b, c = np.moveaxis(skin.net.flat(), 1, 0)
    across = np.cross(b - a, c - a)
    lean = (across * skin.normals).sum(axis=1) / np.linalg.norm(across, axis=1)
    assert lean.min() > 0.9
    volume = (a * np.cross(b, c)).sum() / 6.0
    mesh = facets_of(solid)
    p, q, r = np.moveaxis(mesh.corners_mm[mesh.triangles], 1, 0)
    assert volume == pytest.approx((p * np.cross(q, r)).sum() / 6.0, rel=5e-3)


def test_no_facet_of_a_flat_face_is_long_but_slivers() -> None:
    skin = skin_of(cq.Solid.makeBox(20.0, 30.0, 50.0), side_mm=3.0)
    flat = skin.net.flat()
    longest = np.linalg.norm(np.roll(flat, -1, axis=1) - flat, axis=2).max(axis=1)
    assert longest[skin.areas_mm2 > 3.0**2 / 8.0].max() <= 3.0
    assert longest.max() < 5.0


def test_the_mesh_closes_after_its_sides_were_halved() -> None:
    triangles = skin_of(spool()).triangles
    sides = np.concatenate([triangles[:, [k, (k + 1) % 3]] for k in range(3)])
    there = {(int(a), int(b)) for a, b in sides}
    assert len(there) == len(sides)
    assert all((b, a) in there for a, b in there)
