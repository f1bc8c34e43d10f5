"""Rays through a closed mesh, against lines that another module counts crossings along."""

from __future__ import annotations

import numpy as np
import pytest

from shapes.chords import Lines
from shapes.closed_mesh import ClosedMesh
from shapes.errors import SolidError
from shapes.rays import exits
from shapes.skin import skin_of
from tests.reference.cast_solids import open_ring, tilted


def test_rays_leave_where_the_chords_of_the_mesh_end() -> None:
    skin = skin_of(tilted(open_ring()))
    starts, flat = skin.flat_middles_mm, skin.net.flat()
    found, _ = exits(starts, -skin.normals, np.arange(len(skin)), flat)
    rows = np.arange(0, len(skin), 97)
    mesh = ClosedMesh(skin.corners_mm, skin.triangles)
    ends = mesh.chords(Lines(starts[rows], -skin.normals[rows]))
    first = np.where(ends > 1e-6, ends, np.inf).min(axis=1)
    assert found[rows] == pytest.approx(first, abs=1e-9)


def test_a_ray_through_a_hole_in_the_mesh_is_told() -> None:
    skin = skin_of(open_ring())
    top = np.flatnonzero(skin.normals[:, 2] < 0.9)
    with pytest.raises(SolidError, match="never leaves it: the mesh does not close"):
        exits(
            skin.flat_middles_mm[top], -skin.normals[top], np.arange(len(top)),
            skin.net.flat()[top],
        )  # fmt: skip
