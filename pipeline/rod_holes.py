"""The hole of the rod that holds a casting in its mould: where it enters, and that it fits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import cos, pi, radians, sin, tan
from typing import TYPE_CHECKING

import numpy as np

from pipeline.errors import ToolingError
from pipeline.process import RodAsked, Shrinkage
from shapes.moments import Array
from shapes.placement import Placement

if TYPE_CHECKING:
    import cadquery as cq

    from shapes.bars import Bar

BEYOND_MM = 2500.0  # how far a rod goes on, out of any block
_RIM, _LEVELS = 12, 6  # lines down the hole's side, and places on each, that must lie in the part
_SAME = 1e-6
_HAIR_MM = 1e-4
_LEFT_MM = 0.5  # at least, below the bottom of a hole

Stations = tuple[tuple[float, float], ...]  # along the axis, and the radius there


def narrowing(asked: RodAsked, depth_mm: float, place: str) -> Stations:
    """Stations of a hole from its bottom to where it enters, narrowing as its taper says.

    Raises:
        ToolingError: it narrows to nothing.
    """
    inner = asked.diameter_mm / 2.0 - depth_mm * tan(radians(asked.taper_deg))
    if inner <= 0.0:
        raise ToolingError(
            f"{place}.taper: read {asked.taper_deg:g} deg: at a depth of {depth_mm:.2f} mm nothing "
            f"is left of the diameter of {asked.diameter_mm:g} mm; take less taper or depth"
        )
    return ((-depth_mm, inner), (0.0, asked.diameter_mm / 2.0))


def rod_hole(envelope: cq.Solid, asked: RodAsked, inward: Stations, place: str) -> Bar:
    """The hole in the cold casting: its origin where the axis enters, its way outwards.

    Args:
        envelope: the casting without it, in the part's own frame.
        asked: what the design says.
        inward: its stations from its bottom to where the axis enters.
        place: of the rod in the file, for messages.

    Raises:
        ToolingError: it misses the part, or comes out of its side or bottom.
    """
    from shapes.bars import Bar, contains

    entry = entry_mm(envelope, asked)
    if entry is None:
        raise ToolingError(
            f"{place}.at: the line x {asked.at_mm[0]:g} mm, y {asked.at_mm[1]:g} mm misses the "
            "part; move it, or give the other side"
        )
    way, outer = (0.0, 0.0, _up(asked)), asked.diameter_mm / 2.0
    hole = Bar(entry, way, (*inward, (BEYOND_MM, outer)))
    depth = -inward[0][0]
    through = _through_mm(envelope, hole)
    if through is None or -through[:, 0].min() > outer:
        raise ToolingError(
            f"{place}: a hole of diameter {asked.diameter_mm:g} mm there does not enter the part "
            "all round near its end; move it, or make it smaller"
        )
    deepest = -float(through[:, 1].max())
    if depth > deepest - _LEFT_MM:
        raise ToolingError(
            f"{place}: a depth of {depth:.2f} mm goes through the part, which is {deepest:.2f} mm "
            "deep there; make it less"
        )
    if not contains(envelope, _side(hole, through[:, 0], depth)).all():
        raise ToolingError(
            f"{place}: a hole of diameter {asked.diameter_mm:g} mm and depth {depth:.2f} mm does "
            "not lie in the part all round; move it, or make it smaller"
        )
    return hole


def entry_mm(envelope: cq.Solid, asked: RodAsked) -> tuple[float, float, float] | None:
    """Where the axis of a rod enters a body; None when it misses it.

    A line through the pole of a face can be lost, so it is asked again a hair beside it.
    """
    from shapes.bars import crossings_mm

    for aside in (0.0, _HAIR_MM):
        origin = np.array([asked.at_mm[0] + aside, asked.at_mm[1] + aside, 0.0])
        found = crossings_mm(envelope, origin, np.array([0.0, 0.0, 1.0]))
        if len(found) >= 2:
            return (*asked.at_mm, float(found[-1] if asked.side == "pin" else found[0]))
    return None


def depth_to(envelope: cq.Solid, inside: Sequence[cq.Solid], asked: RodAsked) -> float | None:
    """How deep a rod's flat end goes until it touches a body inside; None when it meets none."""
    outer = entry_mm(envelope, asked)
    x, y = asked.at_mm
    if outer is None or all(entry_mm(body, asked) is None for body in inside):
        return None
    radius = asked.diameter_mm / 2.0
    turns = [2.0 * pi * k / _RIM for k in range(_RIM)]
    ends = [(x, y), *((x + radius * cos(t), y + radius * sin(t)) for t in turns)]
    entries = [
        entry
        for end in ends
        for body in inside
        if (entry := entry_mm(body, replace(asked, at_mm=end))) is not None
    ]
    return float(min(abs(outer[2] - entry[2]) for entry in entries))


def rod_in_mould(hole: Bar, shrinkage: Shrinkage) -> Bar:
    """The rod that makes a hole: grown with the casting, about the part's origin."""
    along, across = 1.0 / (1.0 - shrinkage.along), 1.0 / (1.0 - shrinkage.across)
    x, y, z = hole.origin_mm
    return replace(
        hole,
        origin_mm=(x * across, y * across, z * along),
        stations_mm=tuple((at * along, radius * across) for at, radius in hole.stations_mm),
    )


def coaxial(one: RodAsked, at: Placement, other: RodAsked, its: Placement) -> bool:
    """Whether two rods, each in its part's own frame, run along one line from one end."""
    lines = [
        (p.rotation() @ np.array([*rod.at_mm, 0.0]) + p.offset(), p.rotation()[:, 2] * _up(rod))
        for rod, p in ((one, at), (other, its))
    ]
    (a, way), (b, other_way) = lines
    aside = np.linalg.norm(np.cross(b - a, way))
    return bool(aside < _SAME and np.linalg.norm(way - other_way) < _SAME)


def _up(asked: RodAsked) -> float:
    return 1.0 if asked.side == "pin" else -1.0


def _through_mm(envelope: cq.Solid, hole: Bar) -> Array | None:
    """Along the axis, where lines down the hole's side and its middle enter and leave the part.

    Shape (n, 2): zero at the hole's mouth, less inside; None when a line misses the part.
    """
    from shapes.bars import crossings_mm

    way = np.array(hole.way)
    found = []
    for start in (*_round(hole, hole.radius_mm, 0.0), *_round(hole, _HAIR_MM, 0.0)[:1]):
        crossed = crossings_mm(envelope, start, way)
        if len(crossed) < 2:
            return None
        found.append((crossed[-1], crossed[-2]))
    return np.array(found)


def _side(hole: Bar, rim_mm: Array, depth_mm: float) -> Array:
    """Points of the hole's side between where it enters and its bottom, shape (n, 3)."""
    points = []
    for share in np.linspace(0.02, 1.0, _LEVELS):
        for k, top in enumerate(rim_mm[:_RIM]):
            along = top + share * (-depth_mm - top)
            points.append(_round(hole, hole.radius_mm, along)[k])
    return np.array(points)


def _round(hole: Bar, radius_mm: float, along_mm: float) -> Array:
    """Points round the axis, shape (_RIM, 3)."""
    turn = [2.0 * pi * (k + 0.5) / _RIM for k in range(_RIM)]
    return hole.point_mm(along_mm) + radius_mm * np.array([(cos(t), sin(t), 0.0) for t in turn])
