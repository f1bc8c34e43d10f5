"""What was asked of the drilling: holes as they are, or a grip and a layout that place them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Hand = Literal["right", "left"]
Use = Literal["finger", "thumb", "vent"]
Side = Literal["above", "below", "left", "right"]


@dataclass(frozen=True)
class Insert:
    """A sleeve for a finger, or a slug for the thumb: a bore filled up before the hole is drilled.

    Attributes:
        bore_mm: diameter of the bore.
        depth_mm: of the bore along its axis.
        density_g_cm3: of what fills it.
    """

    bore_mm: float
    depth_mm: float
    density_g_cm3: float


@dataclass(frozen=True)
class Drill:
    """What a hole is drilled with.

    Attributes:
        diameter_mm: of the hole.
        depth_mm: along its axis, from where that meets the surface.
        point_deg: the whole angle of the cone beyond the depth; None for a flat bottom.
        bevel_mm: how much wider the edge is broken, at 45 degrees, on the radius.
        insert: the bore round it and what fills that, if any.
    """

    diameter_mm: float
    depth_mm: float
    point_deg: float | None = None
    bevel_mm: float = 0.0
    insert: Insert | None = None


@dataclass(frozen=True)
class RawHole:
    """A hole where it is in the ball frame.

    Attributes:
        name: as messages call it.
        use: what goes into it.
        arc_mm: along the surface from the +Z point to where its axis enters.
        azimuth_deg: of that place, from +X about +Z.
        towards_mm: a point of its axis; the ball's centre when it is not given.
        drill: what it is drilled with.
        line: where it stands in the file; 0 when it comes from no file.
    """

    name: str
    use: Use
    arc_mm: float
    azimuth_deg: float
    towards_mm: tuple[float, float, float]
    drill: Drill
    line: int = 0


@dataclass(frozen=True)
class GripHole:
    """A hole of a grip; the grip and the layout say where it is.

    Attributes:
        drill: what it is drilled with.
        forward_mm: how far its axis misses the ball's centre towards the grip centre; less than
            zero for a reverse pitch, away from it.
        right_mm: how far to the right, seen from outside with the fingers up; less than zero: left.
        span_mm: along the surface from the thumb hole's edge, or the palm's mark, to its edge.
        line: where it stands in the file.
    """

    drill: Drill
    forward_mm: float = 0.0
    right_mm: float = 0.0
    span_mm: float = 0.0
    line: int = 0


@dataclass(frozen=True)
class Place:
    """A point of the surface by the grip: over along the midline, then up square to it, mm.

    Over is towards the ring finger's side, up towards the fingers.
    """

    over_mm: float
    up_mm: float


@dataclass(frozen=True)
class GripVent:
    """A vent from a point of the surface to a point on another hole's axis.

    Attributes:
        at: where it enters.
        into: the hole that it meets: middle, ring or thumb.
        at_depth_mm: how deep in that hole.
        diameter_mm: its own.
        line: where it stands in the file.
    """

    at: Place
    into: str
    at_depth_mm: float
    diameter_mm: float
    line: int = 0


@dataclass(frozen=True)
class Grip:
    """A conventional or fingertip grip.

    Attributes:
        middle, ring: the finger holes.
        bridge_mm: along the surface between their edges.
        thumb: the thumb hole; None for a grip without one, whose spans start at the palm's mark.
        vents: of them.
        line: where it stands in the file.
    """

    middle: GripHole
    ring: GripHole
    bridge_mm: float
    thumb: GripHole | None
    vents: tuple[GripVent, ...] = ()
    line: int = 0


@dataclass(frozen=True)
class ByDistances:
    """A layout by distances along the surface.

    Attributes:
        pin_to_axis_point_mm: how far the pin is from the axis point.
        pin_to_val_mm: how far it is from the vertical axis line, square to that; more than zero on
            the grip's side of it.
        pin_above: whether the pin is above the midline's side of the axis point, or below.
        mark_to_axis_point_mm: how far the high-RG mark is from the axis point.
        mark: which of the two places where it then may be: the upper or the lower, or the right or
            the left one, seen from outside with the fingers up.
        line: where it stands in the file.
    """

    pin_to_axis_point_mm: float
    pin_to_val_mm: float
    pin_above: bool
    mark_to_axis_point_mm: float | None = None
    mark: Side | None = None
    line: int = 0


@dataclass(frozen=True)
class ByPlaces:
    """A layout by where the pin, and on an asymmetrical ball the high-RG mark, are to the grip."""

    pin_at: Place
    mark_at: Place | None = None
    line: int = 0


Layout = ByDistances | ByPlaces


@dataclass(frozen=True)
class SurfacePoint:
    """A point of the surface in the ball frame: arc from the +Z point and azimuth from +X."""

    arc_mm: float
    azimuth_deg: float


@dataclass(frozen=True)
class Drilling:
    """All that a design says of its drilling.

    Attributes:
        holes: as they are in the ball frame.
        hand: of the bowler; None where only raw holes are given.
        axis_point: where the bowler's spin axis leaves the ball, the positive axis point.
        grip: the grip, if any.
        layout: where the grip stands to pin and mark; there when there is a grip.
        house_ball: whether it is one that a centre lends.
        line: where it stands in the file.
    """

    holes: tuple[RawHole, ...] = ()
    hand: Hand | None = None
    axis_point: Place | SurfacePoint | None = None
    grip: Grip | None = None
    layout: Layout | None = None
    house_ball: bool = False
    line: int = 0
