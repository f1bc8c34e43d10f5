"""A closed triangle mesh of a solid at an absolute tolerance, and what it weighs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt
from OCP.BRep import BRep_Tool
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.gp import gp_Trsf
from OCP.TopAbs import TopAbs_Orientation
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS_Face

from shapes.boundary import faces_of
from shapes.errors import SolidError
from shapes.moments import Array, Moments
from shapes.solid import fresh
from shapes.surfaces import surface_of
from shapes.triangulation import nodes_and_triangles
from shapes.triples import cross, length

if TYPE_CHECKING:
    import cadquery as cq

    from shapes.surfaces import Evaluate

CHORD_MM = 0.02
ANGLE_RAD = 0.1
_OVER = 2.5  # times the chord: 0.05 mm of the 0.02, which is what an STL file promises
_TIP_MM = 1e-7  # a turn of u that moves a point by less a radian is none
_MERGE_MM = 1e-5  # corners of neighbouring faces are the same point to within this


@dataclass(frozen=True, eq=False)
class FaceMesh:
    """The mesh of one face.

    Attributes:
        corners_mm: shape (n, 3).
        uv: shape (n, 2), where the corners lie on the face's own surface.
        triangles: shape (m, 3), counter-clockwise seen from outside the solid.
        turned: whether the surface's own normal points inwards.
    """

    corners_mm: Array
    uv: Array
    triangles: npt.NDArray[np.int64]
    turned: bool


@dataclass(frozen=True, eq=False)
class Facets:
    """A closed mesh, every triangle counter-clockwise seen from outside.

    Attributes:
        corners_mm: shape (n, 3).
        triangles: shape (m, 3), indices into the corners.
        sags_mm: shape (m,), for each triangle the greatest distance between its plane and the
            surface above it, measured at the middles of its sides and of itself.
    """

    corners_mm: Array
    triangles: npt.NDArray[np.int64]
    sags_mm: Array

    @property
    def sag_mm(self) -> float:
        """The greatest sag of all."""
        return float(self.sags_mm.max())


def facets_of(solid: cq.Solid, chord_mm: float = CHORD_MM, angle_rad: float = ANGLE_RAD) -> Facets:
    """Mesh a solid.

    Args:
        solid: left untouched; a mesh that it may carry is neither used nor replaced.
        chord_mm: distance between mesh and surface that the kernel is asked for, absolute; where
            more than 2.5 times as much is measured, it is asked for less.
        angle_rad: greatest turn of the normal within a triangle.

    Raises:
        SolidError: the mesh does not close.
    """
    best: Facets | None = None
    fault: SolidError | None = None
    for finer in (1.0, 1.4, 2.0, 2.8):
        try:
            other = _meshed(solid, chord_mm / finer, angle_rad / finer)
        except SolidError as error:  # now and then the kernel leaves a gap; finer it may not
            fault = error
            continue
        best = other if best is None else min(best, other, key=lambda mesh: mesh.sag_mm)
        if best.sag_mm <= _OVER * chord_mm:
            break
    if best is None:
        raise fault or SolidError("the kernel gave no mesh")
    return best


def _meshed(solid: cq.Solid, chord_mm: float, angle_rad: float) -> Facets:
    shape = fresh(solid)
    BRepMesh_IncrementalMesh(shape, chord_mm, False, angle_rad, False)
    corners, triangles, sags, count = [], [], [], 0
    for face in faces_of(shape):
        mesh = mesh_of_face(face)
        corners.append(mesh.corners_mm)
        triangles.append(mesh.triangles + count)
        count += len(mesh.corners_mm)
        sags.append(_sags(face, mesh))
    merged, found, proper = merged_corners(np.concatenate(corners), np.concatenate(triangles))
    _check_closed(found)
    return Facets(merged, found, np.concatenate(sags)[proper])


def moments_of_facets(facets: Facets) -> Moments:
    """Moments of the meshed body by trimesh's integrals, about the origin."""
    import trimesh

    mesh = trimesh.Trimesh(facets.corners_mm, facets.triangles, process=False)
    found = mesh.mass_properties
    volume = float(found["volume"])
    centre = np.asarray(found["center_mass"], dtype=float)
    inertia = np.asarray(found["inertia"], dtype=float)
    central = np.trace(inertia) / 2.0 * np.eye(3) - inertia
    return Moments(volume, volume * centre, central + volume * np.outer(centre, centre))


def mesh_of_face(face: TopoDS_Face) -> FaceMesh:
    """The mesh that the kernel left on a face of a meshed solid.

    Raises:
        SolidError: there is none.
    """
    place = TopLoc_Location()
    mesh = BRep_Tool.Triangulation_s(face, place)
    if mesh is None:
        raise SolidError("the kernel left a face without a mesh")
    corners, uv, triangles = nodes_and_triangles(mesh)
    if not place.IsIdentity():
        corners = _moved(corners, place.Transformation())
    turned = face.Orientation() == TopAbs_Orientation.TopAbs_REVERSED
    return FaceMesh(corners, uv, triangles[:, ::-1] if turned else triangles, turned)


def _moved(points: Array, move: gp_Trsf) -> Array:
    """Points moved as the kernel moves them, to the last digit: turned, scaled, shifted."""
    turn, scale, shift = move.HVectorialPart(), move.ScaleFactor(), move.TranslationPart()
    x, y, z = points.T
    return np.column_stack(
        [
            (turn.Value(k, 1) * x + turn.Value(k, 2) * y + turn.Value(k, 3) * z) * scale
            + shift.Coord(k)
            for k in (1, 2, 3)
        ]
    )


def _sags(face: TopoDS_Face, mesh: FaceMesh) -> Array:
    """Shape (m,), the distance of the surface from the plane of each triangle."""
    a, b, c = (mesh.corners_mm.take(mesh.triangles[:, k], axis=0) for k in range(3))
    normal = cross(b - a, c - a)
    size = length(normal)
    normal /= np.where(size > 1e-9, size, np.inf)[:, None]  # a flat one at a pole has no plane
    evaluate = surface_of(face).evaluate
    ua, ub, uc = corners_uv(evaluate, mesh)
    worst = np.zeros(len(mesh.triangles))
    for place in (
        (ua + ub) / 2.0,
        (ub + uc) / 2.0,
        (uc + ua) / 2.0,
        (ua + ub + uc) / 3.0,
    ):
        on = evaluate(place[:, 0], place[:, 1])[0]
        worst = np.maximum(worst, np.abs(np.einsum("ij,ij->i", on - a, normal)))
    return worst


def corners_uv(evaluate: Evaluate, mesh: FaceMesh) -> tuple[Array, Array, Array]:
    """Where the corners of the triangles lie on the surface, shape (m, 2) each.

    The tip of a cone or a pole has no one u: it gets that between the other two corners.
    """
    _, along, _ = evaluate(mesh.uv[:, 0], mesh.uv[:, 1])
    tip = np.linalg.norm(along, axis=1) < _TIP_MM
    found = mesh.uv[mesh.triangles]
    for k in range(3):
        at = tip[mesh.triangles[:, k]]
        found[at, k, 0] = found[at][:, [(k + 1) % 3, (k + 2) % 3], 0].mean(axis=1)
    return found[:, 0], found[:, 1], found[:, 2]


def merged_corners(
    corners: Array, triangles: npt.NDArray[np.int64]
) -> tuple[Array, npt.NDArray[np.int64], npt.NDArray[np.bool_]]:
    """Corners that coincide made one; the triangles that are left, and which of the given they are.

    The flat ones at poles and seams go.
    """
    keys = np.round(corners / _MERGE_MM).astype(np.int64)
    first, index = _alike(keys - keys.min(axis=0))
    joined = index[triangles]
    proper = (
        (joined[:, 0] != joined[:, 1])
        & (joined[:, 1] != joined[:, 2])
        & (joined[:, 2] != joined[:, 0])
    )
    return corners[first], joined[proper], proper


def _alike(keys: npt.NDArray[np.int64]) -> tuple[npt.NDArray[np.intp], npt.NDArray[np.intp]]:
    """The first of each kind of row of three numbers from 0 up, in order, and each row's kind.

    Numbers are taken two at a time as one, which sorts ten times faster than rows do.
    """
    size = keys.max(axis=0) + 1
    _, pair = np.unique(keys[:, 0] * size[1] + keys[:, 1], return_inverse=True)
    _, first, index = np.unique(
        pair.reshape(-1) * size[2] + keys[:, 2], return_index=True, return_inverse=True
    )
    return first, index.reshape(-1)


def _check_closed(triangles: npt.NDArray[np.int64]) -> None:
    """Every side must be run along once each way."""
    count = int(triangles.max()) + 1
    start = triangles.ravel()
    end = triangles[:, [1, 2, 0]].ravel()
    there, back = np.sort(start * count + end), np.sort(end * count + start)
    if (there[1:] == there[:-1]).any() or (there != back).any():
        raise SolidError("the kernel's mesh of a solid does not close")
