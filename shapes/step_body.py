"""A body from a STEP file: the solid of one product, weighed by the boundary route."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Annotated

import numpy as np

from shapes.attachment import Attachment
from shapes.chords import Lines
from shapes.closed_mesh import ClosedMesh
from shapes.moments import Array, Mask, Moments, rg_change_mm
from shapes.parameters import Parameter
from shapes.parting import Parting
from shapes.profile import Profile
from shapes.shape import Shape

if TYPE_CHECKING:
    import cadquery as cq

    from shapes.step_files import Found

_CHORD_MM, _ANGLE_RAD = 0.02, 0.1


@dataclass(frozen=True)
class StepBody(Shape):
    """A solid from a STEP file (AP203, AP214 or AP242); the unit is the one that the file says."""

    file: Annotated[Attachment, Parameter("file", "the STEP file")]
    product: Annotated[
        str,
        Parameter("text", "name of the product to take, where the file holds more than one solid"),
    ] = ""
    heal: Annotated[
        str,
        Parameter(
            "word", "whether loose faces may be sewn into a solid; what was done is said",
            words=("no", "yes"),
        ),
    ] = "no"  # fmt: skip

    def _found(self) -> Found:
        from shapes.step_files import solid_in

        return solid_in(self.file, self.product, self.heal == "yes")

    @property
    def exact(self) -> bool:
        """It takes the CAD kernel."""
        return False

    @property
    def needs_proof(self) -> bool:
        """Whether the file holds what is asked for is seen when it is read."""
        return True

    def prove(self) -> None:
        """Read the file; raises `ShapeError` when it does not hold one sound solid."""
        self._found()

    @property
    def note(self) -> str:
        """What was mended, where mending was asked for."""
        return self._found().note

    def moments(self) -> Moments:
        """Contour integrals over the faces, see `shapes.boundary`."""
        return _moments(self, None)

    def rg_error_mm(self) -> float:
        """By how much four more points a span change any RG."""
        return rg_change_mm(self.moments(), _moments(self, 14))

    def section(self) -> Profile | None:
        """Nothing here asks whether it is the same all round."""
        return None

    @property
    def reaches_no_farther(self) -> bool:
        """Reach and support are those of a fine mesh and its sag."""
        return True

    def reach_mm(self, point: Array) -> float:
        """To the farthest corner of a fine mesh, and its sag."""
        mesh, sag = _mesh(self)
        return mesh.reach_mm(point) + sag

    def support_mm(self, direction: Array) -> float:
        """To the foremost corner of a fine mesh, and its sag."""
        mesh, sag = _mesh(self)
        return mesh.support_mm(direction) + sag

    def contains(self, points: Array) -> Mask:
        """Within a fine mesh: right but for points nearer to the surface than its sag."""
        return _mesh(self)[0].contains(points)

    def chords(self, lines: Lines) -> Array:
        """Through a fine mesh: right to its sag."""
        return _mesh(self)[0].chords(lines)

    def chord_error_mm(self) -> float:
        """The sag of that mesh."""
        return _mesh(self)[1]

    def solid(self) -> cq.Solid:
        """As the file has it."""
        return self._found().solid

    def parting(self) -> Parting:
        """The best of three ways, by the draft over a fine mesh."""
        from shapes.measured import parting_of_triangles

        mesh = _mesh(self)[0]
        return parting_of_triangles(mesh.corners_mm[mesh.triangles])


@lru_cache(maxsize=32)
def _moments(shape: StepBody, order: int | None) -> Moments:
    from shapes.boundary import ORDER, moments_of_solid

    return moments_of_solid(shape.solid(), order or ORDER)


@lru_cache(maxsize=16)
def _mesh(shape: StepBody) -> tuple[ClosedMesh, float]:
    from shapes.facets import facets_of

    facets = facets_of(shape.solid(), _CHORD_MM, _ANGLE_RAD)
    return ClosedMesh(facets.corners_mm, np.asarray(facets.triangles)), facets.sag_mm
