"""A body turned from a half-section that is given curve by curve: no family of design files."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from shapes.curves import Curve
from shapes.outline import check_outline
from shapes.parameters import Parameter
from shapes.revolved import Revolved


@dataclass(frozen=True)
class Outlined(Revolved):
    """A body of revolution whose half-section is made elsewhere, such as one cut down.

    >>> from shapes.curves import Line
    >>> cone = Outlined((Line((0.0, 0.0), (3.0, 0.0)), Line((3.0, 0.0), (0.0, 4.0))))
    >>> round(cone.moments().volume_mm3, 6)
    37.699112
    """

    curves: Annotated[
        tuple[Curve, ...],
        Parameter("profile", "half-section from the lower axis point to the upper one"),
    ]

    def __post_init__(self) -> None:
        super().__post_init__()
        check_outline(list(enumerate(self.curves)))

    def outline(self) -> tuple[Curve, ...]:
        """The curves as they were given."""
        return self.curves
