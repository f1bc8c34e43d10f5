"""Surfaces of parts, ready to draw: triangles, with the normals of the exact surface.

The kernel's mesh of a face is taken as it is; at its corners the exact surface is asked anew.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from pipeline.scene import Indices
from shapes.moments import Array

if TYPE_CHECKING:
    import cadquery as cq
    from OCP.TopoDS import TopoDS_Face

    from shapes.surfaces import Evaluate

Fineness = tuple[float, float]  # of a mesh: chord, mm, and angle, radians
FINE: Fineness = (0.06, 0.12)
CHORD_MM, ANGLE_RAD = FINE
_KEPT = 12  # solids whose patches are kept
_ASIDE = 1e-3  # of the way to the middle of a triangle


@dataclass(frozen=True, eq=False)
class Shell:
    """A surface of one part, ready to draw, in the ball frame.

    Attributes:
        part: which part, counted inside out from 0.
        cut: whether it is a face that the wedge made.
        points_mm: shape (n, 3).
        normals: shape (n, 3), of the exact surface, out of the part.
        triangles: shape (m, 3), counter-clockwise seen from outside.
    """

    part: int
    cut: bool
    points_mm: Array
    normals: Array
    triangles: Indices


@dataclass(frozen=True, eq=False)
class Patch:
    """What is drawn of one face.

    Attributes:
        points_mm: shape (n, 3).
        normals: shape (n, 3), of the exact surface, out of the part.
        triangles: shape (m, 3), counter-clockwise seen from outside.
        over_mm: shape (m, 4, 3), points of the exact surface well within each triangle.
    """

    points_mm: Array
    normals: Array
    triangles: Indices
    over_mm: Array


def patch_of(face: TopoDS_Face) -> Patch:
    """The mesh that the kernel made of a face, with the exact surface at and over its triangles."""
    from shapes.facets import mesh_of_face
    from shapes.surfaces import surface_of

    mesh, evaluate = mesh_of_face(face), surface_of(face).evaluate
    normals = _normals(evaluate, mesh.uv, mesh.triangles)
    weights = np.array([[4, 4, 4], [8, 2, 2], [2, 8, 2], [2, 2, 8]]) / 12.0
    inner = np.einsum("kc,mcd->mkd", weights, mesh.uv[mesh.triangles])
    over = evaluate(inner[..., 0].ravel(), inner[..., 1].ravel())[0].reshape(*inner.shape[:2], 3)
    return Patch(mesh.corners_mm, -normals if mesh.turned else normals, mesh.triangles, over)


def shell_of(
    body: cq.Solid, part: int, chord_mm: float = CHORD_MM, angle_rad: float = ANGLE_RAD
) -> Shell:
    """A whole solid as a surface."""
    return together(part, False, patches_of(body, chord_mm, angle_rad))


@lru_cache(maxsize=_KEPT)
def patches_of(
    body: cq.Solid, chord_mm: float = CHORD_MM, angle_rad: float = ANGLE_RAD
) -> tuple[Patch, ...]:
    """What is drawn of each face of a solid, kept for the next view of the same solid.

    The mesh is made on a fresh copy.
    """
    from OCP.BRepMesh import BRepMesh_IncrementalMesh

    from shapes.boundary import faces_of
    from shapes.solid import fresh

    shape = fresh(body)
    BRepMesh_IncrementalMesh(shape, chord_mm, False, angle_rad, False)
    return tuple(patch_of(face) for face in faces_of(shape))


def together(part: int, cut: bool, patches: Sequence[Patch]) -> Shell:
    """Patches of one part as one shell."""
    starts = np.cumsum([0, *(len(patch.points_mm) for patch in patches)])
    return Shell(
        part,
        cut,
        np.concatenate([patch.points_mm for patch in patches]),
        np.concatenate([patch.normals for patch in patches]),
        np.concatenate([p.triangles + start for p, start in zip(patches, starts, strict=False)]),
    )


def _normals(evaluate: Evaluate, uv: Array, triangles: Indices) -> Array:
    """Unit normals of a surface at the corners of its triangles.

    Where it has none, as at a pole, it is asked a little to the side, within a triangle.
    """
    normals = np.cross(*evaluate(uv[:, 0], uv[:, 1])[1:])
    size = np.linalg.norm(normals, axis=1)
    lost = size <= 1e-9 * size.max()
    if lost.any():
        middle = uv.copy()
        for k in range(3):
            middle[triangles[:, k]] = uv[triangles].mean(axis=1)
        aside = uv[lost] + _ASIDE * (middle[lost] - uv[lost])
        normals[lost] = np.cross(*evaluate(aside[:, 0], aside[:, 1])[1:])
        size = np.linalg.norm(normals, axis=1)
    return np.asarray(normals / np.where(size > 0.0, size, 1.0)[:, None])
