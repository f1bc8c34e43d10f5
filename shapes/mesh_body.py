"""A body from a triangle mesh in a file, STL or 3MF: exact for the polyhedron that it is."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Annotated

import numpy as np

from shapes.attachment import Attachment
from shapes.chords import Lines
from shapes.closed_mesh import ClosedMesh
from shapes.errors import ShapeError
from shapes.mesh_checks import checked
from shapes.mesh_files import read_mesh
from shapes.moments import Array, Mask, Moments
from shapes.parameters import Parameter
from shapes.parting import Parting
from shapes.profile import Profile
from shapes.shape import Shape

if TYPE_CHECKING:
    import cadquery as cq

UNITS_MM = {"mm": 1.0, "cm": 10.0, "in": 25.4, "m": 1000.0}
MOST_TRIANGLES = 20_000  # of a solid for the CAD kernel: one flat face each


@dataclass(frozen=True)
class MeshBody(Shape):
    """A closed triangle mesh from an STL or a 3MF file; it weighs as the polyhedron that it is."""

    file: Annotated[Attachment, Parameter("file", "the STL or 3MF file")]
    unit: Annotated[
        str, Parameter("word", "what one unit of the file's numbers is", words=tuple(UNITS_MM))
    ]

    def __post_init__(self) -> None:
        super().__post_init__()
        self._mesh()

    def _mesh(self) -> ClosedMesh:
        return _read(self.file, self.unit)

    def moments(self) -> Moments:
        """Of the polyhedron, see `shapes.closed_mesh`."""
        return _moments(self.file, self.unit)

    def section(self) -> Profile | None:
        """A mesh is not the same all round."""
        return None

    def reach_mm(self, point: Array) -> float:
        """To its farthest corner."""
        return self._mesh().reach_mm(point)

    def support_mm(self, direction: Array) -> float:
        """To its foremost corner."""
        return self._mesh().support_mm(direction)

    def contains(self, points: Array) -> Mask:
        """See `shapes.closed_mesh`."""
        return self._mesh().contains(points)

    def chords(self, lines: Lines) -> Array:
        """See `shapes.closed_mesh`."""
        return self._mesh().chords(lines)

    def solid(self) -> cq.Solid:
        """One flat face a triangle; raises `SolidError` when there are too many of them."""
        from shapes.flat_faced import flat_faced

        return flat_faced(self._mesh(), MOST_TRIANGLES)

    def parting(self) -> Parting:
        """The best of three ways, by the draft of its triangles."""
        from shapes.measured import parting_of_triangles

        mesh = self._mesh()
        return parting_of_triangles(mesh.corners_mm[mesh.triangles])


@lru_cache(maxsize=16)
def _read(file: Attachment, unit: str) -> ClosedMesh:
    corners, own_unit_mm = read_mesh(file.data)
    scale = UNITS_MM[unit]
    if own_unit_mm is not None and abs(own_unit_mm / scale - 1.0) > 1e-9:
        raise ShapeError(
            "unit", f"the file {file.name} says that its unit is {own_unit_mm:g} mm; write that one"
        )
    if not np.isfinite(corners).all():
        raise ShapeError("file", f"{file.name} holds coordinates that are no finite numbers")
    return checked(corners * scale, file.name)


@lru_cache(maxsize=16)
def _moments(file: Attachment, unit: str) -> Moments:
    return _read(file, unit).moments()
