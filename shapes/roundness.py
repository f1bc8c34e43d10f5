"""How round a body is: its tightest radii, and its sharp edges."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Curve2d
from OCP.GCPnts import GCPnts_AbscissaPoint
from OCP.TopAbs import TopAbs_Orientation, TopAbs_ShapeEnum
from OCP.TopExp import TopExp
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Face
from OCP.TopTools import TopTools_IndexedMapOfShape

from shapes.boundary import edges_of, faces_of, walk
from shapes.moments import Array
from shapes.skin import Skin
from shapes.surfaces import Surface, surface_of

if TYPE_CHECKING:
    import cadquery as cq

SHARP_DEG = 5.0
_FLAT_PER_MM = 1e-7  # a curvature that is none: ten kilometres
_ALONG = np.array([0.02, 0.25, 0.5, 0.75, 0.98])  # where an edge is looked at


@dataclass(frozen=True)
class Radius:
    """A radius and where it is.

    Attributes:
        radius_mm: infinite when no facet bends this way.
        place_mm: x, y, z; None then.
        face: the CAD face, as `shapes.boundary.faces_of` counts them; None then.
    """

    radius_mm: float
    place_mm: tuple[float, float, float] | None
    face: int | None


@dataclass(frozen=True)
class SharpEdge:
    """An edge at which two faces meet at an angle.

    Attributes:
        place_mm: its middle.
        length_mm: of the whole edge.
        turn_deg: the greatest angle between the faces' normals along it.
        convex: whether the body bulges there; a re-entrant edge does not.
        faces: the two CAD faces, as `shapes.boundary.faces_of` counts them.
    """

    place_mm: tuple[float, float, float]
    length_mm: float
    turn_deg: float
    convex: bool
    faces: tuple[int, int]


def smallest_convex(skin: Skin) -> Radius:
    """The tightest outward rounding, at the facets' middles.

    Near the tip of a cone that is as tight as its facets are fine.
    """
    return _tightest(skin, skin.most_curved_per_mm)


def smallest_concave(skin: Skin) -> Radius:
    """The tightest hollow, at the facets' middles."""
    return _tightest(skin, -skin.least_curved_per_mm)


def _tightest(skin: Skin, curvature: Array) -> Radius:
    row = int(curvature.argmax())
    if curvature[row] <= _FLAT_PER_MM:
        return Radius(float("inf"), None, None)
    x, y, z = (float(v) for v in skin.middles_mm[row])
    return Radius(1.0 / float(curvature[row]), (x, y, z), int(skin.faces[row]))


def sharp_edges(solid: cq.Solid, least_deg: float = SHARP_DEG) -> tuple[SharpEdge, ...]:
    """Every edge at which the faces' normals differ by more than an angle, in the kernel's order.

    The normals are those of both surfaces, at five places along the edge's curves in u and v.
    """
    edges = TopTools_IndexedMapOfShape()
    TopExp.MapShapes_s(solid.wrapped, TopAbs_ShapeEnum.TopAbs_EDGE, edges)
    sides: dict[int, list[tuple[int, TopoDS_Edge, TopoDS_Face, Surface]]] = {}
    for k, face in enumerate(faces_of(solid.wrapped)):
        surface = surface_of(face)
        forward = TopoDS.Face_s(face.Oriented(TopAbs_Orientation.TopAbs_FORWARD))
        for edge in edges_of(forward):
            if not BRep_Tool.Degenerated_s(edge):
                sides.setdefault(edges.FindIndex(edge), []).append((k, edge, face, surface))
    found = []
    for number in sorted(sides):
        if len(sides[number]) == 2:
            (a, *first), (b, *second) = sides[number]
            sharp = _sharp(_beside(*first), _beside(*second), least_deg)
            if sharp is not None:
                place, length = _middle(TopoDS.Edge_s(edges.FindKey(number)))
                found.append(SharpEdge(place, length, *sharp, (a, b)))
    return tuple(found)


def _beside(edge: TopoDS_Edge, face: TopoDS_Face, surface: Surface) -> tuple[Array, Array]:
    """Outward unit normals of a face at places of its edge, and unit ways from there into it."""
    curve = BRepAdaptor_Curve2d(edge, face)
    first, last = curve.FirstParameter(), curve.LastParameter()
    t = first + (last - first) * _ALONG
    u, v, _ = walk(curve, t, False)
    _, su, sv = surface.evaluate(u, v)
    step = 1e-6 * (last - first)
    (ua, va, _), (ub, vb, _) = walk(curve, t - step, False), walk(curve, t + step, False)
    way = surface.evaluate(ub, vb)[0] - surface.evaluate(ua, va)[0]
    # seen against S_u x S_v, a face lies left of an edge that runs forward
    sense = 1.0 if edge.Orientation() == TopAbs_Orientation.TopAbs_FORWARD else -1.0
    across = np.cross(su, sv)
    into = sense * np.cross(across, way)
    if face.Orientation() == TopAbs_Orientation.TopAbs_REVERSED:
        across = -across
    return _units(across), _units(into)


def _sharp(
    one: tuple[Array, Array], other: tuple[Array, Array], least_deg: float
) -> tuple[float, bool] | None:
    """The greatest turn, degrees, and whether the body bulges there; None where it is gentle."""
    (normal, into), (across, _) = one, other
    turned = np.linalg.norm(np.cross(normal, across), axis=1)
    turns = np.degrees(np.arctan2(turned, (normal * across).sum(axis=1)))
    row = int(turns.argmax())
    if turns[row] <= least_deg:
        return None
    return float(turns[row]), bool((into[row] * across[row]).sum() < 0.0)


def _middle(edge: TopoDS_Edge) -> tuple[tuple[float, float, float], float]:
    curve = BRepAdaptor_Curve(edge)
    point = curve.Value((curve.FirstParameter() + curve.LastParameter()) / 2.0)
    return (point.X(), point.Y(), point.Z()), float(GCPnts_AbscissaPoint.Length_s(curve))


def _units(ways: Array) -> Array:
    size = np.linalg.norm(ways, axis=1, keepdims=True)
    return np.asarray(ways / np.where(size > 0.0, size, 1.0))
