"""A shape where it stands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from shapes.chords import Lines
from shapes.moments import Array, Mask, Moments
from shapes.placement import AS_DRAWN, Placement
from shapes.profile import Profile
from shapes.shape import Shape
from shapes.sphere import Sphere

_SAME = 1e-9  # mm, or of a unit vector: nearer than this, two axes are one


@dataclass(frozen=True)
class Placed:
    """A shape and its placement in the ball frame; all results are in that frame."""

    shape: Shape
    placement: Placement = AS_DRAWN

    def moments(self) -> Moments:
        """About the ball's centre, from the shape's own parameters."""
        return self.placement.place(self.shape.moments())

    def reach_mm(self, point: Array) -> float:
        """Greatest distance from a point to the body."""
        return _reach(self.shape, *(float(x) for x in self.placement.to_shape(point)))

    def support_mm(self, direction: Array) -> float:
        """Greatest n . x over the body."""
        turned = direction @ self.placement.rotation()
        return self.shape.support_mm(turned) + float(direction @ self.placement.offset())

    def contains(self, points: Array) -> Mask:
        """Which of the points, shape (n, 3), lie in the body."""
        return self.shape.contains(self.placement.to_shape(points))

    def chords(self, lines: Lines) -> Array:
        """Where lines run inside the body: see `shapes.chords`."""
        turn = self.placement.rotation()
        return self.shape.chords(Lines(self.placement.to_shape(lines.start), lines.way @ turn))

    def axis(self) -> Array:
        """The shape's own Z axis, a unit vector."""
        return self.placement.rotation()[:, 2]


@lru_cache(maxsize=1024)
def _reach(shape: Shape, x: float, y: float, z: float) -> float:
    """Kept, since it is asked again and again from the ball's centre."""
    return shape.reach_mm(np.array([x, y, z]))


def coaxial_sections(bodies: Sequence[Placed]) -> list[Profile] | None:
    """The half-sections of bodies that are the same all round one axis; None when there is none.

    A sphere is the same all round every axis through its centre.
    """
    if any(body.shape.section() is None for body in bodies):
        return None
    frame = common_axis(bodies)
    if frame is None:
        return None
    origin, axis = frame
    sections = []
    for body in bodies:
        shift = body.placement.offset() - origin
        along = float(shift @ axis)
        section = body.shape.section()
        leans = not isinstance(body.shape, Sphere)
        cosine = float(body.axis() @ axis)
        if section is None or np.linalg.norm(shift - along * axis) > _SAME:
            return None
        if leans and np.linalg.norm(body.axis() - np.sign(cosine) * axis) > _SAME:
            return None
        if leans and cosine < 0.0:
            section = section.overturned()
        sections.append(section.raised(along))
    return sections


def common_axis(bodies: Sequence[Placed]) -> tuple[Array, Array] | None:
    """A point and the direction of the only axis that could be common to all."""
    for body in bodies:
        if not isinstance(body.shape, Sphere):
            return body.placement.offset(), body.axis()
    centres = [body.placement.offset() for body in bodies]
    for centre in centres[1:]:
        apart = centre - centres[0]
        if np.linalg.norm(apart) > _SAME:
            return centres[0], apart / np.linalg.norm(apart)
    return centres[0], np.array([0.0, 0.0, 1.0])
