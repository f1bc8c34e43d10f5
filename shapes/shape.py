"""What every shape family tells of itself, in its own frame, millimetres."""

from __future__ import annotations

from abc import ABC, abstractmethod
from typing import TYPE_CHECKING

from shapes.moments import Array, Mask, Moments
from shapes.parameters import check_parameters

if TYPE_CHECKING:
    import cadquery as cq

    from shapes.profile import Profile


class Shape(ABC):
    """A body told twice: as moments that need no CAD kernel, and as a CadQuery solid.

    A family is a frozen dataclass of annotated parameters (see `shapes.parameters`), centred on its
    own origin as drawn, with its own axis along Z.
    """

    def __post_init__(self) -> None:
        check_parameters(self)

    @abstractmethod
    def moments(self) -> Moments:
        """Exact or spectrally accurate moments about the shape's own origin."""

    @abstractmethod
    def solid(self) -> cq.Solid:
        """One valid solid; opens the CAD kernel."""

    @abstractmethod
    def section(self) -> Profile | None:
        """The half-section, where the body is the same all round its Z axis; else None."""

    @abstractmethod
    def reach_mm(self, point: Array) -> float:
        """The greatest distance from a point, shape (3,), to a point of the body."""

    @abstractmethod
    def support_mm(self, direction: Array) -> float:
        """How far the body extends along a unit vector, shape (3,): the greatest n . x."""

    @abstractmethod
    def contains(self, points: Array) -> Mask:
        """Shape (n,) of booleans: which of the points, shape (n, 3), lie in the body."""
