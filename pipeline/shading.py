"""Normals for meshes that are looked at: smooth where the surface is, sharp at its edges."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from shapes.moments import Array

if TYPE_CHECKING:
    from shapes.facets import Facets

CREASE_DEG = 30.0  # facets that meet at less are one smooth surface


def shaded(
    facets: Facets, crease_deg: float = CREASE_DEG
) -> tuple[npt.NDArray[np.int64], Array, npt.NDArray[np.int64]]:
    """Corners with normals, split where the surface has an edge.

    Args:
        facets: the mesh.
        crease_deg: between two facets at a corner; at less they share a normal, each facet with
            all those about the corner that turn by less against itself, weighted by their angles.

    Returns:
        Of shape (n,), which corner of the mesh each is; shape (n, 3), unit normals outwards; and
        shape (m, 3), the triangles by the new corners.
    """
    triangles = facets.triangles
    corners = facets.corners_mm[triangles]
    facing = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    facing /= np.maximum(np.linalg.norm(facing, axis=1), 1e-300)[:, None]
    weights = _angles(corners).ravel()
    order = np.argsort(triangles.ravel(), kind="stable")
    vertex = triangles.ravel()[order]
    counts = np.bincount(vertex, minlength=len(facets.corners_mm))
    first = (np.cumsum(counts) - counts)[vertex]
    # every facet about a corner with every facet about it
    size = counts[vertex]
    one = np.repeat(np.arange(len(vertex)), size)
    other = np.arange(len(one)) - np.repeat(np.cumsum(size) - size, size) + np.repeat(first, size)
    a, b = order[one], order[other]
    turn = np.einsum("ij,ij->i", facing[a // 3], facing[b // 3])
    flat = np.asarray(
        np.abs(facing).max(axis=1) == 0.0
    )  # a sliver faces nowhere: it takes the normal of all about it
    smooth = (turn >= np.cos(np.radians(crease_deg))) | flat[a // 3]
    share = facing[b // 3] * (weights[b] * smooth)[:, None]
    sums = np.column_stack(
        [np.bincount(a, weights=share[:, k], minlength=triangles.size) for k in range(3)]
    )
    normals: Array = sums / np.maximum(np.linalg.norm(sums, axis=1), 1e-300)[:, None]
    keys = np.column_stack([triangles.ravel(), np.round(normals * 1e4).astype(np.int64)])
    _, at, index = np.unique(keys, axis=0, return_index=True, return_inverse=True)
    return triangles.ravel()[at], normals[at], index.reshape(-1, 3).astype(np.int64)


def _angles(corners: Array) -> Array:
    """Shape (m, 3), the angle of each triangle at each of its corners."""
    found = []
    for k in range(3):
        a = corners[:, (k + 1) % 3] - corners[:, k]
        b = corners[:, (k + 2) % 3] - corners[:, k]
        across = np.linalg.norm(np.cross(a, b), axis=1)
        found.append(np.arctan2(across, np.einsum("ij,ij->i", a, b)))
    return np.column_stack(found)
