"""Walls and balls of a solid made exact by the CAD kernel, where a mesh has found them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.gp import gp_Pnt

from shapes.bars import crossings_mm
from shapes.moments import Array
from shapes.skin import Skin
from shapes.thickness import Walls

if TYPE_CHECKING:
    import cadquery as cq

_TRIED = 12  # of the thinnest places of the mesh
_ON_MM = 1e-4


def least_wall(solid: cq.Solid, skin: Skin, walls: Walls) -> tuple[float, Array] | None:
    """The thinnest wall, mm, and where it is, shape (3,); None for a body without any.

    The thinnest places that the mesh shows are measured on the solid itself, along the exact
    normal; between the middles of facets a wall may be thinner still, by what the mesh sags.
    """
    rows = np.flatnonzero(walls.facing)
    if not len(rows):
        return None
    found = []
    for row in rows[np.argsort(walls.through_mm[rows], kind="stable")][:_TRIED]:
        way, start = -skin.normals[row], skin.middles_mm[row]
        ends = crossings_mm(solid, start, way)
        beyond = ends[ends > _ON_MM]
        if len(beyond):
            found.append((float(beyond[0]), start))
    return min(found, key=lambda pair: pair[0]) if found else None


def ball_about_mm(solid: cq.Solid, centre: Array) -> float:
    """The radius of the largest ball inside a solid about a point in it."""
    vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(*(float(c) for c in centre))).Vertex()
    return min(
        float(BRepExtrema_DistShapeShape(shell.wrapped, vertex).Value()) for shell in solid.Shells()
    )
