"""What of a plane lies in a solid: a face of the CAD kernel, and its edges."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cadquery as cq
import numpy as np

from shapes.boundary import area_of_face
from shapes.errors import SolidError
from shapes.pieces import Split

if TYPE_CHECKING:
    from collections.abc import Sequence

_BEYOND = 4.0  # times the solid's size: so large is the plane that is cut


def faces_on(solid: cq.Solid, split: Split) -> list[cq.Face]:
    """The faces in which a plane cuts a solid.

    Raises:
        SolidError: it does not cut it, or the kernel says so.
    """
    box = solid.BoundingBox()
    size = _BEYOND * (box.DiagonalLength + abs(split.height_mm))
    origin = split.height_mm * np.array(split.normal)
    plane = cq.Face.makePlane(size, size, cq.Vector(*origin), cq.Vector(*split.normal))
    faces = plane.intersect(solid).Faces()
    if not faces:
        raise SolidError("a parting plane came out of the kernel without meeting its body")
    return faces


def edges_on(solid: cq.Solid, split: Split) -> list[cq.Edge]:
    """The edges of these faces."""
    return [edge for face in faces_on(solid, split) for edge in face.Edges()]


def area_mm2(faces: Sequence[cq.Face]) -> float:
    """Of faces together."""
    return float(sum(area_of_face(face.wrapped)[0] for face in faces))
