"""A bulb: a round head that tapers to a foot."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi
from typing import Annotated

import numpy as np

from shapes.curves import Arc, Curve, Line
from shapes.parameters import Parameter
from shapes.revolved import Revolved
from shapes.shape import Rule


@dataclass(frozen=True)
class Bulb(Revolved):
    """A ball above that runs smoothly into a straight taper down to a flat foot.

    >>> round(Bulb(60.0, 20.0, 90.0).section().curves[-1].end[1], 6)
    45.0
    """

    head_diameter: Annotated[float, Parameter("length", "width of the round head", above=0.0)] = (
        108.0
    )
    foot_diameter: Annotated[float, Parameter("length", "width of the foot", above=0.0)] = 46.0
    height: Annotated[float, Parameter("length", "length along its axis", above=0.0)] = 132.0

    def rules(self) -> Iterator[Rule]:
        """The foot lies below the head's ball and is narrower."""
        yield Rule(
            "foot_diameter",
            self.foot_diameter < self.head_diameter,
            lambda: (
                f"{self.foot_diameter:g} mm is not less than head_diameter, "
                f"{self.head_diameter:g} mm"
            ),
        )
        centre = self.height - self.head_diameter / 2.0
        outside = (self.foot_diameter / 2.0) ** 2 + centre**2 > (self.head_diameter / 2.0) ** 2
        yield Rule(
            "height",
            (centre > 0.0) & outside,
            lambda: f"{self.height:g} mm leaves the foot inside the head's ball; take more",
        )

    def outline(self) -> tuple[Curve, ...]:
        """Foot, the tangent from its rim to the head, the head.

        From a point at the distance d from the centre the tangent touches the circle where the
        radius makes the angle acos(R / d) with the way to the point.
        """
        foot, radius = self.foot_diameter / 2.0, self.head_diameter / 2.0
        low, nothing = -self.height / 2.0, 0.0 * self.height
        centre = self.height / 2.0 - radius
        away = np.hypot(foot, low - centre)
        touch = np.arctan2(low - centre, foot) + np.arccos(radius / away)
        arc = Arc((nothing, centre), (radius, radius), touch, pi / 2.0 - touch)
        return (Line((nothing, low), (foot, low)), Line((foot, low), arc_start(arc)), arc)


def arc_start(arc: Arc) -> tuple[float, float]:
    """Where an arc begins; works on columns too."""
    return (
        arc.centre[0] + arc.semi[0] * np.cos(arc.from_rad),
        arc.centre[1] + arc.semi[1] * np.sin(arc.from_rad),
    )
