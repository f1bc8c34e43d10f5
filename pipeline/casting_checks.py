"""Checks of cold castings and of the parts together: walls, thick sections, seats, distances.

Limits are the design's own or common practice; only a trial pour tells what a compound does.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from pipeline.ball import Ball
from pipeline.casting_facts import LEAST_WALL_MM, SHIFT_MM, TOLERANCE
from pipeline.castings import Casting
from pipeline.check import Finding, Verdict
from pipeline.checked import PRACTICE, Checked, Place, at_least, at_most, held, place_of
from pipeline.digits import counted
from pipeline.kernel import kernel
from pipeline.tolerances import deviation_mm
from shapes.sphere import Sphere

if TYPE_CHECKING:
    from shapes.face_sizes import FaceSize
    from shapes.skin import Skin
    from shapes.thickness import Walls

SEAT_MM = 0.1  # flatness of a seat: common practice, no source
_SEAT_WIDTH_MM = 5.0  # a narrower face is no seat


@dataclass(frozen=True, eq=False)
class Measured:
    """A cold casting measured: its skin, its walls, its CAD faces."""

    casting: Casting
    skin: Skin
    walls: Walls
    faces: tuple[FaceSize, ...]


def measured(casting: Casting) -> Measured:
    """The cold casting's walls and faces."""
    with kernel():
        from shapes.face_sizes import face_sizes
        from shapes.thickness import walls_of

        skin = casting.skin_as_cast
        return Measured(casting, skin, walls_of(skin), face_sizes(casting.as_cast, skin))


def check_casting(of: Measured) -> tuple[Checked, ...]:
    """What holds of the casting itself: walls, thick sections, seats, shrinkage."""
    with kernel():
        from shapes.clearance import grown_ball
        from shapes.largest_ball import WORTH, largest_ball
        from shapes.thickness import tangent_balls_mm

        balls = tangent_balls_mm(of.skin, of.walls.through_mm, WORTH)
        centre, _ = largest_ball(of.skin, balls)
        radius, centre = grown_ball(of.casting.as_cast, centre)
    asked, name = of.casting.asked, of.casting.name
    found = [
        *_least_wall(of),
        Checked(
            name,
            at_most(
                "largest ball inside", 2.0 * radius, asked.thickest_mm, "mm",
                asked.thickest_mm is not None, "diameter; thick sections overheat when they cure",
            ),
            place_of(centre),
        ),
        *_seats(name, of.faces),
    ]  # fmt: skip
    if of.casting.mould != "none":
        found.append(Checked(name, _shrinkage(of.casting)))
        found.append(Checked(name, _poured(of.casting)))
    if of.casting.inside and of.casting.mould != "none":
        found.append(Checked(name, _held(of.casting)))
    return tuple(found)


def check_ball(ball: Ball, of: Sequence[Measured]) -> tuple[Checked, ...]:
    """What holds of the parts together: no voids, and the core's distance to the ball's surface."""
    whole = Sphere(ball.design.diameter_mm).moments().volume_mm3
    filled = sum(part.claimed.volume_mm3 for part in ball.parts)
    void = max(0.0, whole - filled)
    room = 1e-7 * whole
    gaps = held("voids between parts", void, "none", room - void, "mm3", void <= room, PRACTICE)
    return (Checked("ball", gaps), *_to_surface(ball, of))


def _to_surface(ball: Ball, of: Sequence[Measured]) -> Iterator[Checked]:
    """The core's nearest approach to the ball's surface when all that can be off is off."""
    core = [part for part in ball.parts if part.role in ("inner core", "insert")]
    if not core:
        return
    process = ball.design.process
    reach = {part.name: part.body.reach_mm(np.zeros(3)) for part in core}
    name = max(reach, key=lambda key: reach[key])
    shift = SHIFT_MM if process.shift_mm is None else process.shift_mm
    size = deviation_mm(2.0 * reach[name], process.tolerance or TOLERANCE) or 0.0
    flash = process.casting(name).deflash_mm or 0.0
    left = ball.radius_mm - reach[name] - shift - size - flash
    finding = at_least(
        "core to ball surface", left, process.surface_mm, "mm", process.surface_mm is not None,
        f"{name}, after a shift of {shift:g} mm, {size:g} mm of tolerance and {flash:g} mm of "
        "flash; before drilling",
    )  # fmt: skip
    castings = [one for one in of if one.casting.part.name == name]
    far = max((_farthest(one) for one in castings), key=lambda pair: pair[0])
    yield Checked(far[2], finding, far[1])


def _farthest(of: Measured) -> tuple[float, Place, str]:
    """The place of a casting that is farthest from the ball's centre, and how far it is."""
    corners = of.skin.corners_mm
    away = np.linalg.norm(corners - of.casting.part.body.placement.to_shape(np.zeros(3)), axis=1)
    row = int(away.argmax())
    return float(away[row]), place_of(corners[row]), of.casting.name


def _least_wall(of: Measured) -> Iterator[Checked]:
    """The thinnest place between two sides of the casting, or outside a corner of a part inside."""
    casting, asked = of.casting, of.casting.asked.least_wall_mm
    with kernel():
        from shapes.clearance import least_wall, nearest_corner

        thin = least_wall(casting.as_cast, of.skin, of.walls)
        if casting.inside:
            inside = [lump for lumps in casting.lumps_inside for lump in lumps]
            corner = nearest_corner(casting.envelope, inside)
            thin = corner if thin is None else min(thin, corner, key=lambda pair: pair[0])
    if thin is not None:
        wall, place = thin
        finding = at_least("least wall", wall, asked or LEAST_WALL_MM, "mm", asked is not None)
        yield Checked(casting.name, finding, place_of(place))


def _seats(name: str, faces: Sequence[FaceSize]) -> Iterator[Checked]:
    """The least flat of the faces that a part may be seated on."""
    flat = [
        (face.flatness.spread_mm, face)
        for face in faces
        if face.flatness is not None and face.width_mm >= _SEAT_WIDTH_MM
    ]
    if flat:
        spread, worst = max(flat, key=lambda pair: pair[0])
        note = f"{counted(len(flat), 'flat face')} 5 mm wide or more"
        yield Checked(
            name, at_most("flatness of seats", spread, SEAT_MM, "mm", False, note),
            worst.centre_mm,
        )  # fmt: skip


def _shrinkage(casting: Casting) -> Finding:
    """Whether the shrinkage is one that was measured."""
    given = casting.asked.shrinkage
    value = None if given is None else 100.0 * given.along
    said = bool(given and given.source)
    note = given.source if given and given.source else "its source is not said"
    if given is not None and given.along != given.across:
        note = f"along the axis; {100.0 * given.across:g} % across; {note}"
    if given is None:
        note = "not given: the mould is cut to the size of the casting"
    verdict: Verdict = "pass" if said else "not determined"
    return Finding(
        "shrinkage measured", value, "from a trial pour", None, "%", verdict, PRACTICE, "C", note
    )


def _poured(casting: Casting) -> Finding:
    """Whether there is a gate to pour it through."""
    count = len(casting.asked.gates)
    verdict: Verdict = "pass" if count else "not determined"
    note = "" if count else "the design gives no gate, so the mould has none"
    return Finding("gates", count, "at least one", None, "", verdict, PRACTICE, "C", note)


def _held(casting: Casting) -> Finding:
    """Whether a rod holds the parts that a casting is poured round, in holes of their own."""
    rod = casting.asked.rod
    verdict: Verdict = "pass" if casting.reaches_hole else "not determined"
    note = "" if rod else "the design gives no rod, so nothing holds what is inside"
    if rod and not casting.reaches_hole:
        note = "the rod only stands on the part inside, which has no rod hole in its line"
    return Finding(
        "parts inside held", None, "by a rod in their rod hole", None, "", verdict, PRACTICE, "C",
        note,
    )  # fmt: skip
