"""How far a body reaches along directions, by the CAD kernel's own tight bounds."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from OCP.Bnd import Bnd_Box
from OCP.BRepBndLib import BRepBndLib
from OCP.gp import gp_Ax3, gp_Dir, gp_Pnt, gp_Trsf
from OCP.TopLoc import TopLoc_Location

from shapes.moments import Array

if TYPE_CHECKING:
    import cadquery as cq


def extent_mm(body: cq.Shape, way: Array) -> tuple[float, float]:
    """Least and greatest n . x over a solid or a face, for a unit vector, to about 1e-4 mm."""
    turn = gp_Trsf()
    turn.SetTransformation(gp_Ax3(gp_Pnt(0.0, 0.0, 0.0), gp_Dir(*(float(c) for c in way))))
    low, high = _box_mm(body, turn)[:, 2]
    return float(low), float(high)


def extents_mm(body: cq.Shape, axes: Array) -> Array:
    """The same along three directions at once, which takes no longer than along one.

    Args:
        body: a solid or a face.
        axes: shape (3, 3), the directions as columns, right-handed.

    Returns:
        Shape (2, 3), the least and the greatest along each.
    """
    turn = gp_Trsf()
    turn.SetValues(*(float(c) for axis in axes.T for c in (*axis, 0.0)))
    return _box_mm(body, turn)


def _box_mm(body: cq.Shape, turn: gp_Trsf) -> Array:
    """The bounds of the turned body along X, Y and Z, shape (2, 3), to five decimals."""
    box = Bnd_Box()
    box.SetGap(0.0)
    BRepBndLib.AddOptimal_s(body.wrapped.Moved(TopLoc_Location(turn)), box, False, False)
    ends = box.CornerMin(), box.CornerMax()
    return np.round([(end.X(), end.Y(), end.Z()) for end in ends], 5)
