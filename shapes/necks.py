"""Necks of a half-section, the bodies between them, and such a body cut down to its neck.

A neck is where the outer wall is nearer to the axis than on either side of it.  The wall is
followed from the foot upwards, over lines, arcs and spline spans alike; their own extremes in r are
roots of polynomials or angles (`widest`), so a neck is found and not sampled.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import inf

from shapes.curves import Curve, Line, Point
from shapes.halfplane import ON_MM
from shapes.profile import Profile

DEPTH_MM = 1.0  # what is shallower is a ripple of a spline and no neck
_HALVINGS = 80


@dataclass(frozen=True)
class Neck:
    """Where a wall is narrowest between two wider places: its radius and height, mm.

    Where the wall runs upright at its narrowest, the height is that of the middle of that stretch.
    """

    r_mm: float
    z_mm: float


@dataclass(frozen=True)
class Bulge:
    """A body between two necks, or between a neck and an end of the section.

    Attributes:
        low, high: the necks below and above it; None at an end.
        widest_mm: the greatest radius of its wall.
        from_mm, to_mm: the heights that it runs over.
    """

    low: Neck | None
    high: Neck | None
    widest_mm: float
    from_mm: float
    to_mm: float

    @property
    def radius_mm(self) -> float:
        """The radius that it is cut down to: its neck's, the wider one's where it has two."""
        return max(neck.r_mm for neck in (self.low, self.high) if neck is not None)


def necks_of(section: Profile) -> tuple[Neck, ...]:
    """The necks of a half-section, from the lower end up.

    None for a ring, nor for a wall that hangs over itself: there a height has more than one radius.
    """
    wall = _wall(section)
    found: list[Neck] = []
    widest, narrowest, run = -inf, inf, (0.0, 0.0)
    for r, z in wall:
        if narrowest == inf:  # still on a body, looking for the way in
            widest = max(widest, r)
            if r <= widest - DEPTH_MM:
                narrowest, run = r, (z, z)
        elif r < narrowest - ON_MM:
            narrowest, run = r, (z, z)
        elif r <= narrowest + ON_MM:
            run = (run[0], z)
        elif r >= narrowest + DEPTH_MM:
            found.append(Neck(narrowest, (run[0] + run[1]) / 2.0))
            widest, narrowest = r, inf
    return tuple(found)


def bulges_of(section: Profile) -> tuple[Bulge, ...]:
    """The bodies that the necks of a half-section part, from the lower end up; none without one."""
    necks = necks_of(section)
    if not necks:
        return ()
    wall = _wall(section)
    ends = [wall[0][1], *(neck.z_mm for neck in necks), wall[-1][1]]
    found = []
    for k, (low, high) in enumerate(zip((None, *necks), (*necks, None), strict=True)):
        widest = max(r for r, z in wall if ends[k] <= z <= ends[k + 1])
        found.append(Bulge(low, high, widest, ends[k], ends[k + 1]))
    return tuple(found)


def cut_down(section: Profile, bulge: Bulge) -> tuple[Curve, ...] | None:
    """The half-section with one of its bodies cut down to a cylinder of its neck's radius.

    Its new edges are sharp.  None where the wall hangs over outside that cylinder.
    """
    radius = bulge.radius_mm
    low = -inf if bulge.low is None else bulge.from_mm
    high = inf if bulge.high is None else bulge.to_mm
    kept: list[Curve] = []
    for piece in section.rising:
        cuts = [0.0, *_crossings(piece, radius, low, high), 1.0]
        for a, b in pairwise(cuts):
            r, z = piece.point((a + b) / 2.0)
            if not (low < z < high and r > radius):
                kept.append(piece.part(a, b))
                continue
            first, last = piece.point(a)[1], piece.point(b)[1]
            if last < first - ON_MM:
                return None
            if last > first:
                _upright(kept, radius, first, last)
    return tuple(kept)


def _wall(section: Profile) -> list[Point]:
    """The ends and extremes in r of the outer wall, upwards; nothing where it has no one radius."""
    points: list[Point] = []
    if section.is_ring:
        return points
    reached = -inf
    for piece in section.rising:
        if piece.end[1] <= piece.start[1] + ON_MM:
            continue  # level, or the wall of a recess
        if piece.start[1] < reached - ON_MM:
            return []
        reached = piece.end[1]
        points += [piece.point(t) for t in (0.0, *piece.widest(), 1.0)]
    return points


def _crossings(piece: Curve, radius: float, low: float, high: float) -> list[float]:
    """Parameters inside (0, 1) where a piece passes the radius or one of the heights, in order."""
    spans = [0.0, *piece.widest(), 1.0]  # between these r only rises or only falls
    found = {_where(piece, 0, radius, a, b) for a, b in pairwise(spans)}
    found |= {_where(piece, 1, height, 0.0, 1.0) for height in (low, high)}
    return sorted(t for t in found if t is not None and 1e-12 < t < 1.0 - 1e-12)


def _where(piece: Curve, way: int, level: float, a: float, b: float) -> float | None:
    """Where one coordinate, which only rises or only falls from a to b, passes a level."""
    first, last = piece.point(a)[way] - level, piece.point(b)[way] - level
    if not min(first, last) < 0.0 < max(first, last):
        return None
    for _ in range(_HALVINGS):
        middle = (a + b) / 2.0
        if (piece.point(middle)[way] - level > 0.0) == (first > 0.0):
            a = middle
        else:
            b = middle
    return (a + b) / 2.0


def _upright(kept: list[Curve], radius: float, first: float, last: float) -> None:
    """Add an upright step, or lengthen the one before it."""
    before = kept[-1] if kept else None
    if isinstance(before, Line) and before.start[0] == before.end[0] == radius:
        kept[-1] = Line(before.start, (radius, last))
    else:
        kept.append(Line((radius, first), (radius, last)))
