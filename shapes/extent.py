"""How far a body reaches along a direction, by the CAD kernel's own tight bounds."""

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
    box = Bnd_Box()
    box.SetGap(0.0)
    BRepBndLib.AddOptimal_s(body.wrapped.Moved(TopLoc_Location(turn)), box, False, False)
    return float(np.round(box.CornerMin().Z(), 5)), float(np.round(box.CornerMax().Z(), 5))
