"""Closed meshes as binary STL files: written by numpy-stl, read back by trimesh."""

from __future__ import annotations

import io
import struct
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from pipeline.comparison import Comparison, Due, equal, near_mesh
from pipeline.kernel import kernel
from pipeline.meshes import measured, rounding_mm
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
    found = measured("", "", np.asarray(mesh.vertices), np.asarray(mesh.faces))
    return StlFile(header, found.triangles, len(data), found.moments, found.bounds_mm, found.closed)


def compare_stl(file: str, due: Due, found: StlFile, chord_mm: float) -> list[Comparison]:
    """An STL file against the part that it should be, within what its triangles leave out."""
    whole = 84 + 50 * len(due.facets.triangles)
    return [
        equal(file, due.name, "size", whole, found.size_bytes, "bytes"),
        *near_mesh(file, due, found, chord_mm, 2.0 * rounding_mm(due.facets)),
    ]
