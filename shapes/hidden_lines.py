"""A solid as a drawing shows it: its lines seen from afar, hidden ones apart, and its cut faces.

The kernel's exact hidden-line removal, not that of a mesh: a view of a core costs it some 30 ms.
Solids are copied first, since the kernel writes on what it is given.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
from OCP.BRepLib import BRepLib
from OCP.BRepPrimAPI import BRepPrimAPI_MakeHalfSpace
from OCP.BRepTools import BRepTools_WireExplorer
from OCP.GCPnts import GCPnts_TangentialDeflection
from OCP.gp import gp_Ax2, gp_Dir, gp_Pln, gp_Pnt
from OCP.HLRAlgo import HLRAlgo_Projector
from OCP.HLRBRep import HLRBRep_Algo, HLRBRep_HLRToShape
from OCP.TopAbs import TopAbs_EDGE, TopAbs_FACE, TopAbs_Orientation, TopAbs_SOLID, TopAbs_WIRE
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Shape
from OCP.TopTools import TopTools_ListOfShape

from shapes.errors import SolidError
from shapes.moments import Array
from shapes.solid import fresh

if TYPE_CHECKING:
    import cadquery as cq

CHORD_MM = 0.02
ANGLE_RAD = 0.2
_FAR_MM = 1e4  # half the side of the face that stands for a plane
Direction = tuple[float, float, float]


@dataclass(frozen=True, eq=False)
class Projection:
    """A view: polylines of shape (n, 2), mm, on the axes that the two directions give.

    Attributes:
        right: the direction that points to the right in the view, a unit vector.
        up: the direction that points up.
        outlines: where the surface turns away from the eye, seen.
        sharp: edges with a corner across them, seen.
        smooth: edges where faces run into each other without one, seen.
        hidden: outlines and sharp edges that the body itself covers.
    """

    right: Array
    up: Array
    outlines: tuple[Array, ...]
    sharp: tuple[Array, ...]
    smooth: tuple[Array, ...]
    hidden: tuple[Array, ...]

    def place(self, points_mm: Array) -> Array:
        """Where points, shape (..., 3), lie in the view, shape (..., 2)."""
        return np.stack([points_mm @ self.right, points_mm @ self.up], axis=-1)

    def bounds(self) -> tuple[Array, Array]:
        """The least and the greatest coordinates of what is seen, shape (2,) each."""
        points = np.concatenate([*self.outlines, *self.sharp])
        return points.min(axis=0), points.max(axis=0)


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


def projected(
    solids: Sequence[cq.Solid],
    toward: Direction,
    up: Direction,
    chord_mm: float = CHORD_MM,
) -> Projection:
    """The lines of solids seen from infinitely far.

    Args:
        solids: left untouched; each may cover another.
        toward: the direction from them to the eye.
        up: a direction square to it, up in the view.
        chord_mm: greatest distance of a polyline from its curve, in the bodies' own size.

    Raises:
        SolidError: the kernel saw nothing.
    """
    right = np.cross(up, toward)
    axes = gp_Ax2(gp_Pnt(0.0, 0.0, 0.0), gp_Dir(*toward), gp_Dir(*(float(x) for x in right)))
    found = HLRBRep_Algo()
    for solid in solids:
        found.Add(fresh(solid), 0)
    found.Projector(HLRAlgo_Projector(axes))
    found.Update()
    found.Hide()
    shown = HLRBRep_HLRToShape(found)
    view = Projection(
        right,
        np.array(up),
        _flat(shown.OutLineVCompound(), chord_mm),
        _flat(shown.VCompound(), chord_mm),
        _flat(shown.Rg1LineVCompound(), chord_mm),
        _flat(shown.HCompound(), chord_mm) + _flat(shown.OutLineHCompound(), chord_mm),
    )
    if not view.outlines and not view.sharp:
        raise SolidError("hidden-line removal: the kernel saw no line of the body")
    return view


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
        for face in _all(cut, TopAbs_FACE):
            for wire in _all(face, TopAbs_WIRE):
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
        for lump in _all(_common(fresh(solid), half), TopAbs_SOLID)
    )
    if not found:
        raise SolidError(f"the section at {plane.height_mm:g} mm: the plane misses the body")
    return found


def _face(plane: Plane) -> TopoDS_Shape:
    n, h = plane.normal, plane.height_mm
    # its own axes stand askew, so that no edge of a body runs along its border
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


def _all(shape: TopoDS_Shape, kind: object) -> list[TopoDS_Shape]:
    explorer, found = TopExp_Explorer(shape, kind), []
    while explorer.More():
        found.append(explorer.Current())
        explorer.Next()
    return found


def _flat(compound: TopoDS_Shape | None, chord_mm: float) -> tuple[Array, ...]:
    """The edges of a view as polylines; the view's own plane is z = 0."""
    if compound is None or compound.IsNull():
        return ()
    BRepLib.BuildCurves3d_s(compound)  # they come as curves on a plane only
    lines = (_polyline(TopoDS.Edge_s(e), chord_mm)[:, :2] for e in _all(compound, TopAbs_EDGE))
    return tuple(line for line in lines if np.ptp(line, axis=0).max() > 1e-7)


def _polyline(edge: TopoDS_Edge, chord_mm: float) -> Array:
    points = GCPnts_TangentialDeflection(BRepAdaptor_Curve(edge), ANGLE_RAD, chord_mm)
    each = (points.Value(k) for k in range(1, points.NbPoints() + 1))
    return np.array([(p.X(), p.Y(), p.Z()) for p in each])


def _closed(wire: TopoDS_Shape, face: TopoDS_Shape, chord_mm: float) -> Array:
    """A wire's points in order, shape (n, 3); the last is the first again."""
    explorer = BRepTools_WireExplorer(TopoDS.Wire_s(wire), TopoDS.Face_s(face))
    parts = []
    while explorer.More():
        edge = explorer.Current()
        line = _polyline(edge, chord_mm)
        if edge.Orientation() == TopAbs_Orientation.TopAbs_REVERSED:
            line = line[::-1]
        parts.append(line[:-1])
        explorer.Next()
    points = np.concatenate(parts)
    return np.concatenate([points, points[:1]])
