"""Drawing half-sections and outlines in closed form: rounded corners, and flanks with rounded rims.

Everything here is arithmetic that also works on columns of numbers (see `shapes.stack`), so that
one drawing serves one body and thousands of bodies alike.  A rounding of zero leaves arcs of no
radius, which the shapes drop.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import inf, pi
from typing import NamedTuple

from shapes.curves import Arc, Bezier, Curve, Line, Point
from shapes.either import arctan2, hypot, ratio, sqrt, tan, where
from shapes.moments import Column


class Drawn(NamedTuple):
    """Curves, and how much of every straight step its roundings leave, mm."""

    curves: tuple[Curve, ...]
    left_mm: tuple[float, ...]


def rounded(corners: Sequence[Point], radius: float, *, closed: bool = False) -> Drawn:
    """Straight steps between corners, each corner between two of them rounded.

    Args:
        corners: no two neighbours alike.
        radius: of every rounding.
        closed: whether the last corner is joined to the first, and all corners are rounded.
    """
    count = len(corners)
    steps = list(pairwise(corners)) + ([(corners[-1], corners[0])] if closed else [])
    ways = []
    for a, b in steps:
        along, up = b[0] - a[0], b[1] - a[1]
        length = hypot(along, up)
        ways.append((ratio(along, length), ratio(up, length), length))
    takes: list[float] = [0.0] * count
    arcs: list[Arc | None] = [None] * count
    for k in range(count) if closed else range(1, count - 1):
        (ur, uz, _), (vr, vz, _) = ways[k - 1], ways[k]
        turn = arctan2(ur * vz - uz * vr, ur * vr + uz * vz)
        takes[k] = radius * tan(abs(turn) / 2.0)
        side = where(turn >= 0.0, 1.0, -1.0)
        r, z = corners[k]
        centre = r - ur * takes[k] - side * uz * radius, z - uz * takes[k] + side * ur * radius
        arcs[k] = Arc(centre, (radius, radius), arctan2(uz, ur) - side * pi / 2.0, turn)
    curves: list[Curve] = []
    left = []
    for k, ((a, b), (ur, uz, length)) in enumerate(zip(steps, ways, strict=True)):
        first, last = takes[k], takes[(k + 1) % count]
        start = a[0] + ur * first, a[1] + uz * first
        curves.append(Line(start, (b[0] - ur * last, b[1] - uz * last)))
        left.append(length - first - last)
        arc = arcs[(k + 1) % count]
        if arc is not None:
            curves.append(arc)
    return Drawn(tuple(curves), tuple(left))


class Flank(NamedTuple):
    """A side whose radius is a parabola of the height: r = at + slope h + bend h^2, h = z - from_z.

    It turns into a straight or an upright side without any limit to take.
    """

    from_z: float
    at: float
    slope: float
    bend: float

    def r(self, z: Column) -> Column:
        """Radius at a height."""
        h = z - self.from_z
        return self.at + h * (self.slope + h * self.bend)

    def lean(self, z: Column) -> Column:
        """dr/dz at a height."""
        return self.slope + 2.0 * self.bend * (z - self.from_z)

    def curve(self, low: float, high: float) -> Bezier:
        """The stretch between two heights, upwards."""
        start = self.r(low)
        inner = start + self.lean(low) * (high - low) / 2.0
        return Bezier(((start, low), (inner, (low + high) / 2.0), (self.r(high), high)))


class Rim(NamedTuple):
    """The rounding between a flank and a flat end.

    Attributes:
        arc: from the lower to the upper of the two.
        on_flank_z: the height where it touches the flank.
        on_end_r: the radius where it touches the end.
    """

    arc: Arc
    on_flank_z: float
    on_end_r: float


def rim(flank: Flank, end_z: float, radius: float, *, upper: bool) -> Rim:
    """The arc of a radius that touches a flank from inside and a flat end.

    Its centre lies at the radius from both: P(z) - radius n(z) has the height end_z -+ radius.
    Solved for the height on the flank by Newton's method, which starts close and needs few steps.
    """
    aim = end_z - radius if upper else end_z + radius
    z = aim
    for _ in range(12):
        lean = flank.lean(z)
        size = sqrt(1.0 + lean * lean)
        growth = 1.0 + radius * 2.0 * flank.bend / size**3
        # a growth of nothing means that the arc does not fit: the rules of the shape say so
        step = (z + radius * lean / size - aim) / where(growth > 0.05, growth, inf)
        z = z - step
        if isinstance(step, float) and abs(step) < 1e-15 * abs(aim):
            break
    lean = flank.lean(z)
    centre_r = flank.r(z) - radius / sqrt(1.0 + lean * lean)
    outwards = arctan2(-lean, 1.0 + 0.0 * lean)
    first, last = (outwards, pi / 2.0) if upper else (-pi / 2.0, outwards)
    return Rim(Arc((centre_r, aim), (radius, radius), first, last - first), z, centre_r)


def below(rim: Rim) -> Rim:
    """The lower rim of a body that is the same below as above."""
    return Rim(rim.arc.overturned(), -rim.on_flank_z, rim.on_end_r)
