"""Meshes that are cut stay on their surfaces, closed, and on one side of the level."""

from __future__ import annotations

import numpy as np
import pytest

from shapes.moments import Array, Indices
from shapes.net import cut
from shapes.skin import skin_of
from shapes.solid import sphere

LEVEL_MM = 12.3


def height(_rows: Indices, points: Array, _normals: Array) -> Array:
    return np.asarray(points[:, 2] - LEVEL_MM)


def test_a_cut_runs_along_the_level_and_on_the_surface() -> None:
    net = skin_of(sphere(50.0)).net
    made, parents = cut(net, (net.corners_mm[:, 2] - LEVEL_MM)[net.triangles], height, 1e-7)
    new = made.corners_mm[len(net.corners_mm) :]
    assert len(new) > 50
    assert new[:, 2] == pytest.approx(LEVEL_MM, abs=1e-7)
    assert np.linalg.norm(new, axis=1) == pytest.approx(50.0, abs=1e-12)
    assert set(parents.tolist()) == set(range(len(net)))


def test_no_triangle_is_left_across_the_level() -> None:
    net = skin_of(sphere(50.0)).net
    made, _ = cut(net, (net.corners_mm[:, 2] - LEVEL_MM)[net.triangles], height, 1e-7)
    over = made.flat()[:, :, 2] - LEVEL_MM
    assert not ((over.min(axis=1) < -1e-5) & (over.max(axis=1) > 1e-5)).any()


def test_a_cut_mesh_still_closes() -> None:
    net = skin_of(sphere(50.0)).net
    made, _ = cut(net, (net.corners_mm[:, 2] - LEVEL_MM)[net.triangles], height, 1e-7)
    sides = np.concatenate([made.triangles[:, [k, (k + 1) % 3]] for k in range(3)])
    there = {(int(a), int(b)) for a, b in sides}
    assert len(there) == len(sides)
    assert all((b, a) in there for a, b in there)
