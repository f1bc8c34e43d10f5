"""A body with machining stock left on all round: the kernel's offset surface, held by distances."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from OCP.BRepOffset import BRepOffset_Mode
from OCP.BRepOffsetAPI import BRepOffsetAPI_MakeOffsetShape
from OCP.GeomAbs import GeomAbs_JoinType
from OCP.Standard import Standard_Failure
from OCP.StdFail import StdFail_NotDone

from shapes.errors import SolidError
from shapes.facets import facets_of
from shapes.moments import Array
from shapes.solid import gate

if TYPE_CHECKING:
    import cadquery as cq

_JOIN_MM = 1e-4
_OFF_MM = 0.03  # how far a point of the new surface may be from where it should lie
_CHECKED = 400  # points of the new surface that are held


def with_stock(solid: cq.Solid, stock_mm: float) -> cq.Solid:
    """The solid grown outwards by the same thickness everywhere; convex edges become round.

    Raises:
        SolidError: the kernel could not, or some point is not that far from the solid.
    """
    if stock_mm == 0.0:
        return solid
    offset = BRepOffsetAPI_MakeOffsetShape()
    try:
        offset.PerformByJoin(
            solid.wrapped, stock_mm, _JOIN_MM, BRepOffset_Mode.BRepOffset_Skin, False, False,
            GeomAbs_JoinType.GeomAbs_Arc,
        )  # fmt: skip
        with np.errstate(all="ignore"):  # what is no surface at all is refused below
            grown = gate(offset.Shape(), "a body with its stock")
    except (Standard_Failure, StdFail_NotDone, ValueError) as error:
        raise SolidError("the kernel cannot lay machining stock round this body") from error
    off = float(np.abs(_distances_mm(solid, grown) - stock_mm).max())
    if off > _OFF_MM:
        raise SolidError(
            f"the kernel laid the machining stock {off:.2f} mm off where {stock_mm:g} mm are due"
        )
    return grown


def _distances_mm(solid: cq.Solid, grown: cq.Solid) -> Array:
    """From points of the grown body's surface to the solid's own."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
    from OCP.BRepExtrema import BRepExtrema_DistShapeShape
    from OCP.gp import gp_Pnt

    corners = facets_of(grown, 0.5, 0.5).corners_mm
    some = corners[:: max(1, len(corners) // _CHECKED)]
    shell = solid.Shells()[0].wrapped
    found = []
    for point in some:
        vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(*point)).Vertex()
        found.append(BRepExtrema_DistShapeShape(shell, vertex).Value())
    return np.array(found)
