"""Where a drilling stands on a ball: grip and layout, or raw holes, in the ball frame."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from math import asin, cos, pi, sin

import numpy as np

from pipeline.ball import Ball
from pipeline.drilling import ByDistances, ByPlaces, Drilling, Hand, Layout, Place, SurfacePoint
from pipeline.errors import BallError
from pipeline.grip import CENTRE, frame_of_holes, mirrored, on_surface, placed_grip
from pipeline.holes import Hole, raw_hole, surface_point
from pipeline.sphere import angle_between_sides, arc_rad, rotation_to, stepped, tangent
from pipeline.units import MM_PER_IN
from pipeline.weigh import MassProperties
from shapes.moments import Array

_MEASURED_MM = MM_PER_IN / 32.0  # places told by measuring agree with the ball to so much
_SAME_HEIGHT = 1e-9
_IN_FROM_SURFACE_MM = 0.01
_WIDEST = 0.9  # of the ball's radius


class MarkUndecided(BallError):
    """A layout by distances leaves two places of the mark that above and below do not part."""


@dataclass(frozen=True, eq=False)
class Laid:
    """Holes and marks in the ball frame.

    Attributes:
        holes: raw ones first, then those of the grip.
        hand: of the bowler, where there is a grip.
        axis_point: unit vector of the positive axis point, or None.
        frame: shape (3, 3), columns: out at the grip centre, over along the midline to the right,
            up to the fingers; that of the grip, or of one that the raw holes make; else None.
        pin: unit vector of the pin that the layout is measured from.
        mark: that of the high-RG mark; None on a ball without one.
    """

    holes: tuple[Hole, ...]
    hand: Hand | None
    axis_point: Array | None
    frame: Array | None
    pin: Array
    mark: Array | None

    @property
    def grip_centre(self) -> Array | None:
        """Unit vector of the grip centre; None without a grip."""
        return None if self.frame is None else self.frame[:, 0]


def lay(ball: Ball, properties: MassProperties, asked: Drilling) -> Laid:
    """Lay a drilling out on a ball.

    Args:
        ball: the ball.
        properties: what it weighs before it is drilled.
        asked: the drilling.

    Raises:
        BallError: a hole cannot be, or the layout's triangles do not close.
    """
    radius, told = ball.radius_mm, partial(where, ball)
    check_asked(ball, asked)
    holes = [raw_hole(raw, radius) for raw in asked.holes]
    pin, mark = marks_of(properties)
    frame, axis = None, None
    if asked.grip is not None and asked.hand is not None and asked.layout is not None:
        grip = placed_grip(asked.grip, asked.hand, radius, told)
        frame = frame_of_layout(
            asked.layout, asked, pin, mark, radius, told(asked.layout.line or asked.line)
        )
        holes += [hole.turned(frame) for hole in grip.holes]
        if isinstance(asked.axis_point, Place):
            axis = frame @ mirrored(on_surface(asked.axis_point, radius), asked.hand)
    if isinstance(asked.axis_point, SurfacePoint):
        at = asked.axis_point
        axis = surface_point(at.arc_mm, at.azimuth_deg, radius) / radius
    check_holes(ball, holes)
    if frame is None:
        frame = frame_of_holes(holes, radius)
    return Laid(tuple(holes), asked.hand, axis, frame, pin, mark)


def marks_of(properties: MassProperties) -> tuple[Array, Array | None]:
    """Unit vectors of pin and high-RG mark.

    The pin of a ball without a low-RG axis stands as drawn; the mark of a symmetrical one is None.
    """
    pin, psa = properties.pin_mm(), properties.psa_mm()
    at = np.array([0.0, 0.0, 1.0]) if pin is None else pin / properties.radius_mm
    asymmetrical = properties.principal.symmetry == "asymmetrical"
    mark = psa / properties.radius_mm if asymmetrical and psa is not None else None
    return at, mark


def where(ball: Ball, line: int) -> str:
    """The file of a drilling, and a line in it, for messages."""
    file = ball.design.drilling_file or ball.design.file
    return f"{file}:{line}" if file and line else (file or "design")


def frame_of_layout(
    layout: Layout, asked: Drilling, pin: Array, mark: Array | None, radius: float, told: str
) -> Array:
    """The rotation, shape (3, 3), from the grip's frame to the ball's.

    Raises:
        BallError: the layout's triangles do not close.
    """
    assert asked.hand is not None
    if isinstance(layout, ByDistances):
        assert isinstance(asked.axis_point, Place)
        at, mark_at = _by_distances(layout, asked.axis_point, asked.hand, pin, mark, radius, told)
    else:
        at, mark_at = _by_places(layout, pin, mark, radius, told)
    at = mirrored(at, asked.hand)
    if mark is not None and mark_at is not None:
        return rotation_to(at, mirrored(mark_at, asked.hand), pin, mark)
    # a symmetrical ball may stand any way round its pin: the grip centre towards +X
    aside = np.eye(3)[0] if abs(pin[0]) < 1.0 - 1e-9 else np.eye(3)[2]
    second = CENTRE if arc_rad(at, CENTRE) > 1e-9 else np.eye(3)[2]
    return rotation_to(at, second, pin, aside)


def _by_distances(
    layout: ByDistances,
    axis_at: Place,
    hand: Hand,
    pin: Array,
    mark: Array | None,
    radius: float,
    told: str,
) -> tuple[Array, Array | None]:
    """Pin and mark in the frame of a right hand's grip."""
    at = pin_at(
        axis_at, layout.pin_to_axis_point_mm, layout.pin_to_val_mm, radius, told,
        above=layout.pin_above,
    )  # fmt: skip
    axis = on_surface(axis_at, radius)
    asked = layout.mark_to_axis_point_mm
    check_mark(asked is not None, mark, told)
    if mark is None or asked is None:
        return at, None
    if asked > pi * radius:
        raise BallError(
            f"{told}: drilling.layout.mark_to_axis_point: {asked / MM_PER_IN:.4f} in is more than "
            f"half round the ball, {_in(pi, radius)}"
        )
    one, between = layout.pin_to_axis_point_mm / radius, arc_rad(pin, mark)
    angle = angle_between_sides(asked / radius, one, between)
    if angle is None:
        least, most = abs(one - between), min(one + between, 2.0 * pi - one - between)
        raise BallError(
            f"{told}: drilling.layout: the triangle of pin, high-RG mark and axis point does not "
            f"close: pin to axis point {_in(one, radius)}, pin to mark {_in(between, radius)} on "
            f"this ball, mark to axis point {asked / MM_PER_IN:.4f} in; with the first two the "
            f"third can be {_in(least, radius)} to {_in(most, radius)}"
        )
    along = tangent(at, axis)
    aside = np.cross(at, along)
    found = [stepped(at, cos(angle) * along + s * sin(angle) * aside, between) for s in (1.0, -1.0)]
    # a left hand's grip is laid out as its mirror image
    way = {"above": (2, 1.0), "below": (2, -1.0), "right": (1, 1.0), "left": (1, -1.0)}
    axis_k, sign = way[layout.mark or "above"]
    sign *= -1.0 if axis_k == 1 and hand == "left" else 1.0
    found.sort(key=lambda p: sign * float(p[axis_k]))
    if sin(angle) > _SAME_HEIGHT and abs(found[1][axis_k] - found[0][axis_k]) < _SAME_HEIGHT:
        words = "above and below" if axis_k == 2 else "left and right"
        other = "left or right" if axis_k == 2 else "above or below"
        raise MarkUndecided(
            f"{told}: drilling.layout.mark: {words} do not tell the two places of the mark apart; "
            f"say {other}, or give pin_at and mark_at"
        )
    return at, found[1]


def pin_at(
    axis_at: Place,
    to_axis_mm: float,
    to_val_mm: float,
    radius: float,
    told: str = "layout",
    *,
    above: bool,
) -> Array:
    """The pin's unit vector in the frame of a right hand's grip, by two distances.

    The arc to the axis point is the hypotenuse of a right-angled triangle, that to the vertical
    axis line one of its legs.

    Raises:
        BallError: the triangle does not close.
    """
    hypotenuse, leg = to_axis_mm / radius, to_val_mm / radius
    if not 0.0 < hypotenuse < pi:
        raise BallError(
            f"{told}: drilling.layout.pin_to_axis_point: {to_axis_mm / MM_PER_IN:.4f} in is more "
            f"than half round the ball, {_in(pi, radius)}"
        )
    if abs(leg) > pi / 2.0 or abs(sin(leg)) > sin(hypotenuse) + 1e-12:
        most = min(hypotenuse, pi - hypotenuse)
        raise BallError(
            f"{told}: drilling.layout: the triangle of pin, axis point and vertical axis line "
            f"does not close: the pin is {to_axis_mm / MM_PER_IN:.4f} in from the axis point, so "
            f"it is at most {_in(most, radius)} from the line through it, not "
            f"{abs(to_val_mm) / MM_PER_IN:.4f} in"
        )
    axis = on_surface(axis_at, radius)
    over = axis_at.over_mm / radius
    east = np.array([-sin(over), cos(over), 0.0])
    up = np.cross(axis, east)
    sine = min(1.0, max(-1.0, sin(leg) / sin(hypotenuse)))
    turn = asin(sine)
    way = (cos(turn) if above else -cos(turn)) * up - sine * east
    return stepped(axis, way, hypotenuse)


def _by_places(
    layout: ByPlaces, pin: Array, mark: Array | None, radius: float, told: str
) -> tuple[Array, Array | None]:
    at = on_surface(layout.pin_at, radius)
    check_mark(layout.mark_at is not None, mark, told)
    if mark is None or layout.mark_at is None:
        return at, None
    mark_at = on_surface(layout.mark_at, radius)
    asked, due = arc_rad(at, mark_at) * radius, arc_rad(pin, mark) * radius
    if abs(asked - due) > _MEASURED_MM:
        raise BallError(
            f"{told}: drilling.layout: pin_at and mark_at are {asked / MM_PER_IN:.4f} in apart, "
            f"but on this ball the high-RG mark is {due / MM_PER_IN:.4f} in from the pin: the "
            "triangle of pin, mark and grip centre does not close (1/32 in is allowed)"
        )
    return at, mark_at


def check_mark(given: bool, mark: Array | None, told: str) -> None:
    """Hold that a layout speaks of the high-RG mark where the ball has one, and only there."""
    if given and mark is None:
        raise BallError(
            f"{told}: drilling.layout: the ball is symmetrical and has no high-RG mark; leave "
            "the mark out"
        )
    if not given and mark is not None:
        raise BallError(
            f"{told}: drilling.layout: the ball is asymmetrical, so the pin alone does not say "
            "how it stands; give mark_to_axis_point and mark, or mark_at beside pin_at"
        )


def _in(angle: float, radius: float) -> str:
    return f"{angle * radius / MM_PER_IN:.4f} in"


def check_asked(ball: Ball, asked: Drilling) -> None:
    """Hold that raw holes and places by over and up lie on the ball.

    Raises:
        BallError: with all that do not.
    """
    _check_raw(ball, asked)
    _check_places(ball, asked)


def _check_raw(ball: Ball, asked: Drilling) -> None:
    """Places on the surface are on it, and each hole's axis has a direction."""
    half = pi * ball.radius_mm
    faults = []
    for raw in asked.holes:
        told = f"{where(ball, raw.line)}: drilling: hole '{raw.name}'"
        if raw.arc_mm > half:
            faults.append(
                f"{told}: at.arc is {raw.arc_mm / MM_PER_IN:.4f} in, more than half round the "
                f"ball, {half / MM_PER_IN:.4f} in"
            )
        elif float(np.linalg.norm(raw.towards_mm)) > ball.radius_mm - _IN_FROM_SURFACE_MM:
            faults.append(
                f"{told}: 'towards' is no point inside the ball: it is "
                f"{float(np.linalg.norm(raw.towards_mm)) / MM_PER_IN:.4f} in from the centre"
            )
    at = asked.axis_point
    if isinstance(at, SurfacePoint) and at.arc_mm > half:
        faults.append(
            f"{where(ball, asked.line)}: drilling.axis_point.arc is {at.arc_mm / MM_PER_IN:.4f} "
            f"in, more than half round the ball, {half / MM_PER_IN:.4f} in"
        )
    if faults:
        raise BallError("\n".join(faults))


def _check_places(ball: Ball, asked: Drilling) -> None:
    """Places by over and up lie no farther than half and a quarter round the ball."""
    places = [("axis_point", asked.axis_point, asked.line)]
    if isinstance(asked.layout, ByPlaces):
        line = asked.layout.line
        places += [("layout.pin_at", asked.layout.pin_at, line)]
        places += [("layout.mark_at", asked.layout.mark_at, line)]
    if asked.grip is not None:
        places += [
            (f"grip.vents[{k}].at", vent.at, vent.line) for k, vent in enumerate(asked.grip.vents)
        ]
    half = pi * ball.radius_mm
    faults = []
    for name, place, line in places:
        if not isinstance(place, Place):
            continue
        for word, value, most in (("over", place.over_mm, half), ("up", place.up_mm, half / 2.0)):
            if abs(value) > most:
                share = "half" if word == "over" else "a quarter"
                faults.append(
                    f"{where(ball, line)}: drilling.{name}: {word} is {value / MM_PER_IN:.4f} in, "
                    f"more than {share} round the ball, {most / MM_PER_IN:.4f} in"
                )
    if faults:
        raise BallError("\n".join(faults))


def check_holes(ball: Ball, holes: Sequence[Hole]) -> None:
    """No hole is as wide as the ball, and every bevel ends above its hole's bottom."""
    faults = []
    for hole in holes:
        told = f"{where(ball, hole.line)}: drilling: hole '{hole.name}'"
        drill = hole.drill
        rim = drill.diameter_mm / 2.0 + drill.bevel_mm
        widest = max(rim + drill.bevel_mm, drill.insert.bore_mm / 2.0 if drill.insert else 0.0)
        if widest >= _WIDEST * ball.radius_mm:
            faults.append(
                f"{told}: with bevel and bore it is {2.0 * widest / MM_PER_IN:.3f} in wide, too "
                f"wide for a ball of {2.0 * ball.radius_mm / MM_PER_IN:.3f} in"
            )
            continue
        level = ball.radius_mm - np.sqrt(ball.radius_mm**2 - rim**2)
        if drill.bevel_mm > 0.0 and level + drill.bevel_mm >= drill.depth_mm:
            faults.append(f"{told}: its bevel reaches its bottom; make it deeper, or less bevelled")
    if faults:
        raise BallError("\n".join(faults))
