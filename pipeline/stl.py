"""Closed meshes as binary STL files: written by numpy-stl, read back by trimesh."""

from __future__ import annotations

import io
import struct
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from pipeline.kernel import kernel
from shapes.moments import Array, Moments

if TYPE_CHECKING:
    from shapes.facets import Facets

CHORD_MM = (
    0.05  # stated for every STL file; the kernel is asked for less and does not quite keep it
)


@dataclass(frozen=True, eq=False)
class StlFile:
    """A binary STL file.

    Attributes:
        header: its text.
        triangles: as the file says.
        size_bytes: of the file; 84 + 50 a triangle when it is whole.
        moments: about the origin, in the file's own unit; zero when the file is not whole.
        bounds_mm: shape (2, 3); zero when the file is not whole.
        closed: every side of a triangle is run along as often one way as the other.
    """

    header: str
    triangles: int
    size_bytes: int
    moments: Moments
    bounds_mm: Array
    closed: bool


def joined(meshes: Sequence[Facets]) -> Facets:
    """The meshes of a part's lumps as one; each stays closed on its own."""
    with kernel():
        from shapes.facets import Facets

    starts = np.cumsum([0, *(len(mesh.corners_mm) for mesh in meshes)])
    return Facets(
        np.concatenate([mesh.corners_mm for mesh in meshes]),
        np.concatenate([m.triangles + start for m, start in zip(meshes, starts, strict=False)]),
        np.concatenate([mesh.sags_mm for mesh in meshes]),
    )


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


def write_stl(facets: Facets, path: Path, header: str) -> None:
    """Write a mesh as binary STL: 80 bytes of header, a count, 50 bytes a triangle.

    Args:
        facets: mm, counter-clockwise seen from outside.
        path: the file to write.
        header: ASCII, at most 80 characters, such as 'mm; chord <= 0.05 mm'; it must not begin with
            'solid', which readers take for the other, textual kind of file.

    Raises:
        ValueError: the header cannot be written.
        OSError: the file cannot be written.
    """
    if not header.isascii() or len(header) > 80 or header.lower().startswith("solid"):
        raise ValueError(f"'{header}' is no header of a binary STL file")
    from stl import Mode
    from stl.mesh import Mesh

    class Dateless(Mesh):  # the library's own header carries the time of writing
        def get_header(self, name: str | bytes) -> str:  # noqa: ARG002
            return header.ljust(80)

    data = np.zeros(len(facets.triangles), dtype=Mesh.dtype)
    data["vectors"] = facets.corners_mm[facets.triangles]
    mesh = Dateless(data, calculate_normals=False)
    mesh.update_normals()
    data["normals"] = mesh.get_unit_normals()
    # by way of memory: written straight to a full disk, the array does not say why it failed
    file = io.BytesIO()
    mesh.save(path.name, file, mode=Mode.BINARY, update_normals=False)
    path.write_bytes(file.getvalue())


def read_stl(path: Path) -> StlFile:
    """Read a binary STL file; what is not whole is reported, not repaired."""
    data = path.read_bytes()
    header = data[:80].decode("ascii", "replace").rstrip(" \0")
    triangles = struct.unpack_from("<I", data, 80)[0] if len(data) >= 84 else 0
    if not triangles or len(data) != 84 + 50 * triangles:
        return StlFile(header, triangles, len(data), Moments.zero(), np.zeros((2, 3)), False)
    import trimesh

    mesh = trimesh.load_mesh(io.BytesIO(data), file_type="stl")
    with kernel():
        from shapes.facets import Facets, moments_of_facets

        corners = np.asarray(mesh.vertices, dtype=float)
        faces = np.asarray(mesh.faces, dtype=np.int64)
        moments = moments_of_facets(Facets(corners, faces, np.zeros(len(faces))))
    closed = _balanced(faces, len(corners))
    return StlFile(header, len(faces), len(data), moments, bounds_of(corners), closed)


def _balanced(faces: npt.NDArray[np.int64], corners: int) -> bool:
    """Whether every side is run along as often one way as the other."""
    ends = np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    ends = ends[ends[:, 0] != ends[:, 1]]
    there = np.sort(ends[:, 0] * corners + ends[:, 1])
    back = np.sort(ends[:, 1] * corners + ends[:, 0])
    return bool(np.array_equal(there, back))
