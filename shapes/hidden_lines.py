"""A solid as a drawing shows it: its lines seen from infinitely far, hidden ones apart.

The kernel's exact hidden-line removal splits the edges and outlines where they pass behind the
body; it takes some 30 ms for a core.  Which pieces are seen is then asked of the solid itself, by
lines of sight, since the kernel has been seen to show the edges of a closed cavity from outside.

The kernel looks from a thousandth of a radian to the right, and what it finds in space is then
projected from the true side.  Edges stay where they are, an outline of radius R moves by half a
millionth of R, and the place where a line passes behind the body by a thousandth of the depth
between them.  Straight on, outlines and edges fall on each other, over which it has spent up to
eight seconds.  What it finds must reach as far as the body does, or it is made to look again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from OCP.BRepLib import BRepLib
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from OCP.HLRAlgo import HLRAlgo_Projector
from OCP.HLRBRep import HLRBRep_Algo, HLRBRep_HLRToShape, HLRBRep_TypeOfResultingEdge
from OCP.TopAbs import TopAbs_EDGE
from OCP.TopoDS import TopoDS

from shapes.boundary import faces_of
from shapes.edge_lines import CHORD_MM, apart, parts_of, polyline
from shapes.errors import SolidError
from shapes.facets import mesh_of_face
from shapes.moments import Array
from shapes.sightlines import Sightlines, places_on
from shapes.solid import fresh

if TYPE_CHECKING:
    import cadquery as cq

Direction = tuple[float, float, float]
_SAME = 2.5  # chords: lines nearer than this are one
_ASIDE = ((1e-3, 0.0), (0.0, 0.0), (0.8e-3, 0.6e-3))  # to the right and up, radians; in turn
_SKIN_MM = 8.0  # along a line of sight through a skin of 0.3 mm at a radius of 100
_COARSE_MM = 0.2  # chord of the mesh that says how far a body reaches
_REACH = 0.01  # of that, by which a view may fall short: the kernel's outlines are approximations


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
    reached_mm: Array | None = None,
) -> Projection:
    """The lines of solids seen from infinitely far; of lines that coincide only one is kept.

    Args:
        solids: left untouched; each may cover another.
        toward: the direction from them to the eye, a unit vector.
        up: a direction square to it, up in the view, a unit vector.
        chord_mm: greatest distance of a polyline from its curve.
        reached_mm: `reached_by` them, where that is there already.

    Raises:
        SolidError: the kernel lost some of the body, from wherever it looked.
    """
    frame = np.stack([np.cross(up, toward), np.array(up), np.array(toward)])
    places = (reached_by(solids) if reached_mm is None else reached_mm) @ frame[:2].T
    due = np.concatenate([places.min(axis=0), places.max(axis=0)])
    for aside in _ASIDE:
        view = _looked(solids, frame, aside, chord_mm)
        if view.outlines or view.sharp:
            found = np.concatenate(view.bounds())
            if np.abs(found - due).max() < _REACH * np.ptp(due):
                return view
    raise SolidError("hidden-line removal: the kernel's view does not reach as far as the body")


def _looked(
    solids: Sequence[cq.Solid], frame: Array, aside: tuple[float, float], chord_mm: float
) -> Projection:
    """One view; the frame's rows point right, up and towards the eye."""
    kinds = HLRBRep_TypeOfResultingEdge
    right, up, toward = frame
    axes, eye = frame[:2].T, toward + aside[0] * right + aside[1] * up
    split, sight = _split(solids, eye, right), Sightlines(solids, eye)
    seen: dict[object, list[Array]] = {}
    covered: list[Array] = []
    for kind in (kinds.HLRBRep_OutLine, kinds.HLRBRep_Sharp, kinds.HLRBRep_Rg1Line):
        seen[kind] = []
        for line, called_seen in _pieces(split, kind, chord_mm):
            if np.ptp(line @ axes, axis=0).max() < chord_mm:
                continue  # seen end on
            # the kernel's outlines may lie a little inside the body, whose skin is then in the way
            hidden = _is_hidden(line, called_seen, sight, kind == kinds.HLRBRep_OutLine)
            if not hidden:
                seen[kind].append(line @ axes)
            elif kind != kinds.HLRBRep_Rg1Line:
                covered.append(line @ axes)
    near = _SAME * chord_mm
    outlines = apart(seen[kinds.HLRBRep_OutLine], (), near)
    sharp = apart(seen[kinds.HLRBRep_Sharp], outlines, near)
    edges = (*outlines, *sharp)
    smooth = apart(seen[kinds.HLRBRep_Rg1Line], edges, near) if edges else ()
    hidden_lines = apart(covered, edges, near) if edges else ()
    return Projection(right, up, outlines, sharp, smooth, hidden_lines)


def _is_hidden(line: Array, called_seen: bool, sight: Sightlines, outline: bool) -> bool:
    """Whether a piece is hidden: what two lines of sight in three say, or the kernel if unsure."""
    if outline:
        votes = [sight.covered(p, _SKIN_MM) for p in places_on(line)]
        near = not any(votes) and sight.covered(places_on(line)[0])
        return not called_seen if near else sum(votes) > 1
    first, *others = places_on(line)
    hidden = sight.covered(first)
    if hidden == called_seen:  # against the kernel: ask twice more
        hidden = sum(sight.covered(p) for p in others) > (0 if hidden else 1)
    return hidden


def reached_by(solids: Sequence[cq.Solid]) -> Array:
    """Points all over the surface of solids, shape (n, 3), the corners of a coarse mesh."""
    corners = []
    for solid in solids:
        shape = fresh(solid)
        BRepMesh_IncrementalMesh(shape, _COARSE_MM, False, 0.5, False)
        corners += [mesh_of_face(face).corners_mm for face in faces_of(shape)]
    return np.concatenate(corners)


def _split(solids: Sequence[cq.Solid], toward: Array, right: Array) -> HLRBRep_HLRToShape:
    """The kernel's answer; it works on copies, since it writes on what it is given."""
    ways = (gp_Dir(*(float(x) for x in way)) for way in (toward, right))
    view = gp_Ax2(gp_Pnt(0.0, 0.0, 0.0), *ways)
    found = HLRBRep_Algo()
    for solid in solids:
        found.Add(fresh(solid), 0)
    found.Projector(HLRAlgo_Projector(view))
    found.Update()
    found.Hide()
    return HLRBRep_HLRToShape(found)


def _pieces(split: HLRBRep_HLRToShape, kind: object, chord_mm: float) -> list[tuple[Array, bool]]:
    """All pieces of one kind in space, and whether the kernel calls them seen."""
    found: list[tuple[Array, bool]] = []
    for called_seen in (True, False):
        compound = split.CompoundOfEdges(kind, called_seen, True)
        if compound is not None and not compound.IsNull():
            BRepLib.BuildCurves3d_s(compound)
            edges = parts_of(compound, TopAbs_EDGE)
            found += [(polyline(TopoDS.Edge_s(e), chord_mm), called_seen) for e in edges]
    return found
