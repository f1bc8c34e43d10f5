"""A body's surface in small facets, each with what the CAD surface says exactly at its middle."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from OCP.BRepMesh import BRepMesh_IncrementalMesh

from shapes.boundary import faces_of
from shapes.facets import merged_corners, mesh_of_face
from shapes.moments import Array, Indices
from shapes.net import Net, Value, cut, halved, settled
from shapes.solid import fresh
from shapes.surfaces import surface_of
from shapes.triples import cross, length

if TYPE_CHECKING:
    import cadquery as cq

CHORD_MM = 0.1
ANGLE_RAD = 0.15
_SIDES = 24.0  # of the longest side go into the diagonal of the body's box
_TIP_MM = 1e-7  # a turn of u that moves a point by less a radian is none
_STEP = 1e-3  # of a facet's extent in u and v, over which its normals are differenced


@dataclass(frozen=True, eq=False)
class Skin:
    """The surface of a body in n facets.

    Attributes:
        net: the closed mesh, with places on the CAD surfaces.
        middles_mm: shape (n, 3), on the exact surface, at the middle of the corners' u and v.
        normals: shape (n, 3), exact outward unit normals at the middles.
        corner_normals: shape (n, 3, 3), the same at each facet's three corners, on its own face.
        areas_mm2: shape (n,), of the surface above each facet, by the rule for triangles that is
            exact for squares; a curved rim of a face counts as the chords of the mesh, and a facet
            with a pole for its corner as flat.
    """

    net: Net
    middles_mm: Array
    normals: Array
    corner_normals: Array
    areas_mm2: Array

    def __len__(self) -> int:
        return len(self.normals)

    @property
    def corners_mm(self) -> Array:
        """Shape (k, 3)."""
        return self.net.corners_mm

    @property
    def triangles(self) -> Indices:
        """Shape (n, 3), indices into the corners, counter-clockwise seen from outside."""
        return self.net.triangles

    @property
    def faces(self) -> Indices:
        """Shape (n,), the CAD face of each facet, as `shapes.boundary.faces_of` counts them."""
        return self.net.faces

    @property
    def most_curved_per_mm(self) -> Array:
        """Shape (n,), largest normal curvature at the middles, positive where the body bulges.

        By central differences of the exact normals, to 1e-6 of itself.
        """
        return self._curvatures[0]

    @property
    def least_curved_per_mm(self) -> Array:
        """Shape (n,), the smallest."""
        return self._curvatures[1]

    @cached_property
    def _curvatures(self) -> tuple[Array, Array]:
        return _curved(self.net)

    @property
    def flat_middles_mm(self) -> Array:
        """Shape (n, 3), the middles of the flat triangles."""
        a, b, c = (self.corners_mm.take(self.triangles[:, k], axis=0) for k in range(3))
        return np.asarray((a + b + c) / 3.0)

    @property
    def area_mm2(self) -> float:
        """Of all facets."""
        return float(self.areas_mm2.sum())

    @property
    def sag_mm(self) -> float:
        """The greatest distance, along the normal, of a flat triangle's middle from the surface."""
        away = np.einsum("ij,ij->i", self.middles_mm - self.flat_middles_mm, self.normals)
        return float(np.abs(away).max())


def skin_of(
    solid: cq.Solid,
    chord_mm: float = CHORD_MM,
    angle_rad: float = ANGLE_RAD,
    side_mm: float | None = None,
) -> Skin:
    """The skin of a solid.

    Args:
        solid: left untouched.
        chord_mm: distance between mesh and surface that the kernel is asked for, absolute.
        angle_rad: greatest turn of the normal within a triangle.
        side_mm: longest side of a triangle that is not a mere sliver, a 24th of the diagonal of
            the body's box where none is given; the kernel alone leaves a flat face in triangles
            as long as itself.
    """
    shape = fresh(solid)
    BRepMesh_IncrementalMesh(shape, chord_mm, False, angle_rad, False)
    faces = faces_of(shape)
    surfaces = tuple(surface_of(face) for face in faces)
    meshes = [mesh_of_face(face) for face in faces]
    uv, tips, count = [], [], 0
    triangles, owners = [], []
    for k, (mesh, surface) in enumerate(zip(meshes, surfaces, strict=True)):
        _, along, across = surface.evaluate(mesh.uv[:, 0], mesh.uv[:, 1])
        tip = np.where(np.linalg.norm(across, axis=1) < _TIP_MM, 2, 0)
        tip[np.linalg.norm(along, axis=1) < _TIP_MM] = 1
        tips.append(tip[mesh.triangles])
        uv.append(settled(mesh.uv[mesh.triangles], tips[-1]))
        triangles.append(mesh.triangles + count)
        owners.append(np.full(len(mesh.triangles), k))
        count += len(mesh.corners_mm)
    corners, joined, proper = merged_corners(
        np.concatenate([mesh.corners_mm for mesh in meshes]), np.concatenate(triangles)
    )
    net = Net(
        surfaces,
        np.array([-1.0 if mesh.turned else 1.0 for mesh in meshes]),
        corners,
        joined,
        np.concatenate(uv)[proper],
        np.concatenate(tips)[proper],
        np.concatenate(owners)[proper],
    )
    longest = float(np.linalg.norm(np.ptp(corners, axis=0))) / _SIDES
    net = halved(net, longest if side_mm is None else side_mm)
    return Skin(net, *_measured(net, np.arange(len(net))))


def cut_skin(skin: Skin, values: Array, value: Value, near: float) -> tuple[Skin, Indices]:
    """A skin cut along the zero of a function, see `shapes.net.cut`.

    Returns:
        The skin, and for each of its facets the one that it is a part of.
    """
    net, parent = cut(skin.net, values, value, near)
    whole = np.bincount(parent, minlength=len(skin))[parent] == 1  # these come first
    kept, new = parent[whole], np.flatnonzero(~whole)
    middles, normals, corner_normals, areas = _measured(net, new)
    made = Skin(
        net,
        np.concatenate([skin.middles_mm.take(kept, axis=0), middles]),
        np.concatenate([skin.normals.take(kept, axis=0), normals]),
        np.concatenate([skin.corner_normals.take(kept, axis=0), corner_normals]),
        np.concatenate([skin.areas_mm2[kept], areas]),
    )
    return made, parent


def _measured(net: Net, rows: Indices) -> tuple[Array, Array, Array, Array]:
    """Middles, normals there and at the corners, and areas of some facets."""
    middles, normals, size = net.at_middles(rows)
    corner_normals, sizes = net.at_corners(rows)
    uv = net.uv.take(rows, axis=0)
    (ax, ay), (bx, by) = ((uv[:, k] - uv[:, 0]).T for k in (1, 2))
    stretch = 0.75 * size + (sizes[:, 0] + sizes[:, 1] + sizes[:, 2]) / 12.0
    areas = np.abs(ax * by - ay * bx) / 2.0 * stretch
    tips = net.tips.take(rows, axis=0)
    tip = (tips[:, 0] | tips[:, 1] | tips[:, 2]) > 0  # its place in u and v is no triangle
    a, b, c = np.moveaxis(net.corners_mm[net.triangles[rows[tip]]], 1, 0)
    areas[tip] = length(cross(b - a, c - a)) / 2.0
    return middles, normals, corner_normals, areas


def _curved(net: Net) -> tuple[Array, Array]:
    """Largest and smallest normal curvature: eigenvalues of the shape operator, N_i = W_ij S_j."""
    rows = np.arange(len(net))
    a, b, c = np.moveaxis(net.uv, 1, 0)
    middle = (a + b + c) / 3.0
    steps = _STEP * (np.maximum(np.maximum(a, b), c) - np.minimum(np.minimum(a, b), c))
    for step in steps.T:  # no sliver's is next to nothing
        largest = np.zeros(len(net.surfaces))
        np.maximum.at(largest, net.faces, step)
        np.maximum(step, _STEP * largest[net.faces], out=step)
    slopes, turns = [], []
    for axis in (0, 1):
        step = np.zeros_like(middle)
        step[:, axis] = steps[:, axis]
        after, before = net.at(rows, middle + step), net.at(rows, middle - step)
        slopes.append((after[0] - before[0]) / (2.0 * steps[:, axis, None]))
        turns.append((after[1] - before[1]) / (2.0 * steps[:, axis, None]))
    (e, f), (_, g) = ([np.einsum("ij,ij->i", a, b) for b in slopes] for a in slopes)
    (ll, lm), (ml, mm) = ([np.einsum("ij,ij->i", a, b) for b in slopes] for a in turns)
    det = e * g - f * f
    w11, w12 = (ll * g - lm * f) / det, (lm * e - ll * f) / det
    w21, w22 = (ml * g - mm * f) / det, (mm * e - ml * f) / det
    mean = (w11 + w22) / 2.0
    half = np.sqrt(np.maximum(((w11 - w22) / 2.0) ** 2 + w12 * w21, 0.0))
    return mean + half, mean - half
