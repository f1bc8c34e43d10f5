"""Bodies that are let into or set onto a host: disc, rod, ring and cap."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi
from typing import Annotated

import numpy as np

from shapes.curves import Arc, Curve, Line
from shapes.parameters import Parameter
from shapes.pen import rounded
from shapes.revolved import Revolved
from shapes.shape import Rule


@dataclass(frozen=True)
class Disc(Revolved):
    """A flat round plate with rounded rims.

    >>> round(Disc(40.0, 10.0, 0.0).moments().volume_mm3, 6)
    12566.370614
    """

    diameter: Annotated[float, Parameter("length", "full width", above=0.0)] = 56.0
    thickness: Annotated[float, Parameter("length", "thickness along its axis", above=0.0)] = 14.0
    round: Annotated[float, Parameter("length", "radius of the rims", at_least=0.0)] = 2.0

    def rules(self) -> Iterator[Rule]:
        """The rims fit."""
        yield Rule(
            "round",
            (2.0 * self.round <= self.thickness) & (2.0 * self.round <= self.diameter),
            lambda: (
                f"{self.round:g} mm is more than half the thickness or the diameter; at most "
                f"{min(self.thickness, self.diameter) / 2.0:g} mm"
            ),
        )

    def outline(self) -> tuple[Curve, ...]:
        """A rectangle on the axis, its outer corners rounded."""
        radius, half, nothing = self.diameter / 2.0, self.thickness / 2.0, 0.0 * self.thickness
        corners = ((nothing, -half), (radius, -half), (radius, half), (nothing, half))
        return rounded(corners, self.round).curves


@dataclass(frozen=True)
class Rod(Revolved):
    """A round bar with domed ends, each half an ellipse.

    >>> round(Rod(2.0, 2.0, 1.0).moments().volume_mm3, 6)  # nothing but domes: a ball
    4.18879
    """

    diameter: Annotated[float, Parameter("length", "full width", above=0.0)] = 30.0
    length: Annotated[float, Parameter("length", "length along its axis, domes and all",
                                       above=0.0)] = 90.0  # fmt: skip
    dome: Annotated[
        float, Parameter("length", "height of the dome at either end", at_least=0.0)
    ] = 6.0

    def rules(self) -> Iterator[Rule]:
        """Both domes have room."""
        yield Rule(
            "dome",
            2.0 * self.dome <= self.length,
            lambda: (
                f"{self.dome:g} mm is more than half of length; at most {self.length / 2.0:g} mm"
            ),
        )

    def outline(self) -> tuple[Curve, ...]:
        """Dome, side, dome; a dome of no height is a flat end."""
        radius, half, nothing = self.diameter / 2.0, self.length / 2.0, 0.0 * self.length
        start = half - self.dome
        semi = (radius, self.dome)
        return (
            Arc((nothing, -start), semi, -pi / 2.0, pi / 2.0),
            Line((radius, -start), (radius, start)),
            Arc((nothing, start), semi, nothing, pi / 2.0),
        )


@dataclass(frozen=True)
class Ring(Revolved):
    """A ring of rectangular section with rounded edges.

    >>> round(Ring(40.0, 20.0, 10.0, 0.0).moments().volume_mm3, 6)
    9424.777961
    """

    diameter: Annotated[float, Parameter("length", "outer width", above=0.0)] = 104.0
    inner_diameter: Annotated[float, Parameter("length", "width of its hole", above=0.0)] = 68.0
    height: Annotated[float, Parameter("length", "height along its axis", above=0.0)] = 24.0
    round: Annotated[float, Parameter("length", "radius of all edges", at_least=0.0)] = 3.0

    def rules(self) -> Iterator[Rule]:
        """There is a ring, and its edges fit."""
        wide = (self.diameter - self.inner_diameter) / 2.0
        yield Rule(
            "inner_diameter",
            wide > 0.0,
            lambda: f"{self.inner_diameter:g} mm is not less than diameter, {self.diameter:g} mm",
        )
        yield Rule(
            "round",
            (2.0 * self.round <= wide) & (2.0 * self.round <= self.height),
            lambda: (
                f"{self.round:g} mm is more than half the section's width or height; at most "
                f"{min(wide, self.height) / 2.0:g} mm"
            ),
        )

    def outline(self) -> tuple[Curve, ...]:
        """A rectangle off the axis."""
        inner, outer, half = self.inner_diameter / 2.0, self.diameter / 2.0, self.height / 2.0
        corners = ((inner, -half), (outer, -half), (outer, half), (inner, half))
        return rounded(corners, self.round, closed=True).curves


@dataclass(frozen=True)
class Cap(Revolved):
    """The cap of a ball, its flat face down, as it sits on a host's end.

    >>> round(Cap(2.0, 1.0).moments().volume_mm3, 6)  # half a ball
    2.094395
    """

    diameter: Annotated[float, Parameter("length", "width of its flat face", above=0.0)] = 72.0
    height: Annotated[float, Parameter("length", "height above the flat face", above=0.0)] = 20.0

    def outline(self) -> tuple[Curve, ...]:
        """A flat face at half the height below the origin and an arc of a circle over it."""
        face, half, nothing = self.diameter / 2.0, self.height / 2.0, 0.0 * self.height
        radius = (face**2 + self.height**2) / (2.0 * self.height)
        centre = half - radius
        first = np.arctan2(-half - centre, face)
        return (
            Line((nothing, -half), (face, -half)),
            Arc((nothing, centre), (radius, radius), first, pi / 2.0 - first),
        )
