"""How large each CAD face of a body is, how wide, and how flat."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
from OCP.GCPnts import GCPnts_AbscissaPoint
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp
from OCP.TopoDS import TopoDS_Face
from OCP.TopTools import TopTools_IndexedMapOfShape

from shapes.boundary import area_of_face, edges_of, faces_of
from shapes.moments import Array
from shapes.skin import Skin

if TYPE_CHECKING:
    import cadquery as cq

NEARLY_PLANE_MM = 0.5
LARGE_MM2 = 100.0

_KINDS = {
    GeomAbs_SurfaceType.GeomAbs_Plane: "plane",
    GeomAbs_SurfaceType.GeomAbs_Cylinder: "cylinder",
    GeomAbs_SurfaceType.GeomAbs_Cone: "cone",
    GeomAbs_SurfaceType.GeomAbs_Sphere: "ball",
    GeomAbs_SurfaceType.GeomAbs_Torus: "ring",
    GeomAbs_SurfaceType.GeomAbs_BSplineSurface: "spline",
    GeomAbs_SurfaceType.GeomAbs_BezierSurface: "spline",
    GeomAbs_SurfaceType.GeomAbs_SurfaceOfRevolution: "turned",
    GeomAbs_SurfaceType.GeomAbs_SurfaceOfExtrusion: "drawn out",
}


@dataclass(frozen=True)
class Flatness:
    """How far a nearly plane face strays from its best plane.

    Attributes:
        spread_mm: of the skin's corners on it, across their least-squares plane.
        normal: of that plane, outward, a unit vector.
    """

    spread_mm: float
    normal: tuple[float, float, float]


@dataclass(frozen=True)
class FaceSize:
    """A CAD face.

    Attributes:
        kind: what its surface is: plane, cylinder, cone, ball, ring, spline, turned (a curve about
            an axis), drawn out (a curve along a line) or other.
        area_mm2: exact, from the boundary, as `shapes.boundary` integrates.
        perimeter_mm: length of all its edges; a seam is none.
        width_mm: twice the area over the perimeter, which is the width of a long strip; infinite
            where a face has no edge.
        centre_mm: of its area.
        flatness: None for a face that is not nearly plane, or small.
    """

    kind: str
    area_mm2: float
    perimeter_mm: float
    width_mm: float
    centre_mm: tuple[float, float, float]
    flatness: Flatness | None


def face_sizes(solid: cq.Solid, skin: Skin) -> tuple[FaceSize, ...]:
    """The faces of a solid, as `shapes.boundary.faces_of` counts them.

    Args:
        solid: the body.
        skin: of it.
    """
    return tuple(_sized(face, skin, row) for row, face in enumerate(faces_of(solid.wrapped)))


def _sized(face: TopoDS_Face, skin: Skin, row: int) -> FaceSize:
    area, centre = area_of_face(face)
    length = _perimeter(face)
    x, y, z = (float(v) for v in centre)
    kind = _KINDS.get(BRepAdaptor_Surface(face, False).GetType(), "other")
    width = 2.0 * area / length if length > 0.0 else float("inf")
    flat = _flatness(skin, row) if area > LARGE_MM2 else None
    return FaceSize(kind, area, length, width, (x, y, z), flat)


def _perimeter(face: TopoDS_Face) -> float:
    """Length of the edges; one that bounds the face from both sides is a seam."""
    numbers, lengths = TopTools_IndexedMapOfShape(), {}
    TopExp.MapShapes_s(face, TopAbs_ShapeEnum.TopAbs_EDGE, numbers)
    seen = [(numbers.FindIndex(e), e) for e in edges_of(face) if not BRep_Tool.Degenerated_s(e)]
    for number, edge in seen:
        if [n for n, _ in seen].count(number) == 1:
            lengths[number] = float(GCPnts_AbscissaPoint.Length_s(BRepAdaptor_Curve(edge)))
    return sum(lengths.values())


def _flatness(skin: Skin, row: int) -> Flatness | None:
    own = skin.faces == row
    corners = skin.corners_mm[np.unique(skin.triangles[own])]
    middle = corners.mean(axis=0)
    normal: Array = np.linalg.svd(corners - middle, full_matrices=False)[2][2]
    if (skin.normals[own] * skin.areas_mm2[own, None]).sum(axis=0) @ normal < 0.0:
        normal = -normal
    away = (corners - middle) @ normal
    if np.abs(away).max() > NEARLY_PLANE_MM:
        return None
    x, y, z = (float(v) for v in normal)
    return Flatness(float(np.ptp(away)), (x, y, z))
