"""Lobed and twisted sections: a plan curve that grows and turns as it rises.

The surface is (R(z) c(phi), z), turned by twist * z: R the half-section of a barrel or spool and
c(phi) = 1 + swell cos(n phi) the plan curve.  Its moments part into those of the plan, in closed
form, and one-dimensional ones along the half-section.
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import pi
from typing import Annotated, ClassVar

import numpy as np

from shapes.bowed import BowedHost
from shapes.charted import Chart, Charted
from shapes.curves import Curve
from shapes.hull import Hull, hull_of
from shapes.moments import Array, Column, Mask, Moments, rg_change_mm
from shapes.parameters import Parameter
from shapes.parting import Parting, across
from shapes.profile import moments_of
from shapes.quadrature import gauss
from shapes.search import highest
from shapes.shape import Rule

ORDER = 24  # Gauss points a curve where the section turns
_LEAST_END_MM = 1.0


@dataclass(frozen=True)
class Swept(BowedHost, Charted):
    """A barrel or spool whose section is lobed."""

    degree: ClassVar[int] = 12

    @abstractmethod
    def plan(self) -> tuple[int, float]:
        """Number of lobes, and how far they swell as a share of the mean radius."""

    @abstractmethod
    def turn_rad_per_mm(self) -> float:
        """How the section turns as it rises."""

    def rules(self) -> Iterator[Rule]:
        """The rims fit and leave a flat end."""
        yield from super().rules()
        yield Rule(
            "round",
            self.host().rim.on_end_r >= _LEAST_END_MM,
            lambda: f"a rounding of {self.round:g} mm leaves no flat end; take less",
        )

    def moments(self) -> Moments:
        """Those of the plan times those of the half-section."""
        return self._moments(ORDER)

    def rg_error_mm(self) -> float:
        """By how much eight more points a curve change any RG."""
        return rg_change_mm(self.moments(), self._moments(ORDER + 8))

    def _moments(self, order: int) -> Moments:
        n, a = self.plan()
        area = 1.0 + a * a / 2.0  # over pi
        mean = 1.0 + 3.0 * a**2 + 3.0 * a**4 / 8.0  # of c^4
        # the part of c^4 that goes with cos 2 phi: two lobes weigh more along X than across
        uneven = np.where(np.asarray(n) == 2, 2.0 * a + 1.5 * a**3, 0.0)
        whole = moments_of(self.host().curves)
        volume: Column = whole.volume_mm3
        height: Column = self.height
        if isinstance(height, np.ndarray):
            volume = np.asarray(whole.volume_mm3)[:, None]
            xx, zz = whole.second_mm5[:, 0, 0][:, None], whole.second_mm5[:, 2, 2][:, None]
        else:
            volume, xx, zz = whole.volume_mm3, whole.second_mm5[0, 0], whole.second_mm5[2, 2]
        along = xx * uneven
        if np.any(np.asarray(self.turn_rad_per_mm()) != 0.0):
            along = pi / 4.0 * self._turned(order) * uneven
        nothing = 0.0 * volume
        return Moments.of(
            volume * area,
            (nothing, nothing, nothing),
            (xx * mean + along, xx * mean - along, zz * area),
        )

    def _turned(self, order: int) -> float:
        """Int R^4 cos(2 turn z) dz; the part with sin is odd in z and vanishes."""
        twice = 2.0 * self.turn_rad_per_mm()
        t, weight = gauss(order)
        total = 0.0
        for curve in self.host().curves[1:-1]:
            r, z = curve.at(t)
            values = r**4 * np.cos(twice * z) * curve.slope(t)[1] * weight
            total = total + values.sum(axis=-1, keepdims=values.ndim > 1)
        return total

    def hull(self) -> Hull:
        """Round the half-section at its lobes."""
        _, swell = self.plan()
        out = 1.0 + np.abs(swell)
        return [(r * out, z) for r, z in hull_of(self.host().curves)]

    def reach_mm(self, point: Array) -> float:
        """From the axis the tip of a lobe, level by level; from elsewhere by search."""
        if float(np.hypot(point[0], point[1])) > 0.0:
            return super().reach_mm(point)
        _, swell = self.plan()
        out = 1.0 + abs(swell)

        def distance(r: Array, z: Array) -> Array:
            return np.asarray(np.hypot(out * r, z - point[2]))

        return max(
            highest(lambda t, curve=curve: distance(*curve.at(t)))  # type: ignore[misc]
            for curve in self.host_section().curves[1:-1]
        )

    def contains(self, points: Array) -> Mask:
        """Within the half-section at the radius that its lobe stands for."""
        r, z = np.hypot(points[:, 0], points[:, 1]), points[:, 2]
        n, a = self.plan()
        azimuth = np.arctan2(points[:, 1], points[:, 0]) - self.turn_rad_per_mm() * z
        return self.host_section().contains(r / (1.0 + a * np.cos(n * azimuth)), z)

    def parting(self) -> Parting:
        """Square to Z where the section rises straight from its widest level, else by search."""
        square = across(self.host_section().curves)
        if self.turn_rad_per_mm() == 0.0 and square.draft_deg >= 0.0:
            return square
        return super().parting()

    def charts(self) -> Sequence[Chart]:
        """Sectors of the plan along each curve of the half-section."""
        curves = self.host_section().curves[1:-1]
        return [self._chart(c, k, self._sectors()) for c in curves for k in range(self._sectors())]

    def rims(self) -> Sequence[Sequence[Chart]]:
        """The lower end and the upper one."""
        lower, *_, upper = self.host_section().curves[1:-1]
        sectors = self._sectors()
        return [
            [self._chart(lower, k, sectors) for k in range(sectors)],
            [self._chart(upper.part(1.0, 1.0), k, sectors) for k in range(sectors)],
        ]

    def _sectors(self) -> int:
        return 2 * (self.plan()[0] + 1)

    def _chart(self, curve: Curve, sector: int, sectors: int) -> Chart:
        n, a = self.plan()
        turn = self.turn_rad_per_mm()

        def chart(u: Array, v: Array) -> Array:
            r, z = curve.at(v)
            angle = 2.0 * pi * (sector + u) / sectors
            r = r * (1.0 + a * np.cos(n * angle))
            angle = angle + turn * z
            return np.column_stack([r * np.cos(angle), r * np.sin(angle), z])

        return chart


@dataclass(frozen=True)
class Lobed(Swept):
    """A barrel or spool whose section swells into lobes, evenly round the axis from X.

    >>> round(Lobed(40.0, 40.0, 50.0, 0.0, 3, 0.0).moments().volume_mm3, 6)  # no lobes: a cylinder
    62831.853072
    """

    lobes: Annotated[int, Parameter("count", "how many lobes", at_least=2, at_most=8)] = 2
    swell: Annotated[
        float,
        Parameter("number", "how far a lobe stands beyond the mean radius, as a share of it",
                  at_least=0.0, at_most=0.4),
    ] = 0.12  # fmt: skip

    def plan(self) -> tuple[int, float]:
        """As given."""
        return self.lobes, self.swell

    def turn_rad_per_mm(self) -> float:
        """It goes straight up."""
        return 0.0


@dataclass(frozen=True)
class Twisted(Swept):
    """A barrel or spool of oval section that turns as it rises; its middle lies along X.

    >>> round(Twisted(40.0, 40.0, 50.0, 0.0, 0.0, 60.0).moments().volume_mm3, 6)  # a cylinder
    62831.853072
    """

    swell: Annotated[
        float,
        Parameter("number", "how far the oval stands beyond the mean radius, as a share of it",
                  at_least=0.0, at_most=0.4),
    ] = 0.16  # fmt: skip
    twist: Annotated[
        float,
        Parameter("angle", "turn from the lower to the upper end, counter-clockwise from above",
                  at_least=-180.0, at_most=180.0),
    ] = 70.0  # fmt: skip

    def plan(self) -> tuple[int, float]:
        """Two lobes."""
        return 2, self.swell

    def turn_rad_per_mm(self) -> float:
        """Evenly over the height."""
        return self.twist * pi / 180.0 / self.height
