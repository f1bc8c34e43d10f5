"""Meshes read all at once are what the kernel says of them point by point."""

from __future__ import annotations

import cadquery as cq
import numpy as np
import pytest
from OCP.BRep import BRep_Tool
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.gp import gp_Pnt
from OCP.Poly import Poly_Triangulation
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS_Face

from shapes.boundary import faces_of
from shapes.errors import SolidError
from shapes.facets import mesh_of_face
from shapes.placement import Placement
from shapes.solid import fresh, placed
from shapes.triangulation import nodes_and_triangles
from tests.reference.cast_solids import spool

TURNED = Placement(33.0, 17.0, 71.0, (1.5, -2.25, 40.1))


def meshed(solid: cq.Solid) -> list[TopoDS_Face]:
    shape = fresh(solid)
    BRepMesh_IncrementalMesh(shape, 0.1, False, 0.15, False)
    return faces_of(shape)


def mesh_of(face: TopoDS_Face, place: TopLoc_Location) -> Poly_Triangulation:
    return BRep_Tool.Triangulation_s(face, place)


def test_points_are_those_that_the_kernel_tells_one_by_one() -> None:
    for face in meshed(spool()):
        mesh = mesh_of(face, TopLoc_Location())
        due = [mesh.Node(k).Coord() for k in range(1, mesh.NbNodes() + 1)]
        assert np.array_equal(nodes_and_triangles(mesh)[0], due)


def test_places_on_the_face_are_too() -> None:
    for face in meshed(spool()):
        mesh = mesh_of(face, TopLoc_Location())
        due = [mesh.UVNode(k).Coord() for k in range(1, mesh.NbNodes() + 1)]
        assert np.array_equal(nodes_and_triangles(mesh)[1], due)


def test_triangles_are_too_counted_from_nought() -> None:
    for face in meshed(spool()):
        mesh = mesh_of(face, TopLoc_Location())
        due = [mesh.Triangle(k).Get() for k in range(1, mesh.NbTriangles() + 1)]
        assert np.array_equal(nodes_and_triangles(mesh)[2] + 1, due)


def test_the_mesh_of_a_face_that_is_moved_is_moved_to_the_last_digit() -> None:
    for face in meshed(placed(spool(), TURNED)):
        place = TopLoc_Location()
        mesh, move = mesh_of(face, place), place.Transformation()
        due = [
            gp_Pnt(*mesh.Node(k).Coord()).Transformed(move).Coord()
            for k in range(1, mesh.NbNodes() + 1)
        ]
        assert not place.IsIdentity()
        assert np.array_equal(mesh_of_face(face).corners_mm, due)


def test_a_mesh_without_places_on_its_face_is_refused() -> None:
    with pytest.raises(SolidError, match="does not say where on its face it lies"):
        nodes_and_triangles(Poly_Triangulation(3, 1, False, False))
