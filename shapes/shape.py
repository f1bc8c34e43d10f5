"""What every shape family tells of itself, in its own frame, millimetres."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterable, Sequence
from dataclasses import MISSING
from typing import TYPE_CHECKING, NamedTuple, Self

import numpy as np

from shapes.chords import Lines, probed
from shapes.errors import ShapeError
from shapes.moments import Array, Column, Mask, Moments
from shapes.parameters import check_parameters, parameters_of
from shapes.parting import Parting

if TYPE_CHECKING:
    import cadquery as cq

    from shapes.profile import Profile


class Rule(NamedTuple):
    """What parameters must be together.

    Attributes:
        field: the parameter to change first.
        holds: whether it does; for a stack a column of answers.
        says: the sentence for a message, made only when it does not hold.
    """

    field: str
    holds: bool | Mask
    says: Callable[[], str]


class Shape(ABC):
    """A body told twice: as moments that need no CAD kernel, and as a CadQuery solid.

    A family is a frozen dataclass of annotated parameters (see `shapes.parameters`), centred on its
    own origin as drawn, with its own axis along Z.
    """

    def __post_init__(self) -> None:
        check_parameters(self)
        for rule in self.rules():
            if not rule.holds:
                raise ShapeError(rule.field, rule.says())

    @classmethod
    def typical(cls) -> Self:
        """A believable body of the family, for examples, pictures and trials."""
        given = {
            field.name: parameter.typical
            for field, parameter in parameters_of(cls)
            if field.default is MISSING
        }
        return cls(**given)

    def rules(self) -> Iterable[Rule]:
        """What the parameters must be together, beyond the range of each."""
        return ()

    @abstractmethod
    def moments(self) -> Moments:
        """Exact or spectrally accurate moments about the shape's own origin."""

    def rg_error_mm(self) -> float:
        """How far an RG worked out from `moments` may be off.

        Closed forms and Gauss rules that are exact for their integrand leave rounding only.
        """
        return 1e-14 * self.reach_mm(np.zeros(3))

    @abstractmethod
    def solid(self) -> cq.Solid:
        """One valid solid; opens the CAD kernel."""

    @abstractmethod
    def section(self) -> Profile | None:
        """The half-section, where the body is the same all round its Z axis; else None."""

    @abstractmethod
    def reach_mm(self, point: Array) -> float:
        """The greatest distance from a point, shape (3,), to a point of the body."""

    def hull(self) -> Sequence[tuple[Column, Column]]:
        """Points (r, z), mm: the body lies within their convex hull turned about Z.

        Columns for a stack (see `shapes.stack`); no points where a family has no such bound.
        """
        return ()

    @abstractmethod
    def support_mm(self, direction: Array) -> float:
        """How far the body extends along a unit vector, shape (3,): the greatest n . x."""

    @abstractmethod
    def contains(self, points: Array) -> Mask:
        """Shape (n,) of booleans: which of the points, shape (n, 3), lie in the body."""

    def chords(self, lines: Lines) -> Array:
        """Where lines run inside the body: see `shapes.chords`.

        A family that has no formula for it is probed.
        """
        return probed(self.contains, self.reach_mm(np.zeros(3)), lines)

    def chord_error_mm(self) -> float:
        """How far an end of a chord may lie from the surface."""
        return 0.0

    @property
    def reaches_no_farther(self) -> bool:
        """Whether reach and support are bounds that the body itself may stay below."""
        return False

    @property
    def needs_proof(self) -> bool:
        """Whether its parameters alone do not tell that it is one sound solid: see `prove`."""
        return False

    def prove(self) -> None:  # noqa: B027 most families have nothing to add to their rules
        """Raise `ShapeError` when it is not one sound solid; opens the CAD kernel."""

    @property
    def note(self) -> str:
        """What whoever reads the figures should know of the body; mostly nothing."""
        return ""

    def parting(self) -> Parting | None:
        """Where a mould of the body parts and how much draft it has by itself; None if unknown."""
        return None

    @property
    def exact(self) -> bool:
        """Whether `moments` works without the CAD kernel."""
        return True
