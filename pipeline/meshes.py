"""Triangle meshes as files carry them: what goes in, what comes out, what triangles leave out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from pipeline.kernel import kernel
from shapes.moments import Array, Moments

if TYPE_CHECKING:
    from shapes.facets import Facets


@dataclass(frozen=True, eq=False)
class MeshPart:
    """A body to be written as triangles.

    Attributes:
        name: of the body.
        colour: '#RRGGBB', as seen on a screen (sRGB).
        facets: mm, counter-clockwise seen from outside.
    """

    name: str
    colour: str
    facets: Facets


@dataclass(frozen=True, eq=False)
class MeshBody:
    """A body as it was read from a file of triangles.

    Attributes:
        name, colour: '' where the file has none.
        triangles: how many.
        moments: about the origin, mm; zero where there are no triangles.
        bounds_mm: shape (2, 3); zero where there are no triangles.
        closed: every side of a triangle is run along as often one way as the other.
    """

    name: str
    colour: str
    triangles: int
    moments: Moments
    bounds_mm: Array
    closed: bool


@dataclass(frozen=True, eq=False)
class MeshFile:
    """A file of several bodies; `unit` is 'mm', or what else it says."""

    unit: str
    bodies: tuple[MeshBody, ...]


def bounds_of(corners_mm: Array) -> Array:
    """Shape (2, 3), the least and the greatest coordinates of points, shape (n, 3)."""
    return np.array([corners_mm.min(axis=0), corners_mm.max(axis=0)])


def rounding_mm(facets: Facets) -> float:
    """How far a corner moves at most when its coordinates become single precision."""
    return 2.0**-23 * float(np.abs(facets.corners_mm).max())


def left_out(facets: Facets, about_mm: Array) -> tuple[float, float]:
    """The most volume that lies between a mesh and its surface, mm3, and its moment, mm4.

    A sum over the triangles of area times sag, with what single precision adds; the moment takes
    each triangle at its farthest corner from a point, shape (3,).
    """
    corners = facets.corners_mm[facets.triangles]
    cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    area = np.linalg.norm(cross, axis=1) / 2.0
    shell = area * (facets.sags_mm + rounding_mm(facets))
    reach = np.linalg.norm(corners - about_mm, axis=2).max(axis=1)
    return float(shell.sum()), float((shell * reach).sum())


def measured(
    name: str, colour: str, corners_mm: Array, triangles: npt.NDArray[np.int64]
) -> MeshBody:
    """A mesh measured as it stands.

    Args:
        name: as the file has it.
        colour: as the file has it.
        corners_mm: shape (n, 3); corners at one place must be one corner.
        triangles: shape (m, 3), indices into the corners.
    """
    if not len(triangles):
        return MeshBody(name, colour, 0, Moments.zero(), np.zeros((2, 3)), False)
    with kernel():
        from shapes.facets import Facets, moments_of_facets

        corners = np.asarray(corners_mm, dtype=float)
        faces = np.asarray(triangles, dtype=np.int64)
        moments = moments_of_facets(Facets(corners, faces, np.zeros(len(faces))))
    closed = _balanced(faces, len(corners))
    return MeshBody(name, colour, len(faces), moments, bounds_of(corners), closed)


def _balanced(faces: npt.NDArray[np.int64], corners: int) -> bool:
    """Whether every side is run along as often one way as the other."""
    ends = np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    ends = ends[ends[:, 0] != ends[:, 1]]
    there = np.sort(ends[:, 0] * corners + ends[:, 1])
    back = np.sort(ends[:, 1] * corners + ends[:, 0])
    return bool(np.array_equal(there, back))
