"""A closed mesh as a solid of the CAD kernel: one flat face a triangle, edges shared."""

from __future__ import annotations

import cadquery as cq
from OCP.BRep import BRep_Builder
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakeVertex,
    BRepBuilderAPI_MakeWire,
)
from OCP.gp import gp_Pnt
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Shell, TopoDS_Solid

from shapes.closed_mesh import ClosedMesh
from shapes.errors import SolidError
from shapes.solid import gate


def flat_faced(mesh: ClosedMesh, most: int) -> cq.Solid:
    """The polyhedron as a solid.

    Raises:
        SolidError: it has more than `most` triangles, or makes no valid solid.
    """
    if len(mesh.triangles) > most:
        raise SolidError(
            f"a mesh of {len(mesh.triangles)} triangles is too fine to be made a solid of flat "
            f"faces, of which {most} are taken: export it coarser, or as STEP"
        )
    corners = [
        BRepBuilderAPI_MakeVertex(gp_Pnt(*(float(c) for c in p))).Vertex() for p in mesh.corners_mm
    ]
    edges: dict[tuple[int, int], TopoDS_Edge] = {}
    builder, shell, solid = BRep_Builder(), TopoDS_Shell(), TopoDS_Solid()
    builder.MakeShell(shell)
    for triangle in mesh.triangles.tolist():
        wire = BRepBuilderAPI_MakeWire()
        for a, b in zip(triangle, [*triangle[1:], triangle[0]], strict=True):
            key = (min(a, b), max(a, b))
            if key not in edges:
                edges[key] = BRepBuilderAPI_MakeEdge(corners[key[0]], corners[key[1]]).Edge()
            edge = edges[key]
            wire.Add(edge if a < b else TopoDS.Edge_s(edge.Reversed()))
        face = BRepBuilderAPI_MakeFace(wire.Wire(), True)
        if not face.IsDone():
            raise SolidError("the kernel could not make a flat face of a triangle of the mesh")
        builder.Add(shell, face.Face())
    shell.Closed(True)
    builder.MakeSolid(solid)
    builder.Add(solid, shell)
    return gate(solid, "a mesh")
