"""What lies before points, against the crossings that another module counts along lines."""

from __future__ import annotations

import numpy as np

from shapes.chords import Lines
from shapes.closed_mesh import ClosedMesh
from shapes.shadow import shaded
from shapes.skin import skin_of
from tests.reference.cast_solids import open_ring, tilted


def test_points_outside_are_shaded_where_their_line_meets_the_mesh() -> None:
    skin = skin_of(tilted(open_ring()))
    mesh = ClosedMesh(skin.corners_mm, skin.triangles)
    points = np.random.default_rng(5).uniform(-60.0, 60.0, (400, 3))
    points = points[~mesh.contains(points)]
    way = np.array([0.36, 0.48, 0.8])
    ends = mesh.chords(Lines(points, np.tile(way, (len(points), 1))))
    expected = ((ends > 0.0) & np.isfinite(ends)).any(axis=1)
    found = shaded(points, (0.36, 0.48, 0.8), skin.net.flat())
    assert found.tolist() == expected.tolist()
    assert 20 < found.sum() < len(points) - 20


def test_a_line_through_the_side_between_two_triangles_does_not_slip_through() -> None:
    square = np.array([[0.0, 0.0, 5.0], [0.0, 4.0, 5.0], [4.0, 4.0, 5.0], [4.0, 0.0, 5.0]])
    corners = square[[[0, 1, 2], [0, 2, 3]]]
    points = np.array([[2.0, 2.0, 0.0], [1.0, 1.0, 0.0], [2.0, 2.0, 6.0], [5.0, 2.0, 0.0]])
    assert shaded(points, (0.0, 0.0, 1.0), corners).tolist() == [True, True, False, False]


def test_a_triangle_seen_along_itself_hides_nothing() -> None:
    upright = np.array([[[0.0, -1.0, 1.0], [0.0, 1.0, 1.0], [0.0, 0.0, 3.0]]])
    assert not shaded(np.zeros((1, 3)), (0.0, 0.0, 1.0), upright).any()
