"""A ball with a cap on either end, and a ball with flats or recesses at its ends."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

import numpy as np

from shapes.curves import Arc, Curve, Line
from shapes.parameters import Parameter
from shapes.revolved import Revolved
from shapes.shape import Rule


@dataclass(frozen=True)
class Capped(Revolved):
    """A ball with a flat cylindrical cap standing out of its upper end, its lower end or both.

    >>> round(Capped(60.0, 20.0, 5.0, 5.0).section().curves[0].start[1], 6)
    -35.0
    """

    diameter: Annotated[float, Parameter("length", "width of the ball", above=0.0)] = 108.0
    cap_diameter: Annotated[float, Parameter("length", "width of the caps", above=0.0)] = 62.0
    upper: Annotated[
        float, Parameter("length", "how far the upper cap stands out of the ball", at_least=0.0)
    ] = 11.0
    lower: Annotated[
        float, Parameter("length", "how far the lower cap stands out of the ball", at_least=0.0)
    ] = 11.0

    def rules(self) -> Iterator[Rule]:
        """The caps are narrower than the ball."""
        yield Rule(
            "cap_diameter",
            self.cap_diameter < self.diameter,
            lambda: f"{self.cap_diameter:g} mm is not less than diameter, {self.diameter:g} mm",
        )

    def outline(self) -> tuple[Curve, ...]:
        """Cap, the ball between the caps, cap."""
        radius, cap = self.diameter / 2.0, self.cap_diameter / 2.0
        low, high = -radius - self.lower, radius + self.upper
        angle = np.arccos(cap / radius)
        side, nothing = radius * np.sin(angle), 0.0 * radius
        return (
            Line((nothing, low), (cap, low)),
            Line((cap, low), (cap, -side)),
            Arc((nothing, nothing), (radius, radius), -angle, 2.0 * angle),
            Line((cap, side), (cap, high)),
            Line((cap, high), (nothing, high)),
        )


@dataclass(frozen=True)
class Recessed(Revolved):
    """A ball with round recesses let into its ends; a recess of no depth is a flat.

    >>> round(Recessed(2.0, 0.0, 0.0, 0.0, 0.0).moments().volume_mm3, 6)  # nothing taken: a ball
    4.18879
    """

    diameter: Annotated[float, Parameter("length", "width of the ball", above=0.0)] = 178.0
    upper_diameter: Annotated[
        float, Parameter("length", "width of the upper flat or recess; 0 for none", at_least=0.0)
    ] = 76.0
    upper_depth: Annotated[
        float, Parameter("length", "depth of the upper recess below its rim", at_least=0.0)
    ] = 8.0
    lower_diameter: Annotated[
        float, Parameter("length", "width of the lower flat or recess; 0 for none", at_least=0.0)
    ] = 60.0
    lower_depth: Annotated[
        float, Parameter("length", "depth of the lower recess below its rim", at_least=0.0)
    ] = 0.0

    def rules(self) -> Iterator[Rule]:
        """Rims on the ball, floors that leave a body between them."""
        for end in ("upper", "lower"):
            width, depth = getattr(self, f"{end}_diameter"), getattr(self, f"{end}_depth")
            yield Rule(
                f"{end}_diameter",
                width < self.diameter,
                lambda width=width: (  # type: ignore[misc]
                    f"{width:g} mm is not less than diameter, {self.diameter:g} mm"
                ),
            )
            yield Rule(
                f"{end}_depth",
                (width > 0.0) | (depth == 0.0),
                lambda depth=depth, end=end: (  # type: ignore[misc]
                    f"{depth:g} mm of depth with {end}_diameter 0, which stands for no recess"
                ),
            )
        low, high = self._floor("lower"), self._floor("upper")
        yield Rule(
            "upper_depth",
            low + high > 1e-6 * self.diameter,
            lambda: "the two recesses meet, so that no single body is left; take less depth",
        )

    def _rim(self, end: str) -> tuple[float, float]:
        """Half-width and height above the middle, counted towards its own end."""
        half = getattr(self, f"{end}_diameter") / 2.0
        return half, np.sqrt((self.diameter / 2.0) ** 2 - half**2)

    def _floor(self, end: str) -> float:
        """Height of the floor above the middle, counted towards its own end."""
        depth: float = getattr(self, f"{end}_depth")
        return self._rim(end)[1] - depth

    def outline(self) -> tuple[Curve, ...]:
        """Floor, wall, the ball between the rims, wall, floor."""
        radius = self.diameter / 2.0
        (narrow, low), (wide, high) = self._rim("lower"), self._rim("upper")
        first, last = -np.arctan2(low, narrow), np.arctan2(high, wide)
        nothing, floor, ceiling = 0.0 * radius, -self._floor("lower"), self._floor("upper")
        return (
            Line((nothing, floor), (narrow, floor)),
            Line((narrow, floor), (narrow, -low)),
            Arc((nothing, nothing), (radius, radius), first, last - first),
            Line((wide, high), (wide, ceiling)),
            Line((wide, ceiling), (nothing, ceiling)),
        )
