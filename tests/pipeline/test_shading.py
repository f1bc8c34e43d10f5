"""Normals of meshes: closed forms on balls, boxes and cylinders."""

from __future__ import annotations

import cadquery as cq
import numpy as np
import pytest

from pipeline.shading import shaded
from shapes.facets import ANGLE_RAD, Facets, facets_of
from shapes.sphere import Sphere


def test_a_ball_is_smooth_everywhere() -> None:
    mesh = facets_of(Sphere(20.0).solid())
    at, normals, _ = shaded(mesh)
    assert len(at) == len(mesh.corners_mm)
    out = mesh.corners_mm[at] / 10.0
    assert np.einsum("ij,ij->i", normals, out).min() > np.cos(ANGLE_RAD)


def test_every_corner_of_a_box_has_three_normals() -> None:
    at, normals, index = shaded(facets_of(cq.Solid.makeBox(1, 2, 3)))
    assert (len(at), len(index)) == (24, 12)
    assert set(map(tuple, np.round(np.abs(normals), 12))) == {(1, 0, 0), (0, 1, 0), (0, 0, 1)}


def test_a_cylinder_is_smooth_round_and_sharp_at_its_rims() -> None:
    mesh = facets_of(cq.Solid.makeCylinder(10, 20))
    _, normals, _ = shaded(mesh)
    assert set(np.round(np.abs(normals[:, 2]), 6)) == {0.0, 1.0}


def test_triangles_keep_their_corners_and_their_sense() -> None:
    mesh = facets_of(cq.Solid.makeCylinder(10, 20))
    at, _, index = shaded(mesh)
    np.testing.assert_array_equal(at[index], mesh.triangles)


@pytest.mark.parametrize(("bend_deg", "corners"), [(29.0, 4), (31.0, 6)])
def test_an_edge_is_sharp_from_thirty_degrees(bend_deg: float, corners: int) -> None:
    bend = np.radians(bend_deg)
    points = np.array([[0, 0, 0], [0, 1, 0], [-1, 0, 0], [np.cos(bend), 0.5, -np.sin(bend)]])
    mesh = Facets(points, np.array([[0, 1, 2], [1, 0, 3]]), np.zeros(2))
    assert len(shaded(mesh)[0]) == corners


def test_a_sliver_takes_the_normal_of_its_neighbours() -> None:
    points = np.array([[0, 0, 0], [2, 0, 0], [1, 0, 0], [1, 1, 0]], dtype=float)
    mesh = Facets(points, np.array([[0, 2, 1], [0, 2, 3], [2, 1, 3]]), np.zeros(3))
    _, normals, _ = shaded(mesh)
    np.testing.assert_allclose(normals, [[0, 0, 1]] * 4, atol=1e-12)
