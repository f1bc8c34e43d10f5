"""A barrel or spool with a second body at its side: an egg, set off and leaning.

An ellipsoid whose level sections are discs is a ball stretched and then sheared, so at every level
the host and the egg are two discs; what they share is in closed form (`shapes.level`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import pi
from typing import TYPE_CHECKING, Annotated

import numpy as np

from shapes.bowed import Bowed, BowedHost
from shapes.chords import Lines, combined
from shapes.ellipsoid import Ellipsoid
from shapes.hull import Hull, hull_of
from shapes.level import shared, summed
from shapes.moments import Array, Column, Mask, Moments, rg_change_mm
from shapes.parameters import Parameter
from shapes.parting import ALONG, Parting
from shapes.profile import moments_of
from shapes.shape import Rule
from shapes.turned_chords import chords_of

if TYPE_CHECKING:
    import cadquery as cq

ORDER = 16  # Gauss points between two cuts
_SCAN = 96  # levels among which changes of order are sought
_MOST_CUTS = 6
_STEPS = 9  # of false position, to 1e-9 of the height or better


@dataclass(frozen=True)
class Bossed(BowedHost):
    """A barrel or spool with an egg-shaped boss at its side, offset along X and leaning in X-Z.

    >>> round(Bossed(40.0, 40.0, 50.0, 0.0).rg_error_mm(), 6)
    0.0
    """

    boss_diameter: Annotated[
        float, Parameter("length", "width of the egg's level sections", above=0.0)
    ] = 62.0
    boss_height: Annotated[float, Parameter("length", "height of the egg", above=0.0)] = 84.0
    offset: Annotated[
        float, Parameter("length", "distance of the egg's centre from the axis, along X")
    ] = 36.0
    rise: Annotated[
        float, Parameter("length", "height of the egg's centre above the middle")
    ] = -10.0
    lean: Annotated[
        float,
        Parameter("angle", "lean of the line through the middles of its level sections, from Z "
                  "towards +X", at_least=-60.0, at_most=60.0),
    ] = 18.0  # fmt: skip

    def _egg(self) -> tuple[Column, Column, Column]:
        """Half-width, half-height, and how far its middle moves along X per height."""
        slope = np.tan(self.lean * (pi / 180.0))
        return self.boss_diameter / 2.0, self.boss_height / 2.0, slope

    def rules(self) -> Iterator[Rule]:
        """The boss stands out of the host's side, and is joined to it."""
        yield from super().rules()
        half = self.height / 2.0
        yield Rule(
            "rise",
            np.abs(self.rise) <= half,
            lambda: f"{self.rise:g} mm lies beyond the host's ends; at most {half:g} mm",
        )
        radius = _radius(self.host(), half, self.rise)
        out = np.abs(self.offset)
        yield Rule(
            "offset",
            out - self.boss_diameter / 2.0 < 0.98 * radius,
            lambda: (
                f"{self.offset:g} mm sets the boss clear of its host; less than "
                f"{float(0.98 * radius) + self.boss_diameter / 2.0:g} mm"
            ),
        )
        yield Rule(
            "offset",
            out + self.boss_diameter / 2.0 > 1.02 * radius,
            lambda: (
                f"{self.offset:g} mm hides the boss within its host; more than "
                f"{float(1.02 * radius) - self.boss_diameter / 2.0:g} mm"
            ),
        )

    def moments(self) -> Moments:
        """Those of the host and of the egg, less what they share."""
        return self._moments(ORDER)

    def rg_error_mm(self) -> float:
        """By how much six more points between cuts change any RG."""
        return rg_change_mm(self.moments(), self._moments(ORDER + 6))

    def _moments(self, order: int) -> Moments:
        a, c, slope = self._egg()
        volume = 4.0 / 3.0 * pi * a * a * c
        square, rise = volume / 5.0, volume * c * c / 5.0
        x, z = self.offset, self.rise
        egg = Moments.of(
            volume,
            (volume * x, 0.0 * volume, volume * z),
            (
                square * a * a + rise * slope**2 + volume * x * x,
                square * a * a,
                rise + volume * z * z,
            ),
            product_xz=rise * slope + volume * x * z,
        )
        return moments_of(self.host().curves) + egg - self._shared(order)

    def _shared(self, order: int) -> Moments:
        host = self.host()
        half: Column = self.height / 2.0

        def values(z: Array) -> list[Array]:
            both = shared(_radius(host, half, z), *self._disc(z))
            return [both.area, both.x, both.area * z, both.xx, both.yy, both.area * z * z,
                    both.x * z]  # fmt: skip

        totals = summed(self._cuts(host), order, values)
        if not isinstance(half, np.ndarray):
            totals = [v[0] for v in totals]
        area, x, z, xx, yy, zz, xz = totals
        return Moments.of(area, (x, 0.0 * area, z), (xx, yy, zz), product_xz=xz)

    def _disc(self, z: Array) -> tuple[Array, Array]:
        """Radius and middle of the egg's level sections."""
        a, c, slope = self._egg()
        height = (z - self.rise) / c
        return a * np.sqrt(np.maximum(1.0 - height * height, 0.0)), (
            self.offset + slope * (z - self.rise)
        )

    def _cuts(self, host: Bowed) -> list[Array]:
        """Levels, ascending, between which the integrand is smooth: columns, shape (n, 1) or (1,).

        Those of the host's own joints, and those where one disc begins to touch, to leave or to
        hold the other.
        """
        half = np.atleast_1d(self.height / 2.0)
        _, c, slope = self._egg()
        low = np.maximum(-half, self.rise - c)
        high = np.maximum(np.minimum(half, self.rise + c), low)
        joint = np.atleast_1d(host.rim.on_flank_z)
        own = [np.clip(z, low, high) for z in (-joint, 0.0 * joint, joint)]
        if np.any(slope != 0.0):  # where the egg's middle crosses the axis
            level = self.rise - np.divide(self.offset, np.where(slope == 0.0, np.inf, slope))
            own.append(np.clip(level, low, high))

        def gap(z: Array) -> Array:
            """Changes sign wherever the rims begin or cease to meet."""
            r, (rho, x) = _radius(host, half, z), self._disc(z)
            return ((r + rho) ** 2 - x * x) * ((r - rho) ** 2 - x * x)

        share = (1.0 - np.cos(np.linspace(0.0, pi, _SCAN + 1))) / 2.0
        z = low + (high - low) * share
        z, value = np.broadcast_arrays(z, gap(z))
        change = value[..., :-1] * value[..., 1:] < 0.0
        # the first few changes of each body, in order; where there are fewer, its upper end
        place = np.argsort(~change, axis=-1, kind="stable")[..., :_MOST_CUTS]
        there = np.take_along_axis(change, place, axis=-1)
        a = np.where(there, np.take_along_axis(z, place, axis=-1), high)
        b = np.where(there, np.take_along_axis(z, place + 1, axis=-1), high)
        found = _crossed(gap, a, b)
        columns = [low, *own, *np.split(found, found.shape[-1], axis=-1), high]
        found = np.sort(np.concatenate(np.broadcast_arrays(*columns), axis=-1), axis=-1)
        return [found[..., k : k + 1] for k in range(found.shape[-1])]

    def hull(self) -> Hull:
        """Round the host, and round an upright cylinder that holds the egg."""
        a, c, slope = self._egg()
        out = np.abs(self.offset) + a + c * np.abs(slope)
        egg = [(out, self.rise - c), (out, self.rise + c)]
        return [*hull_of(self.host().curves), *egg]

    def reach_mm(self, point: Array) -> float:
        """The farther of the host's and the egg's."""
        across = float(np.hypot(point[0], point[1]))
        host = self.host_section().farthest(across, float(point[2]))
        egg, axes, centre = self._as_ellipsoid()
        return max(host, egg.reach_mm((point - centre) @ axes))

    def support_mm(self, direction: Array) -> float:
        """The farther of the host's and the egg's."""
        across = float(np.hypot(direction[0], direction[1]))
        host = self.host_section().extent(across, float(direction[2]))
        egg, axes, centre = self._as_ellipsoid()
        return max(host, egg.support_mm(direction @ axes) + float(direction @ centre))

    def _as_ellipsoid(self) -> tuple[Ellipsoid, Array, Array]:
        """The egg along its own principal axes, those as columns, and its centre."""
        axes, semi, _ = np.linalg.svd(self._shear())
        size = tuple(2.0 * float(s) for s in semi)
        centre = np.array([self.offset, 0.0, self.rise], dtype=float)
        return Ellipsoid((size[0], size[1], size[2])), axes, centre

    def _shear(self) -> Array:
        """Shape (3, 3), from a unit ball to the egg about its centre."""
        a, c, slope = self._egg()
        return np.array([[a, 0.0, c * slope], [0.0, a, 0.0], [0.0, 0.0, c]], dtype=float)

    def contains(self, points: Array) -> Mask:
        """In the host or in the egg."""
        r, z = np.hypot(points[:, 0], points[:, 1]), points[:, 2]
        rho, x = self._disc(z)
        within = (np.hypot(points[:, 0] - x, points[:, 1]) <= rho) & (
            np.abs(z - self.rise) <= self.boss_height / 2.0
        )
        return np.asarray(within | self.host_section().contains(r, z))

    def chords(self, lines: Lines) -> Array:
        """In the host or in the egg."""
        egg, axes, centre = self._as_ellipsoid()
        bodies = [
            chords_of(self.host_section(), lines),
            egg.chords(Lines((lines.start - centre) @ axes, lines.way @ axes)),
        ]
        return combined(bodies, lambda inside: inside[0] | inside[1])

    def solid(self) -> cq.Solid:
        """The turned host and the stretched ball, fused."""
        from shapes import solid

        centre = (float(self.offset), 0.0, float(self.rise))
        egg = solid.stretched(self._shear(), centre)
        return solid.single(solid.fuse([solid.turned(self.host_section()), egg]), "a boss")

    def parting(self) -> Parting:
        """Along the plane of the offset, which both bodies are even about."""
        return Parting(ALONG, 0.0, 0.0)


def _crossed(gap: Callable[[Array], Array], a: Array, b: Array) -> Array:
    """Where a function changes sign between a and b, column by column.

    False position with the Illinois rule, which halves the weight of an end that stays (Dahlquist
    & Bjorck, Numerical Methods; from memory).
    """
    f, g = gap(a), gap(b)
    for _ in range(_STEPS):
        span = g - f
        flat = span == 0.0
        c = np.where(flat, b, b - g * (b - a) / np.where(flat, 1.0, span))
        h = gap(c)
        turned = h * g < 0.0
        a, f = np.where(turned, b, a), np.where(turned, g, f / 2.0)
        b, g = c, h
    return b


def _radius(host: Bowed, half: Column, z: Column) -> Array:
    """Radius of the host at levels; zero beyond its ends."""
    arc = host.rim.arc
    up = np.abs(z)
    along = np.clip(up - arc.centre[1], -arc.semi[1], arc.semi[1])
    rim = arc.centre[0] + np.sqrt(np.maximum(arc.semi[0] ** 2 - along**2, 0.0))
    radius = np.where(up <= host.rim.on_flank_z, host.flank.r(up), rim)
    return np.where(up <= half * (1.0 + 1e-12), radius, 0.0)
