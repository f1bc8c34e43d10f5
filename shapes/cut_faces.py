"""The cut faces of a solid, and what a plane leaves of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
from OCP.BRepPrimAPI import BRepPrimAPI_MakeHalfSpace
from OCP.BRepTools import BRepTools_WireExplorer
from OCP.gp import gp_Dir, gp_Pln, gp_Pnt
from OCP.TopAbs import TopAbs_FACE, TopAbs_Orientation, TopAbs_SOLID, TopAbs_WIRE
from OCP.TopoDS import TopoDS, TopoDS_Shape
from OCP.TopTools import TopTools_ListOfShape

from shapes.edge_lines import CHORD_MM, parts_of, polyline
from shapes.errors import SolidError
from shapes.moments import Array
from shapes.solid import fresh

if TYPE_CHECKING:
    import cadquery as cq

_LEVEL_MM = 1e-3
_FAR_MM = 1e4  # half the side of the face that stands for a plane
Direction = tuple[float, float, float]


@dataclass(frozen=True)
class Plane:
    """The plane n . x = height, seen from where its normal points.

    Attributes:
        normal: n, a unit vector.
        up: a direction in the plane, a unit vector, that points up where the plane is looked at.
        height_mm: the plane's distance from the origin along n.
    """

    normal: Direction
    up: Direction
    height_mm: float = 0.0


def sectioned(
    solids: Sequence[cq.Solid], plane: Plane, chord_mm: float = CHORD_MM
) -> tuple[Array, ...]:
    """The closed outlines of the cut face, shape (n, 2) each, the last point the first again.

    A point inside an odd number of them is inside the material.

    Raises:
        SolidError: the plane misses the solids, or the kernel could not cut them.
    """
    outlines = []
    right = np.cross(plane.up, plane.normal)
    for solid in solids:
        cut = _common(fresh(solid), _face(plane))
        for face in parts_of(cut, TopAbs_FACE):
            for wire in parts_of(face, TopAbs_WIRE):
                points = _closed(wire, face, chord_mm)
                outlines.append(np.stack([points @ right, points @ np.array(plane.up)], axis=-1))
    if not outlines:
        raise SolidError(f"the section at {plane.height_mm:g} mm: the plane misses the body")
    return tuple(outlines)


def behind(solids: Sequence[cq.Solid], plane: Plane) -> tuple[cq.Solid, ...]:
    """What of solids lies behind a plane, as one who looks at the section sees it.

    Raises:
        SolidError: nothing does, or the kernel could not cut them.
    """
    import cadquery as cq

    n, h = plane.normal, plane.height_mm
    back = gp_Pnt(*((h - 1.0) * c for c in n))
    half = BRepPrimAPI_MakeHalfSpace(TopoDS.Face_s(_face(plane)), back).Solid()
    found = tuple(
        cq.Solid(lump)
        for solid in solids
        for lump in parts_of(_common(fresh(solid), half), TopAbs_SOLID)
    )
    if not found:
        raise SolidError(f"the section at {plane.height_mm:g} mm: the plane misses the body")
    return found


def _face(plane: Plane) -> TopoDS_Shape:
    n, h = plane.normal, plane.height_mm
    flat = gp_Pln(gp_Pnt(*(h * c for c in n)), gp_Dir(*n))
    return BRepBuilderAPI_MakeFace(flat, -_FAR_MM, _FAR_MM, -_FAR_MM, _FAR_MM).Face()


def _common(shape: TopoDS_Shape, tool: TopoDS_Shape) -> TopoDS_Shape:
    job = BRepAlgoAPI_Common()
    shapes, tools = TopTools_ListOfShape(), TopTools_ListOfShape()
    shapes.Append(shape)
    tools.Append(tool)
    job.SetArguments(shapes)
    job.SetTools(tools)
    job.SetNonDestructive(True)
    job.Build()
    if not job.IsDone():
        raise SolidError("the kernel could not cut the body for its section")
    return job.Shape()


def lowest_flat(solids: Sequence[cq.Solid], reached_mm: Array) -> float | None:
    """The height of the lowest level plane face where nothing lies lower; None without one.

    Args:
        solids: the bodies.
        reached_mm: points all over their surface, shape (n, 3), their corners among them.
    """
    lowest = float(reached_mm[:, 2].min())
    flats = [
        face.Center().z
        for solid in solids
        for face in solid.Faces()
        if face.geomType() == "PLANE" and abs(face.normalAt().z) > 1.0 - 1e-9
    ]
    at = min(flats, default=None)
    return at if at is not None and at - lowest < _LEVEL_MM else None


def _closed(wire: TopoDS_Shape, face: TopoDS_Shape, chord_mm: float) -> Array:
    """A wire's points in order, shape (n, 3); the last is the first again."""
    explorer = BRepTools_WireExplorer(TopoDS.Wire_s(wire), TopoDS.Face_s(face))
    parts = []
    while explorer.More():
        edge = explorer.Current()
        line = polyline(edge, chord_mm)
        if edge.Orientation() == TopAbs_Orientation.TopAbs_REVERSED:
            line = line[::-1]
        parts.append(line[:-1])
        explorer.Next()
    points = np.concatenate(parts)
    return np.concatenate([points, points[:1]])
