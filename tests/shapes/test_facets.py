"""Meshes keep to the distance that an STL file promises, where the kernel's mesher does not."""

from __future__ import annotations

import pytest

from pipeline.stl import CHORD_MM
from shapes.compose import Join
from shapes.facets import facets_of, moments_of_facets
from shapes.inserts import Ring
from shapes.moments import Moments
from shapes.shape import Shape


@pytest.mark.parametrize(
    "shape", [Ring(139.7, 124.46, 15.24), Join.typical()], ids=["ring", "join"]
)
def test_a_mesh_that_strays_too_far_is_made_finer(shape: Shape) -> None:
    """At the kernel's own word these two lie 0.0505 and 0.055 mm off the surface."""
    mesh = facets_of(shape.solid())
    assert mesh.sag_mm <= CHORD_MM
    own: Moments = shape.moments()
    assert moments_of_facets(mesh).volume_mm3 == pytest.approx(own.volume_mm3, rel=1e-3)
