"""Barrels and spools with flats or scallops cut along their sides, evenly round the axis.

At every level the cut leaves a disc without some equal pieces, whose moments are in closed form
(`shapes.level`); along the half-section Gauss's rule adds them up, split where the cuts run out.
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Iterator
from dataclasses import dataclass
from math import atan2, hypot, pi
from typing import TYPE_CHECKING, Annotated

import numpy as np

from shapes.bowed import BowedHost
from shapes.chords import Lines, combined, in_unit_ball, of_intervals
from shapes.hull import Hull, hull_of
from shapes.level import Area, segment, shared, summed
from shapes.moments import Array, Column, Mask, Moments, rg_change_mm
from shapes.parameters import Parameter
from shapes.parting import Parting, across, parting_of
from shapes.placement import Placement
from shapes.profile import moments_of
from shapes.search import highest
from shapes.shape import Rule
from shapes.turned_chords import chords_of

if TYPE_CHECKING:
    import cadquery as cq

_FAR_MM = 1e6  # beyond any body
_SQUARE = 1e-12  # a line that runs along a cut is taken to lean by so much
ORDER = 20  # Gauss points between two cuts


@dataclass(frozen=True)
class Hewn(BowedHost):
    """A barrel or spool that has lost the same piece several times round its axis."""

    count: Annotated[
        int, Parameter("count", "how many, evenly round the axis from X", at_least=1, at_most=12)
    ] = 2
    from_axis: Annotated[
        float, Parameter("length", "distance of each from the axis", above=0.0)
    ] = 44.0

    @abstractmethod
    def lost(self, radius: Column) -> Area:
        """What one cut towards +X takes of a disc."""

    @abstractmethod
    def half_angle(self, radius: Column) -> Array:
        """Half the angle, radians, over which one cut takes a disc's rim."""

    @abstractmethod
    def tools(self) -> list[cq.Solid]:
        """What is cut off, as solids."""

    @abstractmethod
    def cut_chords(self, lines: Lines) -> Array:
        """Where lines run inside the cut towards +X; see `shapes.chords`."""

    @abstractmethod
    def spared(self, x: Array, y: Array) -> Mask:
        """Which points lie clear of the cut towards +X."""

    def rules(self) -> Iterator[Rule]:
        """The cuts take something."""
        yield from super().rules()
        widest = np.maximum(self.end_diameter, self.middle_diameter) / 2.0
        yield Rule(
            "from_axis",
            self.from_axis < widest,
            lambda: f"{self.from_axis:g} mm cuts nothing off a host of {widest:g} mm radius",
        )

    def moments(self) -> Moments:
        """Those of the host less what the cuts take."""
        return self._moments(ORDER)

    def rg_error_mm(self) -> float:
        """By how much four more points between cuts change any RG."""
        return rg_change_mm(self.moments(), self._moments(ORDER + 4))

    def _moments(self, order: int) -> Moments:
        area, x, xx, yy, zz = self._lost_below_and_above(order)
        n = self.count
        once, twice = np.where(n == 1, 1.0, 0.0), np.where(n == 2, 1.0, 0.0)
        # three or more together weigh the same along every direction across the axis
        even = (xx + yy) / 2.0
        along = np.where(once + twice > 0.0, xx, even)
        aside = np.where(once + twice > 0.0, yy, even)
        nothing = 0.0 * area
        taken = Moments.of(
            n * area, (once * x, nothing, nothing), (n * along, n * aside, n * zz)
        )  # fmt: skip
        return moments_of(self.host().curves) - taken

    def _lost_below_and_above(self, order: int) -> list[Array]:
        """Integrals over z of one cut's area, x, x^2, y^2, and of its area times z^2."""
        host = self.host()
        half: Column = self.height / 2.0
        middle, bend, d = self.middle_diameter / 2.0, host.flank.bend, self.from_axis
        high = host.rim.on_flank_z
        start = np.sqrt(np.maximum(np.divide(d - middle, np.where(bend == 0.0, np.inf, bend)), 0.0))

        def on_flank(z: Array) -> list[Array]:
            lost = self.lost(host.flank.r(z))
            return [*lost, lost.area * z * z]

        def on_rim(angle: Array) -> list[Array]:
            lost = self.lost(rim.centre[0] + rim.semi[0] * np.cos(angle))
            z, rise = rim.centre[1] + rim.semi[1] * np.sin(angle), rim.semi[1] * np.cos(angle)
            return [v * rise for v in (*lost, lost.area * z * z)]

        rim = host.rim.arc
        first, last = rim.from_rad, rim.from_rad + rim.sweep_rad
        size = np.where(rim.semi[0] == 0.0, np.inf, rim.semi[0])
        turn = np.arccos(np.clip((d - rim.centre[0]) / size, -1.0, 1.0))
        flank = summed([0.0 * half, np.clip(start, 0.0, high), high], order, on_flank)
        edge = summed(
            [first, np.clip(-turn, first, last), np.clip(turn, first, last), last], order, on_rim
        )
        doubled = [2.0 * (a + b) for a, b in zip(flank, edge, strict=True)]
        return doubled if isinstance(half, np.ndarray) else [v[0] for v in doubled]

    def hull(self) -> Hull:
        """Round the host, which only loses."""
        return hull_of(self.host().curves)

    def reach_mm(self, point: Array) -> float:
        """Over what is left of the host's rims: all else lies between them, level by level."""
        away, azimuth = hypot(point[0], point[1]), atan2(-point[1], -point[0])

        def distance(r: Array, z: Array) -> Array:
            across_mm = r * r + away * away + 2.0 * r * away * np.cos(self._turn(r, azimuth))
            return np.asarray(np.sqrt(np.maximum(across_mm, 0.0) + (z - point[2]) ** 2))

        return self._highest(distance)

    def support_mm(self, direction: Array) -> float:
        """Over what is left of the host's rims."""
        sideways, azimuth = hypot(direction[0], direction[1]), atan2(direction[1], direction[0])
        return self._highest(
            lambda r, z: z * direction[2] + r * sideways * np.cos(self._turn(r, azimuth))
        )

    def _turn(self, radius: Array, azimuth: float) -> Array:
        """The least angle between an azimuth and what is left of a rim."""
        pitch = 2.0 * pi / self.count
        gap = abs((azimuth + pitch / 2.0) % pitch - pitch / 2.0)
        return np.asarray(np.maximum(self.half_angle(radius) - gap, 0.0))

    def _highest(self, value: object) -> float:
        return max(
            highest(lambda t, curve=curve: value(*curve.at(t)))  # type: ignore[misc,operator]
            for curve in self.host_section().curves[1:-1]
        )

    def contains(self, points: Array) -> Mask:
        """In the host and clear of every cut."""
        r, z = np.hypot(points[:, 0], points[:, 1]), points[:, 2]
        inside = self.host_section().contains(r, z)
        azimuth = np.arctan2(points[:, 1], points[:, 0])
        pitch = 2.0 * pi / self.count
        gap = np.abs((azimuth + pitch / 2.0) % pitch - pitch / 2.0)
        return np.asarray(inside & self.spared(r * np.cos(gap), r * np.sin(gap)))

    def chords(self, lines: Lines) -> Array:
        """In the host and in no cut."""
        bodies = [chords_of(self.host_section(), lines)]
        for k in range(self.count):
            turn = Placement(spin_deg=360.0 * k / self.count).rotation()
            bodies.append(self.cut_chords(Lines(lines.start @ turn, lines.way @ turn)))
        return combined(bodies, lambda inside: inside[0] & ~np.logical_or.reduce(inside[1:]))

    def solid(self) -> cq.Solid:
        """The turned host, cut."""
        from shapes import solid

        return solid.single(solid.cut(solid.turned(self.host_section()), self.tools()), "a cut")


@dataclass(frozen=True)
class Flats(Hewn):
    """A barrel or spool with flats cut along its sides; two leave a slab-sided core.

    >>> box = Flats(100.0, 100.0, 10.0, 0.0, 4, 50.0 / 2**0.5 + 1e-9)  # a square bar
    >>> round(box.moments().volume_mm3, 3)
    50000.0
    """

    def rules(self) -> Iterator[Rule]:
        """No flat meets its neighbour."""
        yield from super().rules()
        widest = np.maximum(self.end_diameter, self.middle_diameter) / 2.0
        least = widest * np.cos(pi / self.count)
        yield Rule(
            "from_axis",
            self.from_axis >= least,
            lambda: (
                f"at {self.from_axis:g} mm the {self.count} flats meet; take {least:g} mm or "
                "more, or fewer flats"
            ),
        )

    def lost(self, radius: Column) -> Area:
        """A segment of the disc."""
        return segment(radius, self.from_axis)

    def half_angle(self, radius: Column) -> Array:
        """Cos = distance of the flat / radius."""
        return np.asarray(np.arccos(np.clip(self.from_axis / np.maximum(radius, 1e-12), -1.0, 1.0)))

    def cut_chords(self, lines: Lines) -> Array:
        """Beyond the flat."""
        out = lines.way[:, 0]
        out = np.where(np.abs(out) < _SQUARE, _SQUARE, out)
        t = (self.from_axis - lines.start[:, 0]) / out
        return of_intervals(
            np.where(out > 0.0, t, np.minimum(-_FAR_MM, t - 1.0)),
            np.where(out > 0.0, np.maximum(_FAR_MM, t + 1.0), t),
        )

    def spared(self, x: Array, y: Array) -> Mask:  # noqa: ARG002 a flat runs across
        """On the near side of the flat."""
        return np.asarray(x <= self.from_axis)

    def tools(self) -> list[cq.Solid]:
        """One block a flat."""
        from shapes import solid

        wide = self.end_diameter + self.middle_diameter
        size = (wide, 2.0 * wide, 2.0 * self.height)
        middle = self.from_axis + wide / 2.0
        return solid.round_about(solid.box(size, 0.0), middle, self.count)

    def parting(self) -> Parting:
        """As the host's; its flats stand upright either way."""
        whole = parting_of(self.host_section().curves)
        return Parting(whole.normal, whole.height_mm, 0.0)


@dataclass(frozen=True)
class Scallops(Hewn):
    """A barrel or spool with round scallops cut along its sides.

    >>> a = Scallops(100.0, 100.0, 10.0, 0.0, 1, 40.0, 80.0)
    >>> round(a.moments().volume_mm3 + 10.0 * float(a.lost(50.0).area), 3)  # with it: a cylinder
    78539.816
    """

    count: Annotated[
        int, Parameter("count", "how many, evenly round the axis from X", at_least=1, at_most=12)
    ] = 3
    scallop_diameter: Annotated[
        float, Parameter("length", "width of the round cutter", above=0.0)
    ] = 62.0

    def _cutter(self) -> tuple[float, float]:
        """Radius, and distance of its axis from the body's."""
        radius = self.scallop_diameter / 2.0
        return radius, self.from_axis + radius

    def rules(self) -> Iterator[Rule]:
        """No scallop meets its neighbour or stays within the rim as a hole."""
        yield from super().rules()
        radius, apart = self._cutter()
        room = apart * np.sin(pi / np.maximum(self.count, 2))
        yield Rule(
            "scallop_diameter",
            radius <= room,
            lambda: (
                f"{self.scallop_diameter:g} mm is so wide that the {self.count} scallops meet; "
                f"at most {2.0 * room:g} mm, or fewer of them"
            ),
        )
        widest = np.maximum(self.end_diameter, self.middle_diameter) / 2.0
        yield Rule(
            "scallop_diameter",
            apart + radius >= widest + 1e-6,
            lambda: (
                f"{self.scallop_diameter:g} mm leaves a wall outside, a hole and no scallop; "
                f"more than {widest - self.from_axis:g} mm"
            ),
        )

    def lost(self, radius: Column) -> Area:
        """What the disc shares with the cutter's."""
        cutter, apart = self._cutter()
        return shared(radius, cutter, apart)

    def half_angle(self, radius: Column) -> Array:
        """By the law of cosines."""
        cutter, apart = self._cutter()
        cosine = (radius**2 + apart**2 - cutter**2) / (2.0 * apart * np.maximum(radius, 1e-12))
        return np.asarray(np.arccos(np.clip(cosine, -1.0, 1.0)))

    def cut_chords(self, lines: Lines) -> Array:
        """In the cutter, which has no ends."""
        cutter, apart = self._cutter()
        across = lines.way[:, :2].copy()
        across[np.hypot(*across.T) < _SQUARE] = (_SQUARE, 0.0)
        return in_unit_ball((lines.start[:, :2] - (apart, 0.0)) / cutter, across / cutter)

    def spared(self, x: Array, y: Array) -> Mask:
        """Outside the cutter."""
        cutter, apart = self._cutter()
        return np.asarray(np.hypot(x - apart, y) >= cutter)

    def tools(self) -> list[cq.Solid]:
        """One cylinder a scallop."""
        from shapes import solid

        radius, apart = self._cutter()
        return solid.round_about(solid.rod(radius, 2.0 * self.height), apart, self.count)

    def parting(self) -> Parting:
        """Square to Z, since a scallop holds fast along any other way; a waist is an undercut."""
        return across(self.host_section().curves)
