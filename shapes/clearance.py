"""Walls and balls of a solid made exact by the CAD kernel, where a mesh has found them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.gp import gp_Pnt
from scipy.spatial import cKDTree

from shapes.bars import crossings_mm
from shapes.facets import facets_of
from shapes.moments import Array
from shapes.skin import Skin
from shapes.thickness import Walls

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    import cadquery as cq

_TRIED = 12  # of the thinnest places of the mesh
_ON_MM = 1e-4
_PUSH_MM, _SETTLED_MM = 0.4, 0.01


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


def nearest_corner(outside: cq.Solid, inside: Sequence[cq.Solid]) -> tuple[float, Array]:
    """The nearest that corners of bodies inside come to the surface of one round them, mm.

    Corners of meshes, which the bodies' own corners and edges are among; measured exactly.
    """
    corners = np.concatenate([facets_of(body, 0.5, 0.3).corners_mm for body in inside])
    skin = facets_of(outside, 0.5, 0.3).corners_mm
    near = np.argsort(cKDTree(skin).query(corners)[0], kind="stable")[:_TRIED]
    radius_at = _radii(outside)
    found = [(radius_at(corners[row]), corners[row]) for row in near]
    return min(found, key=lambda pair: pair[0])


def grown_ball(solid: cq.Solid, centre: Array) -> tuple[float, Array]:
    """A ball inside a solid pushed about until it cannot grow, to 0.01 mm: radius and centre."""
    radius_at = _radii(solid)
    best, step = radius_at(centre), _PUSH_MM
    while step > _SETTLED_MM:
        tries = [centre + way * step * axis for axis in np.eye(3) for way in (1.0, -1.0)]
        sizes = [radius_at(place) for place in tries]
        row = int(np.argmax(sizes))
        if sizes[row] > best + 1e-6:
            best, centre = sizes[row], tries[row]
        else:
            step /= 2.0
    return best, centre


def ball_about_mm(solid: cq.Solid, centre: Array) -> float:
    """The radius of the largest ball inside a solid about a point in it."""
    return _radii(solid)(centre)


def _radii(solid: cq.Solid) -> Callable[[Array], float]:
    """The same for many points: the solid's shells are looked through once, which takes longest."""
    finders = [BRepExtrema_DistShapeShape() for _ in solid.Shells()]
    for finder, shell in zip(finders, solid.Shells(), strict=True):
        finder.LoadS1(shell.wrapped)

    def radius_mm(centre: Array) -> float:
        vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(*(float(c) for c in centre))).Vertex()
        for finder in finders:
            finder.LoadS2(vertex)
            finder.Perform()
        return min(float(finder.Value()) for finder in finders)

    return radius_mm
