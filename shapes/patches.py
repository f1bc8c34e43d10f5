"""Smooth surfaces handed to the CAD kernel as polynomial patches, sewn into one solid.

A patch passes through its surface at Chebyshev's points in both directions, which for the analytic
surfaces here leaves less than a nanometre; neighbours share the points of their common edge.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

try:
    import cadquery as cq
    from OCP.BRepBuilderAPI import (
        BRepBuilderAPI_MakeEdge,
        BRepBuilderAPI_MakeFace,
        BRepBuilderAPI_MakeSolid,
        BRepBuilderAPI_MakeWire,
        BRepBuilderAPI_Sewing,
    )
    from OCP.BRepLib import BRepLib
    from OCP.Geom import Geom_BezierCurve, Geom_BezierSurface
    from OCP.gp import gp_Pnt
    from OCP.TColgp import TColgp_Array1OfPnt, TColgp_Array2OfPnt
    from OCP.TopAbs import TopAbs_ShapeEnum
    from OCP.TopoDS import TopoDS, TopoDS_Face
except ImportError as error:  # the wheel is there but a system library that it links is not
    from shapes.errors import KernelMissing

    raise KernelMissing(str(error)) from error

from shapes.errors import SolidError
from shapes.fitted import bernstein, lobatto
from shapes.moments import Array
from shapes.solid import gate

Chart = Callable[[Array, Array], Array]  # (u, v) in [0, 1]^2, each (n,), to points (n, 3)
_SEW_MM = 1e-6


def sewn(charts: Sequence[Chart], degree: int, rims: Sequence[Sequence[Chart]]) -> cq.Solid:
    """One solid from charts whose edges match.

    Args:
        charts: each a patch.
        degree: of every patch in both directions.
        rims: for each flat face, in order round it, charts whose edge v = 0 bounds it.
    """
    sewing = BRepBuilderAPI_Sewing(_SEW_MM)
    for chart in charts:
        sewing.Add(_face(chart, degree))
    for ring in rims:
        sewing.Add(_flat(ring, degree))
    sewing.Perform()
    shape = sewing.SewedShape()
    if sewing.NbFreeEdges() or shape.ShapeType() != TopAbs_ShapeEnum.TopAbs_SHELL:
        raise SolidError(
            f"patches left {sewing.NbFreeEdges()} edges open when the kernel sewed them"
        )
    solid = BRepBuilderAPI_MakeSolid(TopoDS.Shell_s(shape)).Solid()
    BRepLib.OrientClosedSolid_s(solid)
    return gate(solid, "a sewn body")


def _nodes(chart: Chart, degree: int) -> Array:
    """Shape (degree + 1, degree + 1, 3): Bezier points of the patch."""
    side = lobatto(degree)
    u, v = (g.ravel() for g in np.meshgrid(side, side, indexing="ij"))
    values = chart(u, v).reshape(degree + 1, degree + 1, 3)
    basis = bernstein(degree)
    return np.asarray(np.einsum("ai,bj,ijk->abk", basis, basis, values))


def _face(chart: Chart, degree: int) -> TopoDS_Face:
    poles = TColgp_Array2OfPnt(1, degree + 1, 1, degree + 1)
    for a, row in enumerate(_nodes(chart, degree)):
        for b, pole in enumerate(row):
            poles.SetValue(a + 1, b + 1, gp_Pnt(*map(float, pole)))
    return BRepBuilderAPI_MakeFace(Geom_BezierSurface(poles), _SEW_MM).Face()


def _flat(ring: Sequence[Chart], degree: int) -> TopoDS_Face:
    """A plane face within the given edges, each over u in [0, 1]."""
    side = lobatto(degree)
    wire = BRepBuilderAPI_MakeWire()
    for edge in ring:
        poles = TColgp_Array1OfPnt(1, degree + 1)
        for k, pole in enumerate(bernstein(degree) @ edge(side, np.zeros(degree + 1))):
            poles.SetValue(k + 1, gp_Pnt(*map(float, pole)))
        wire.Add(BRepBuilderAPI_MakeEdge(Geom_BezierCurve(poles)).Edge())
    if not wire.IsDone():
        raise SolidError("the kernel could not chain the rim of a flat face")
    return BRepBuilderAPI_MakeFace(wire.Wire(), True).Face()
