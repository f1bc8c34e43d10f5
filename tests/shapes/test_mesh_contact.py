"""Meshes that touch or cross themselves are refused where they do; near misses are not."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from shapes.errors import ShapeError
from shapes.mesh_checks import checked

TETRAHEDRON = np.array([[0, 0, 0], [10, 0, 0], [0, 10, 0], [0, 0, 10]], dtype=float)[
    [[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]]
]


def spiked(tip_z: float) -> np.ndarray:
    """A sphere of radius 30 whose top is pushed down to a height."""
    mesh = trimesh.creation.icosphere(3, 30.0)
    corners = mesh.vertices.copy()
    corners[corners[:, 2].argmax()] = [0.0, 0.0, tip_z]
    return np.asarray(corners[mesh.faces], dtype=float)


@pytest.mark.parametrize("turn", [0.0, 0.3, 1.1])
def test_a_spike_through_the_far_side_is_refused(turn: float) -> None:
    c, s = np.cos(turn), np.sin(turn)
    way = np.array([[c, 0.0, s], [0.0, 1.0, 0.0], [-s, 0.0, c]])
    with pytest.raises(ShapeError, match="crosses itself"):
        checked(spiked(-60.0) @ way, "core.stl")


def test_a_spike_that_ends_inside_is_a_body() -> None:
    found = checked(spiked(-25.0), "core.stl").moments()
    assert 0.0 < found.volume_mm3 < 4.0 / 3.0 * np.pi * 30.0**3


def test_two_bodies_that_share_a_corner_are_refused() -> None:
    mirrored = -TETRAHEDRON[:, ::-1]
    with pytest.raises(ShapeError, match=r"touches itself at a corner.*\(0.000, 0.000, 0.000\)"):
        checked(np.concatenate([TETRAHEDRON, mirrored]), "core.stl")


def test_a_ring_is_a_body() -> None:
    mesh = trimesh.creation.torus(30.0, 9.0)
    assert checked(np.asarray(mesh.triangles), "core.stl").moments().volume_mm3 > 0.0
