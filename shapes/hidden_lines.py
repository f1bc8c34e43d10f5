"""A solid as a drawing shows it: its lines seen from infinitely far, hidden ones apart.

The kernel's exact hidden-line removal splits the edges and outlines where they pass behind the
body; it takes some 30 ms for a core.  Which pieces are seen is then asked of the solid itself, by
lines of sight, since the kernel has been seen to show the edges of a closed cavity from outside.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from OCP.BRepLib import BRepLib
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from OCP.HLRAlgo import HLRAlgo_Projector
from OCP.HLRBRep import HLRBRep_Algo, HLRBRep_HLRToShape, HLRBRep_TypeOfResultingEdge
from OCP.TopAbs import TopAbs_EDGE
from OCP.TopoDS import TopoDS

from shapes.edge_lines import CHORD_MM, apart, parts_of, polyline
from shapes.errors import SolidError
from shapes.moments import Array
from shapes.sightlines import Sightlines, places_on
from shapes.solid import fresh

if TYPE_CHECKING:
    import cadquery as cq

Direction = tuple[float, float, float]
_SAME = 2.5  # chords: lines nearer than this are one


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


def projected(
    solids: Sequence[cq.Solid],
    toward: Direction,
    up: Direction,
    chord_mm: float = CHORD_MM,
) -> Projection:
    """The lines of solids seen from infinitely far; of lines that coincide only one is kept.

    Args:
        solids: left untouched; each may cover another.
        toward: the direction from them to the eye, a unit vector.
        up: a direction square to it, up in the view, a unit vector.
        chord_mm: greatest distance of a polyline from its curve.

    Raises:
        SolidError: the kernel saw nothing.
    """
    right = np.cross(up, toward)
    axes = np.stack([right, up], axis=1)
    kinds = HLRBRep_TypeOfResultingEdge
    split = _split(solids, toward, right)
    sight = Sightlines(solids, toward)
    seen: dict[object, list[Array]] = {}
    covered: list[Array] = []
    for kind in (kinds.HLRBRep_OutLine, kinds.HLRBRep_Sharp, kinds.HLRBRep_Rg1Line):
        seen[kind] = []
        for line in _pieces(split, kind, chord_mm):
            if np.ptp(line @ axes, axis=0).max() < chord_mm:
                continue  # seen end on
            hidden = sum(sight.covered(place) for place in places_on(line)) > 1
            if not hidden:
                seen[kind].append(line @ axes)
            elif kind != kinds.HLRBRep_Rg1Line:
                covered.append(line @ axes)
    near = _SAME * chord_mm
    outlines = apart(seen[kinds.HLRBRep_OutLine], (), near)
    sharp = apart(seen[kinds.HLRBRep_Sharp], outlines, near)
    if not outlines and not sharp:
        raise SolidError("hidden-line removal: the kernel saw no line of the body")
    edges = (*outlines, *sharp)
    smooth = apart(seen[kinds.HLRBRep_Rg1Line], edges, near)
    return Projection(right, np.array(up), outlines, sharp, smooth, apart(covered, edges, near))


def _split(solids: Sequence[cq.Solid], toward: Direction, right: Array) -> HLRBRep_HLRToShape:
    """The kernel's answer; it works on copies, since it writes on what it is given."""
    view = gp_Ax2(gp_Pnt(0.0, 0.0, 0.0), gp_Dir(*toward), gp_Dir(*(float(x) for x in right)))
    found = HLRBRep_Algo()
    for solid in solids:
        found.Add(fresh(solid), 0)
    found.Projector(HLRAlgo_Projector(view))
    found.Update()
    found.Hide()
    return HLRBRep_HLRToShape(found)


def _pieces(split: HLRBRep_HLRToShape, kind: object, chord_mm: float) -> list[Array]:
    """All pieces of one kind in space, whether the kernel calls them seen or hidden."""
    found = []
    for called_seen in (True, False):
        compound = split.CompoundOfEdges(kind, called_seen, True)
        if compound is not None and not compound.IsNull():
            BRepLib.BuildCurves3d_s(compound)
            edges = parts_of(compound, TopAbs_EDGE)
            found += [polyline(TopoDS.Edge_s(edge), chord_mm) for edge in edges]
    return found
