"""The mirror image of a shape."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated

import numpy as np

from shapes.chords import Lines
from shapes.moments import Array, Mask, Moments
from shapes.parameters import Parameter
from shapes.parting import Parting
from shapes.placed import Placed
from shapes.placement import Placement
from shapes.profile import Profile
from shapes.shape import Shape

if TYPE_CHECKING:
    import cadquery as cq

_FLIP = np.array([1.0, -1.0, 1.0])  # across the shape's own x-z plane
PLANES = {"x": (-1.0, 1.0, 1.0), "y": (1.0, -1.0, 1.0), "z": (1.0, 1.0, -1.0)}


def image(body: Placed, across: str) -> Placed:
    """The image of a placed body in the plane through the origin square to x, y or z.

    With S the reflection, R and t the placement and F a flip of the shape in its own frame,
    S (R s + t) = (S R F)(F s) + S t; S R F is a rotation again.
    """
    plane = np.array(PLANES[across])
    rotation = plane[:, None] * body.placement.rotation() * _FLIP
    place = Placement.of(rotation, plane * body.placement.offset())
    if isinstance(body.shape, Flipped):
        return Placed(body.shape.shape, place)
    same_all_round = body.shape.section() is not None
    return Placed(body.shape if same_all_round else Flipped(body.shape), place)


@dataclass(frozen=True)
class Flipped(Shape):
    """A shape seen in a mirror that stands in its own x-z plane."""

    shape: Annotated[Shape, Parameter("shape", "what is mirrored")]

    def moments(self) -> Moments:
        """As those of the shape, with y negated."""
        return self.shape.moments().turned(np.diag(_FLIP))

    def rg_error_mm(self) -> float:
        """As that of the shape."""
        return self.shape.rg_error_mm()

    def section(self) -> Profile | None:
        """A body that is the same all round is its own image."""
        return self.shape.section()

    def reach_mm(self, point: Array) -> float:
        """As far as the shape reaches from the mirrored point."""
        return self.shape.reach_mm(point * _FLIP)

    def support_mm(self, direction: Array) -> float:
        """As far as the shape extends along the mirrored direction."""
        return self.shape.support_mm(direction * _FLIP)

    def contains(self, points: Array) -> Mask:
        """Whether the shape contains the mirrored points."""
        return self.shape.contains(points * _FLIP)

    def chords(self, lines: Lines) -> Array:
        """Where the mirrored lines run inside the shape."""
        return self.shape.chords(Lines(lines.start * _FLIP, lines.way * _FLIP))

    def chord_error_mm(self) -> float:
        """As that of the shape."""
        return self.shape.chord_error_mm()

    def parting(self) -> Parting | None:
        """The shape's, mirrored."""
        found = self.shape.parting()
        if found is None:
            return None
        x, y, z = found.normal
        return Parting((x, -y, z), found.height_mm, found.draft_deg)

    def solid(self) -> cq.Solid:
        """The shape's solid, mirrored."""
        from shapes import solid

        return solid.flipped(self.shape.solid())

    @property
    def needs_proof(self) -> bool:
        """As the shape."""
        return self.shape.needs_proof

    def prove(self) -> None:
        """As the shape."""
        self.shape.prove()

    @property
    def note(self) -> str:
        """As the shape."""
        return self.shape.note

    @property
    def reaches_no_farther(self) -> bool:
        """As the shape."""
        return self.shape.reaches_no_farther

    @property
    def exact(self) -> bool:
        """As the shape."""
        return self.shape.exact
