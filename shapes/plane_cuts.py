"""What of a plane lies in a solid: a face of the CAD kernel, and its edges."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cadquery as cq
import numpy as np
from OCP.Bnd import Bnd_Box
from OCP.BRepBndLib import BRepBndLib

from shapes.boundary import area_of_face
from shapes.errors import SolidError
from shapes.pieces import Split

if TYPE_CHECKING:
    from collections.abc import Sequence

_BEYOND = 6.0  # times the solid's reach: so large is the plane that is cut


def faces_on(solid: cq.Solid, split: Split) -> list[cq.Face]:
    """The faces in which a plane cuts a solid.

    Raises:
        SolidError: it does not cut it, or the kernel says so.
    """
    box = Bnd_Box()
    BRepBndLib.Add_s(solid.wrapped, box, False)
    reach = max(
        abs(c) for end in (box.CornerMin(), box.CornerMax()) for c in (end.X(), end.Y(), end.Z())
    )
    size = _BEYOND * reach
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
