"""A grip's holes, in the frame of the grip: X out of the ball at the grip centre, Z to the fingers.

Y runs along the midline to the side of the ring finger of a right hand; a left hand is its mirror
image in y = 0.  The centreline is the great circle y = 0: the thumb hole stands on it, and so does
the middle of the bridge.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import cos, hypot, pi, sin

import numpy as np

from pipeline.drilling import Drill, Grip, GripHole, GripVent, Hand, Place
from pipeline.errors import BallError
from pipeline.holes import Hole
from pipeline.sphere import arc_rad, stepped, tangent, unit
from pipeline.units import MM_PER_IN
from shapes.moments import Array

CENTRE = np.array([1.0, 0.0, 0.0])
_MIRROR = np.array([1.0, -1.0, 1.0])
_CLOSED = 1e-13  # radians, to which the spans and the bridge are met
_ROUNDS = 40
_MOST_PITCH = 0.5  # of the radius


@dataclass(frozen=True, eq=False)
class PlacedGrip:
    """A grip on a ball, in its own frame.

    Attributes:
        holes: middle, ring, thumb if there is one, vents.
        centre: unit vector of the grip centre.
    """

    holes: tuple[Hole, ...]
    centre: Array


def on_surface(place: Place, radius_mm: float) -> Array:
    """The unit vector of a place, for a right hand: over along the midline, then up."""
    over, up = place.over_mm / radius_mm, place.up_mm / radius_mm
    return np.array([cos(up) * cos(over), cos(up) * sin(over), sin(up)])


def placed_grip(
    grip: Grip, hand: Hand, radius_mm: float, where: Callable[[int], str]
) -> PlacedGrip:
    """Place the holes of a grip so that spans and bridge are as asked.

    Args:
        grip: what was asked.
        hand: a left hand's grip is the mirror image of a right hand's.
        radius_mm: of the ball.
        where: file and line from a line, for messages.

    Raises:
        BallError: no such grip exists.
    """
    side = 1.0 if hand == "right" else -1.0
    _check_pitches(grip, radius_mm, where)
    thumb = _thumb(grip, radius_mm, side)
    middle, ring = _fingers(grip, thumb, radius_mm, side, where(grip.line))
    entries = [("middle", grip.middle, middle), ("ring", grip.ring, ring)]
    if grip.thumb is not None:
        entries.append(("thumb", grip.thumb, thumb))
    holes = [
        Hole(
            name,
            "thumb" if name == "thumb" else "finger",
            radius_mm * at,
            _axis(at, one, radius_mm, side),
            one.drill,
            one.line,
        )
        for name, one, at in entries
    ]
    vents = [
        _vent(f"vent {k + 1}", vent, holes, radius_mm, where) for k, vent in enumerate(grip.vents)
    ]
    every = [*holes, *vents]
    if side < 0.0:
        every = [_mirrored(hole) for hole in every]
    return PlacedGrip(tuple(every), CENTRE)


def frame_of_holes(holes: Sequence[Hole], radius_mm: float) -> Array | None:
    """The frame, shape (3, 3), of the grip that raw holes make; None where they make none.

    It takes one thumb hole and a finger hole or more.  The centreline runs from the thumb hole to
    the middle of the finger holes, and the grip centre lies on it halfway between the edge of the
    one and the mean of the edges of the others.
    """
    thumbs = [hole for hole in holes if hole.use == "thumb"]
    fingers = [hole for hole in holes if hole.use == "finger"]
    if len(thumbs) != 1 or not fingers:
        return None
    thumb = thumbs[0].entry_mm / radius_mm
    ends = [hole.entry_mm / radius_mm for hole in fingers]
    try:
        middle = unit(np.sum(ends, axis=0))
        way = tangent(thumb, middle)
        first = edge_rad(thumb, thumbs[0].way, _share(thumbs[0], radius_mm), middle)
        edges = [
            arc_rad(thumb, end) - edge_rad(end, hole.way, _share(hole, radius_mm), thumb)
            for hole, end in zip(fingers, ends, strict=True)
        ]
        centre = stepped(thumb, way, (first + float(np.mean(edges))) / 2.0)
        up = tangent(centre, middle)
    except ValueError:  # holes on top of one another, or opposite
        return None
    return np.column_stack([centre, np.cross(up, centre), up])


def _share(hole: Hole, radius_mm: float) -> float:
    return hole.drill.diameter_mm / 2.0 / radius_mm


def mirrored(point: Array, hand: Hand) -> Array:
    """A point or direction for a right hand, for this hand."""
    return point if hand == "right" else point * _MIRROR


def _mirrored(hole: Hole) -> Hole:
    return Hole(
        hole.name, hole.use, hole.entry_mm * _MIRROR, hole.way * _MIRROR, hole.drill, hole.line
    )


def _axis(at: Array, hole: GripHole, radius_mm: float, side: float) -> Array:
    """The way of a pitched hole: its axis misses the centre by forward and right together."""
    miss = hypot(hole.forward_mm, hole.right_mm)
    if miss == 0.0:
        return -at
    forward = tangent(at, CENTRE)
    right = np.cross(forward, at) * (1.0 if at[2] <= 0.0 else -1.0)
    lean = (hole.forward_mm * forward + side * hole.right_mm * right) / miss
    sine = miss / radius_mm
    return np.asarray(sine * lean - np.sqrt(1.0 - sine * sine) * at)


def _edge_rad(at: Array, hole: GripHole, radius_mm: float, side: float, towards: Array) -> float:
    """The arc from where a hole's axis meets the surface to its edge, towards a point."""
    axis = _axis(at, hole, radius_mm, side)
    return edge_rad(at, axis, hole.drill.diameter_mm / 2.0 / radius_mm, towards)


def edge_rad(at: Array, axis: Array, r: float, towards: Array) -> float:
    """The same from the hole's unit axis and its radius over the ball's.

    At an arc a along the tangent u the point e cos a + u sin a is off the line through e along k by
    the root of 2 - 2 cos a - ((cos a - 1) e.k + sin a u.k)^2.
    """
    along, aside = float(at @ axis), float(tangent(at, towards) @ axis)
    low, high = 0.0, pi / 2.0
    for _ in range(60):
        arc = 0.5 * (low + high)
        back = cos(arc) - 1.0
        off = -2.0 * back - (back * along + sin(arc) * aside) ** 2
        low, high = (arc, high) if off < r * r else (low, arc)
    return low


def _thumb(grip: Grip, radius_mm: float, side: float) -> Array:
    """Where the thumb hole is: its edge half the mean span below the grip centre.

    Without a thumb hole, the palm's mark: the grip centre itself.
    """
    if grip.thumb is None:
        return CENTRE
    half = (grip.middle.span_mm + grip.ring.span_mm) / 4.0 / radius_mm
    below = np.array([cos(half), 0.0, -sin(half)])  # any point below: the edge is the same there
    edge = _edge_rad(below, grip.thumb, radius_mm, side, CENTRE)
    return np.array([cos(half + edge), 0.0, -sin(half + edge)])


def _fingers(
    grip: Grip, thumb: Array, radius_mm: float, side: float, where: str
) -> tuple[Array, Array]:
    """Where the finger holes are, by Newton's method on two spans, the bridge and its middle."""
    middle, ring = grip.middle, grip.ring
    _check_triangle(grip, radius_mm, where)

    def gaps(x: Array) -> Array:
        m, n = _point(x[0], x[1]), _point(x[2], x[3])

        def start(to: Array) -> float:
            if grip.thumb is None:
                return 0.0
            return _edge_rad(thumb, grip.thumb, radius_mm, side, to)

        at_m = _edge_rad(m, middle, radius_mm, side, n)
        at_n = _edge_rad(n, ring, radius_mm, side, m)
        bridge = arc_rad(m, n) - at_m - at_n
        mid = stepped(m, tangent(m, n), at_m + bridge / 2.0)
        return np.array(
            [
                arc_rad(thumb, m) - start(m) - _edge_rad(m, middle, radius_mm, side, thumb)
                - middle.span_mm / radius_mm,
                arc_rad(thumb, n) - start(n) - _edge_rad(n, ring, radius_mm, side, thumb)
                - ring.span_mm / radius_mm,
                bridge - grip.bridge_mm / radius_mm,
                mid[1],
            ]
        )  # fmt: skip

    out = (grip.bridge_mm + middle.drill.diameter_mm) / 2.0 / radius_mm
    up = (middle.span_mm + ring.span_mm) / 4.0 / radius_mm
    up = 2.0 * up if grip.thumb is None else up
    up += middle.drill.diameter_mm / 2.0 / radius_mm
    found = _solved(gaps, np.array([-out, up, out, up]))
    if found is None:
        raise BallError(
            f"{where}: drilling.grip: no places of the finger holes have these spans and this "
            "bridge; check them against the hand"
        )
    return _point(found[0], found[1]), _point(found[2], found[3])


def _point(over: float, up: float) -> Array:
    return np.array([cos(up) * cos(over), cos(up) * sin(over), sin(up)])


def _solved(gaps: Callable[[Array], Array], start: Array) -> Array | None:
    """Where all gaps close; None when Newton's method does not get there."""
    x = start
    for _ in range(_ROUNDS):
        value = gaps(x)
        if np.abs(value).max() < _CLOSED:
            return x
        step = 1e-6
        slope = np.column_stack(
            [(gaps(x + d) - gaps(x - d)) / (2.0 * step) for d in np.eye(4) * step]
        )
        try:
            change = np.linalg.solve(slope, value)
        except np.linalg.LinAlgError:
            return None
        if not np.isfinite(change).all() or np.abs(change).max() > 1.0:
            return None
        x = x - change
    return x if np.abs(gaps(x)).max() < 1e-11 else None


def _check_pitches(grip: Grip, radius_mm: float, where: Callable[[int], str]) -> None:
    """No axis misses the centre by so much that its hole would run along the surface."""
    for name, hole in (("middle", grip.middle), ("ring", grip.ring), ("thumb", grip.thumb)):
        if hole is None:
            continue
        miss = hypot(hole.forward_mm, hole.right_mm)
        if miss > _MOST_PITCH * radius_mm:
            raise BallError(
                f"{where(hole.line)}: drilling.grip.{name}: its axis misses the ball's centre by "
                f"{miss / MM_PER_IN:.3f} in; at most {_MOST_PITCH * radius_mm / MM_PER_IN:.3f} in, "
                "half the radius: pitches are a fraction of an inch"
            )


def _check_triangle(grip: Grip, radius_mm: float, where: str) -> None:
    """Thumb, middle and ring make a triangle, or no grip has these spans and this bridge."""
    r = [h.drill.diameter_mm / 2.0 for h in (grip.middle, grip.ring)]
    thumb = grip.thumb.drill.diameter_mm / 2.0 if grip.thumb else 0.0
    sides = {
        "thumb to middle": thumb + grip.middle.span_mm + r[0],
        "thumb to ring": thumb + grip.ring.span_mm + r[1],
        "middle to ring": r[0] + grip.bridge_mm + r[1],
    }
    for name, side in sides.items():
        rest = sum(sides.values()) - side
        if side >= rest:
            said = ", ".join(f"{n} {s / MM_PER_IN:.3f} in" for n, s in sides.items())
            raise BallError(
                f"{where}: drilling.grip: the triangle of thumb, middle and ring does not close: "
                f"between the middles of the holes {said}, and {name} is no less than the other "
                "two together; change a span or the bridge"
            )
    if max(sides.values()) > pi / 2.0 * radius_mm:
        name = max(sides, key=lambda n: sides[n])
        raise BallError(
            f"{where}: drilling.grip: from {name} it is {sides[name] / MM_PER_IN:.3f} in between "
            "the middles of the holes, more than a quarter round the ball; change a span or the "
            "bridge"
        )


def _vent(
    name: str,
    vent: GripVent,
    holes: list[Hole],
    radius_mm: float,
    where: Callable[[int], str],
) -> Hole:
    """A vent from its place to a point on the axis of another hole."""
    (into,) = (hole for hole in holes if hole.name == vent.into)
    if vent.at_depth_mm >= into.drill.depth_mm:
        raise BallError(
            f"{where(vent.line)}: drilling.grip.vents: {name} meets {vent.into} "
            f"{vent.at_depth_mm / MM_PER_IN:.3f} in deep, but that is only "
            f"{into.drill.depth_mm / MM_PER_IN:.3f} in deep"
        )
    entry = radius_mm * on_surface(vent.at, radius_mm)
    way = into.entry_mm + vent.at_depth_mm * into.way - entry
    depth = float(np.linalg.norm(way))
    return Hole(name, "vent", entry, unit(way), Drill(vent.diameter_mm, depth), vent.line)
