"""Meshes to draw: normals of the exact surface, triangles that turn the way those point."""

from __future__ import annotations

import numpy as np

from pipeline.cutaway import Wedge
from tests.pipeline.cut_balls import POKES, ball, cut_all


def test_normals_are_those_of_the_exact_surface() -> None:
    """A sphere's normal is its radius, at poles and seams too."""
    (shell,) = cut_all(ball(), None)
    out = shell.points_mm / np.linalg.norm(shell.points_mm, axis=1, keepdims=True)
    assert np.abs(shell.normals - out).max() < 1e-4  # beside the poles it is a little aside


def test_triangles_turn_the_way_their_normals_point() -> None:
    for shell in cut_all(ball(*POKES), Wedge(0.0, 120.0), 0):
        a, b, c = (shell.points_mm[shell.triangles[:, k]] for k in range(3))
        flat = np.cross(b - a, c - a)
        along = np.einsum("ij,ij->i", flat, shell.normals[shell.triangles].mean(axis=1))
        assert (along > -1e-9).all()
