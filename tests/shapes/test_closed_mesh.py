"""A closed mesh against trimesh's and MuJoCo's integrals, and its inside against closed forms."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from shapes.box import Box
from shapes.chords import Lines, within
from shapes.closed_mesh import ClosedMesh
from shapes.facets import Facets
from tests.reference.gaps import gaps
from tests.reference.mesh_inertia import mesh_moments


def closed(mesh: trimesh.Trimesh) -> ClosedMesh:
    return ClosedMesh(np.array(mesh.vertices), np.array(mesh.faces, dtype=np.int64))


MESHES = {
    "ball": trimesh.creation.icosphere(3, 40.0),
    "ring": trimesh.creation.annulus(20.0, 45.0, 30.0),
    "far off": trimesh.creation.box((10.0, 20.0, 30.0)).apply_translation((500.0, -300.0, 90.0)),
    "capsule": trimesh.creation.capsule(60.0, 20.0),
}


@pytest.mark.parametrize("name", MESHES)
def test_moments_are_those_of_other_libraries(name: str) -> None:
    mesh = MESHES[name]
    own = closed(mesh).moments()
    assert own.volume_mm3 == pytest.approx(mesh.volume, rel=1e-12)
    assert own.centroid_mm() == pytest.approx(mesh.center_mass, abs=1e-9)
    size = float(np.abs(mesh.moment_inertia).max())
    assert own.inertia_mm5() == pytest.approx(mesh.moment_inertia, abs=1e-10 * size)
    corners, triangles = np.array(mesh.vertices), np.array(mesh.faces, dtype=np.int64)
    facets = Facets(corners, triangles, np.zeros(len(triangles)))
    assert gaps(mesh_moments(facets), own).rg_in < 1e-7  # MuJoCo keeps corners in 4 bytes


def test_moments_of_a_box_are_those_of_the_handbook() -> None:
    mesh = closed(trimesh.creation.box((30.0, 40.0, 50.0)))
    gap = gaps(mesh.moments(), Box((30.0, 40.0, 50.0)).moments())
    assert gap.rg_in < 1e-14
    assert gap.volume < 1e-14


@pytest.mark.parametrize("name", MESHES)
def test_points_inside_are_those_that_trimesh_winds_round(name: str) -> None:
    """The generalised winding number (Jacobson 2013) is 1 inside and 0 outside."""
    mesh = MESHES[name]
    g = np.random.default_rng(3)
    low, high = mesh.bounds
    points = g.uniform(low - 1.0, high + 1.0, (400, 3))
    a, b, c = (mesh.triangles[None, :, k] - points[:, None] for k in range(3))
    la, lb, lc = (np.linalg.norm(v, axis=2) for v in (a, b, c))
    top = np.einsum("ijk,ijk->ij", a, np.cross(b, c))
    dots = [np.einsum("ijk,ijk->ij", u, v) for u, v in ((a, b), (b, c), (c, a))]
    under = la * lb * lc + dots[0] * lc + dots[1] * la + dots[2] * lb
    winding = np.arctan2(top, under).sum(axis=1) / (2 * np.pi)
    assert (closed(mesh).contains(points) == (winding > 0.5)).all()


def test_points_over_edges_and_corners_are_counted_once() -> None:
    """Straight below a corner, an edge or an upright face of a box of 20 about the origin."""
    mesh = closed(trimesh.creation.box((20.0, 20.0, 20.0)))
    along = np.linspace(-9.5, 9.5, 39)
    inside = np.array([[x, y, 0.0] for x in along for y in along])  # over the diagonals too
    assert mesh.contains(inside).all()
    assert not mesh.contains(inside + np.array([0.0, 0.0, 30.0])).any()
    assert not mesh.contains(inside - np.array([0.0, 0.0, 30.0])).any()


def test_reach_and_support_are_at_corners() -> None:
    mesh = closed(trimesh.creation.box((20.0, 20.0, 20.0)))
    assert mesh.reach_mm(np.array([10.0, 10.0, 10.0])) == pytest.approx(20.0 * np.sqrt(3.0))
    assert mesh.support_mm(np.array([0.6, 0.8, 0.0])) == pytest.approx(14.0)


def test_far_off_nothing_is_inside() -> None:
    mesh = closed(trimesh.creation.box((20.0, 20.0, 20.0)))
    assert not mesh.contains(np.full((5, 3), 99.0)).any()
    assert mesh.contains(np.empty((0, 3))).shape == (0,)


@pytest.mark.parametrize("name", ["ball", "ring", "capsule"])
def test_lines_run_inside_a_mesh_where_it_contains_their_points(name: str) -> None:
    mesh = closed(MESHES[name])
    rng = np.random.default_rng(5)
    way = rng.normal(size=(4, 3)).repeat(60, axis=0)
    way[:60] = (0.0, 0.0, 1.0)
    way /= np.linalg.norm(way, axis=1)[:, None]
    lines = Lines(rng.uniform(-40.0, 40.0, size=(240, 3)), way)
    t = rng.uniform(-120.0, 120.0, size=(240, 80))
    there = mesh.contains(lines.at(t).reshape(-1, 3)).reshape(t.shape)
    assert (within(mesh.chords(lines), t) == there).all()
    assert there.any()


def test_a_line_through_a_ring_enters_it_twice() -> None:
    mesh = closed(MESHES["ring"])
    ends = mesh.chords(Lines(np.array([[-100.0, 1.0, 2.0]]), np.array([[1.0, 0.0, 0.0]])))[0]
    assert ends == pytest.approx([55.0, 80.0, 120.0, 145.0], abs=0.3)  # a ring of many flat sides
