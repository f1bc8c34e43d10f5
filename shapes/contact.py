"""How solids that should be one meet: apart, at a point, along an edge, or as they should."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

import cadquery as cq
from OCP.BRep import BRep_Tool
from OCP.BRepAlgoAPI import BRepAlgoAPI_Section
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp
from OCP.TopoDS import TopoDS, TopoDS_Shape
from OCP.TopTools import TopTools_IndexedDataMapOfShapeListOfShape

from shapes.boundary import moments_of_solid

_TOUCH_MM = 1e-5
_SAID = 4  # lumps that a message lists
_VERTEX, _EDGE, _FACE = (
    TopAbs_ShapeEnum.TopAbs_VERTEX,
    TopAbs_ShapeEnum.TopAbs_EDGE,
    TopAbs_ShapeEnum.TopAbs_FACE,
)


def why_not_one(lumps: Sequence[cq.Solid]) -> str:
    """Why the lumps are not one sound solid, as a sentence; empty when they are."""
    if not lumps:
        return "nothing is left of it"
    if len(lumps) == 1:
        return next(_pinches(lumps[0]), "")
    said = "; ".join(_lump(lump) for lump in lumps[:_SAID]) + ("; ..." if lumps[_SAID:] else "")
    return f"it comes out as {len(lumps)} bodies, not one ({said}): {_nearest(lumps)}"


def _lump(lump: cq.Solid) -> str:
    moments = moments_of_solid(lump)
    return f"{moments.volume_mm3:.0f} mm3 about {_place(*moments.centroid_mm())}"


def _place(x: float, y: float, z: float) -> str:
    return "({:.2f}, {:.2f}, {:.2f}) mm".format(*(round(c, 2) + 0.0 for c in (x, y, z)))


def _nearest(lumps: Sequence[cq.Solid]) -> str:
    """Where and how the two lumps that are nearest to each other meet."""
    gaps = [
        (BRepExtrema_DistShapeShape(a.wrapped, b.wrapped), a, b) for a, b in combinations(lumps, 2)
    ]
    gap, a, b = min(gaps, key=lambda g: float(g[0].Value()))
    point = gap.PointOnShape1(1)
    where = _place(point.X(), point.Y(), point.Z())
    if gap.Value() > _TOUCH_MM:
        return f"two lie {gap.Value():.3f} mm apart at {where}"
    line = BRepAlgoAPI_Section(a.wrapped, b.wrapped)
    shared = cq.Shape.cast(line.Shape()).Edges()
    touch = "along an edge" if any(e.Length() > _TOUCH_MM for e in shared) else "at a point"
    return f"two touch only {touch} at {where}"


def _pinches(solid: cq.Solid) -> Iterator[str]:
    """Edges where more than two faces meet, and corners where two sheets of the skin do."""
    edges, corners = _ancestors(solid.wrapped, _EDGE), _ancestors(solid.wrapped, _VERTEX)
    for k in range(1, edges.Extent() + 1):
        edge = TopoDS.Edge_s(edges.FindKey(k))
        faces = _distinct(edges.FindFromIndex(k))
        if len(faces) > 2:
            middle = cq.Edge(edge).positionAt(0.5)
            yield f"it touches itself along an edge at {_place(*middle.toTuple())}"
    for k in range(1, corners.Extent() + 1):
        corner = TopoDS.Vertex_s(corners.FindKey(k))
        if _sheets(corner, _distinct(corners.FindFromIndex(k))) > 1:
            point = BRep_Tool.Pnt_s(corner)
            yield f"it touches itself at a point, {_place(point.X(), point.Y(), point.Z())}"


def _ancestors(
    shape: TopoDS_Shape, kind: TopAbs_ShapeEnum
) -> TopTools_IndexedDataMapOfShapeListOfShape:
    found = TopTools_IndexedDataMapOfShapeListOfShape()
    TopExp.MapShapesAndAncestors_s(shape, kind, _FACE, found)
    return found


def _distinct(shapes: object) -> list[TopoDS_Shape]:
    kept: list[TopoDS_Shape] = []
    for shape in shapes:  # type: ignore[attr-defined]  # the kernel's list iterates
        if not any(shape.IsSame(other) for other in kept):
            kept.append(shape)
    return kept


def _sheets(corner: TopoDS_Shape, faces: list[TopoDS_Shape]) -> int:
    """How many groups the faces at a corner make when those that share an edge there are one."""
    edges = [_edges_at(corner, face) for face in faces]
    of = list(range(len(faces)))
    for a, b in combinations(range(len(faces)), 2):
        if any(e.IsSame(f) for e in edges[a] for f in edges[b]):
            old, new = of[b], of[a]
            of = [new if group == old else group for group in of]
    return len(set(of))


def _edges_at(corner: TopoDS_Shape, face: TopoDS_Shape) -> list[TopoDS_Shape]:
    ends = TopTools_IndexedDataMapOfShapeListOfShape()
    TopExp.MapShapesAndAncestors_s(face, _VERTEX, _EDGE, ends)
    return _distinct(ends.FindFromKey(corner)) if ends.Contains(corner) else []
