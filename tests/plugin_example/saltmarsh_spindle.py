"""A spindle: what a circular arc sweeps when it is turned about its own chord."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

import numpy as np

from shapes.curves import Arc, Curve
from shapes.parameters import Parameter
from shapes.revolved import Revolved
from shapes.shape import Rule


@dataclass(frozen=True)
class Spindle(Revolved):
    """A spindle, pointed at both ends; its flank is an arc.

    >>> round(Spindle(2.0, 2.0).moments().volume_mm3, 6)  # as wide as it is long: a ball
    4.18879
    """

    diameter: Annotated[float, Parameter("length", "width at the middle", above=0.0)] = 90.0
    length: Annotated[float, Parameter("length", "from point to point", above=0.0)] = 140.0

    def rules(self) -> Iterator[Rule]:
        """It is no wider than long."""
        yield Rule(
            "length",
            self.length >= self.diameter,
            lambda: f"{self.length:g} mm is less than the diameter, {self.diameter:g} mm",
        )

    def outline(self) -> tuple[Curve, ...]:
        """One arc, from the lower point to the upper one."""
        half, middle = self.length / 2.0, self.diameter / 2.0
        radius = (half * half + middle * middle) / (2.0 * middle)
        turn = np.arctan2(half, radius - middle)
        return (Arc((middle - radius, 0.0 * half), (radius, radius), -turn, 2.0 * turn),)
