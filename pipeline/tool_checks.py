"""Checks of a casting and its mould: value, limit, margin, place.  Estimates for a design review.

Limits are the design's own or common practice; only a trial pour tells what a compound does.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from pipeline.ball import Ball
from pipeline.casting_facts import (
    CUTTER_MM,
    FILLET_MM,
    LEAST_WALL_MM,
    SHIFT_MM,
    TOLERANCE,
    UPRIGHT_MM,
    draft_deg,
)
from pipeline.castings import Casting
from pipeline.check import Finding, Verdict
from pipeline.digits import counted
from pipeline.kernel import kernel
from pipeline.moulds import LEAST_WALL_MM as MOULD_WALL_MM
from pipeline.moulds import Tool
from pipeline.partings import TRAPPED_MM2, Released
from pipeline.tolerances import deviation_mm
from shapes.moments import Array
from shapes.sphere import Sphere

if TYPE_CHECKING:
    from shapes.face_sizes import FaceSize
    from shapes.roundness import SharpEdge
    from shapes.skin import Skin
    from shapes.thickness import Walls

AS_CAST, AS_CUT = "as cast", "as cut"
SEAT_MM = 0.1  # flatness of a seat: common practice, no source
NARROW_MM = 0.5  # a face narrower than this is a sliver: common practice, no source
_PRACTICE = "common practice, no source"
_ASKED = "the design's own process"
_EXACT = 1e-3  # nearer to its limit, a figure that is told to a tenth is on it
_SEAT_WIDTH_MM = 5.0  # a narrower face is no seat

Place = tuple[float, float, float]


@dataclass(frozen=True)
class Checked:
    """One check.

    Attributes:
        casting: which, or 'ball'.
        finding: value, limit, margin, verdict.
        place_mm: where, in the part's own frame; None where no place is meant.
        size: whether the place is as cast (cold) or as cut.
    """

    casting: str
    finding: Finding
    place_mm: Place | None = None
    size: str = AS_CAST


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
        from shapes.skin import skin_of
        from shapes.thickness import walls_of

        skin = skin_of(casting.as_cast)
        return Measured(casting, skin, walls_of(skin), face_sizes(casting.as_cast, skin))


def check_casting(of: Measured) -> tuple[Checked, ...]:
    """What holds of the casting itself: walls, thick sections, seats, shrinkage."""
    with kernel():
        from shapes.clearance import grown_ball
        from shapes.thickness import largest_ball, tangent_balls_mm

        balls = tangent_balls_mm(of.skin, of.walls.through_mm)
        centre, _ = largest_ball(of.skin, balls)
        radius, centre = grown_ball(of.casting.as_cast, centre)
    asked, name = of.casting.asked, of.casting.name
    found = [
        *_least_wall(of),
        Checked(
            name,
            _at_most(
                "largest ball inside", 2.0 * radius, asked.thickest_mm, "mm",
                asked.thickest_mm is not None, "diameter; thick sections overheat when they cure",
            ),
            _place(centre),
        ),
        *_seats(name, of.faces),
    ]  # fmt: skip
    if of.casting.mould != "none":
        found.append(Checked(name, _shrinkage(of.casting)))
        found.append(Checked(name, _poured(of.casting)))
    if of.casting.inside and of.casting.mould != "none":
        found.append(Checked(name, _held(of.casting)))
    return tuple(found)


def _least_wall(of: Measured) -> Iterator[Checked]:
    """The thinnest place between two sides of the casting, or outside a corner of a part inside."""
    casting, asked = of.casting, of.casting.asked.least_wall_mm
    with kernel():
        from shapes.clearance import least_wall, nearest_corner
        from shapes.solid import taken_back

        thin = least_wall(casting.as_cast, of.skin, of.walls)
        if casting.inside:
            back = casting.part.body.placement
            inside = [taken_back(lump, back) for one in casting.inside for lump in one.lumps]
            corner = nearest_corner(casting.envelope, inside)
            thin = corner if thin is None else min(thin, corner, key=lambda pair: pair[0])
    if thin is not None:
        wall, place = thin
        finding = _at_least("least wall", wall, asked or LEAST_WALL_MM, "mm", asked is not None)
        yield Checked(casting.name, finding, _place(place))


def check_tool(tool: Tool, out: Released) -> tuple[Checked, ...]:
    """What holds of the casting in its mould: undercut, draft, radii, edges, faces, mould walls."""
    with kernel():
        from shapes.face_sizes import face_sizes
        from shapes.roundness import sharp_edges, smallest_concave, smallest_convex
        from shapes.skin import skin_of

        # an ejector's flat is sharp by nature: it is not held against cutter and fillet
        skin = skin_of(tool.casting.as_cut) if tool.casting.asked.ejectors else out.skin
        faces = face_sizes(tool.casting.as_cut, skin)
        edges = sharp_edges(tool.casting.as_cut)
        convex, concave = smallest_convex(skin), smallest_concave(skin)
    asked, name = tool.casting.asked, tool.casting.name
    inside, outside = "smallest convex radius", "smallest concave radius"
    cutter, fillet = asked.cutter_mm or CUTTER_MM, asked.fillet_mm or FILLET_MM
    bulging, hollow = [e for e in edges if e.convex], [e for e in edges if not e.convex]
    return (
        _undercut(tool, out),
        _low_walls(tool, out),
        _rounding(
            name, inside, convex.radius_mm, convex.place_mm, bulging, cutter,
            asked.cutter_mm is not None, "the finest cutter for the cavity",
        ),
        _rounding(
            name, outside, concave.radius_mm, concave.place_mm, hollow, fillet,
            asked.fillet_mm is not None, "a ridge of the mould",
        ),
        *_narrow(name, faces),
        _mould_wall(tool, skin),
    )  # fmt: skip


def check_ball(ball: Ball, of: Sequence[Measured]) -> tuple[Checked, ...]:
    """What holds of the parts together: no voids, and the core's distance to the ball's surface."""
    whole = Sphere(ball.design.diameter_mm).moments().volume_mm3
    filled = sum(part.claimed.volume_mm3 for part in ball.parts)
    void = max(0.0, whole - filled)
    room = 1e-7 * whole
    gaps = _finding(
        "voids between parts", void, "none", room - void, "mm3", void <= room, _PRACTICE
    )
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
    finding = _at_least(
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
    return float(away[row]), _place(corners[row]), of.casting.name


def _undercut(tool: Tool, out: Released) -> Checked:
    """Trapped area of the casting with its gates; a mould that catches more is not made at all."""
    area = out.caught_mm2
    finding = _finding(
        "undercut", area, f"at most {TRAPPED_MM2:g} mm2, the mesh's own", TRAPPED_MM2 - area, "mm2",
        area <= TRAPPED_MM2, "follows from the pull",
        "by sight along each piece's pull, casting with gates and flats",
    )  # fmt: skip
    return Checked(tool.casting.name, finding)


def _low_walls(tool: Tool, out: Released) -> Checked:
    """The highest wall with less than the draft wanted."""
    asked, drawn = tool.casting.asked, out.casting
    wanted = draft_deg(asked)
    most = UPRIGHT_MM if asked.upright_mm is None else asked.upright_mm
    low = drawn.low_walls(wanted)
    height = low[0].height_mm if low else 0.0
    share = drawn.low_mm2(wanted) / drawn.skin.area_mm2
    least = round(drawn.least_draft.value, 2) + 0.0
    finding = _at_most(
        f"wall under {wanted:g}\u00b0 of draft", height, most, "mm", asked.upright_mm is not None,
        f"highest; least draft {least:.2f}\u00b0; {100.0 * share:.1f} % of the surface is under "
        f"{wanted:g}\u00b0",
    )  # fmt: skip
    return Checked(tool.casting.name, finding, low[0].place_mm if low else None, AS_CUT)


def _rounding(
    name: str,
    rule: str,
    radius_mm: float,
    place_mm: Place | None,
    sharp: Sequence[SharpEdge],
    least_mm: float,
    asked: bool,
    why: str,
) -> Checked:
    """The smallest radius one way; a sharp edge has none at all."""
    if sharp:
        longest = max(sharp, key=lambda edge: edge.length_mm)
        total = sum(edge.length_mm for edge in sharp)
        note = f"{why}; {counted(len(sharp), 'sharp edge')}, {total:.0f} mm in all"
        return Checked(
            name, _at_least(rule, 0.0, least_mm, "mm", asked, note), longest.place_mm, AS_CUT
        )
    if not np.isfinite(radius_mm):
        finding = Finding(
            rule, None, f"at least {least_mm:g} mm", None, "mm", "pass",
            _ASKED if asked else _PRACTICE, "C", f"{why}; nothing bends this way",
        )  # fmt: skip
        return Checked(name, finding, None, AS_CUT)
    return Checked(name, _at_least(rule, radius_mm, least_mm, "mm", asked, why), place_mm, AS_CUT)


def _narrow(name: str, faces: Sequence[FaceSize]) -> Iterator[Checked]:
    """The narrowest face: slivers cannot be milled."""
    edged = [face for face in faces if np.isfinite(face.width_mm)]
    if edged:
        least = min(edged, key=lambda face: face.width_mm)
        note = f"twice area over perimeter; a {least.kind} face of {least.area_mm2:.0f} mm2"
        yield Checked(
            name, _at_least("narrowest face", least.width_mm, NARROW_MM, "mm", False, note),
            least.centre_mm, AS_CUT,
        )  # fmt: skip


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
            name, _at_most("flatness of seats", spread, SEAT_MM, "mm", False, note),
            worst.centre_mm,
        )  # fmt: skip


def _mould_wall(tool: Tool, skin: Skin) -> Checked:
    """The least steel between cavity and block."""
    depths = tool.mould.block.depths_mm(skin.corners_mm)
    thin = int(depths.argmin())
    finding = _at_least("least wall of the mould", float(depths[thin]), MOULD_WALL_MM, "mm", False)
    return Checked(tool.casting.name, finding, _place(skin.corners_mm[thin]), AS_CUT)


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
        "shrinkage measured", value, "from a trial pour", None, "%", verdict, _PRACTICE, "C", note
    )


def _poured(casting: Casting) -> Finding:
    """Whether there is a gate to pour it through."""
    count = len(casting.asked.gates)
    verdict: Verdict = "pass" if count else "not determined"
    note = "" if count else "the design gives no gate, so the mould has none"
    return Finding("gates", count, "at least one", None, "", verdict, _PRACTICE, "C", note)


def _held(casting: Casting) -> Finding:
    """Whether a rod holds the parts that a casting is poured round, in holes of their own."""
    rod = casting.asked.rod
    verdict: Verdict = "pass" if casting.reaches_hole else "not determined"
    note = "" if rod else "the design gives no rod, so nothing holds what is inside"
    if rod and not casting.reaches_hole:
        note = "the rod only stands on the part inside, which has no rod hole in its line"
    return Finding(
        "parts inside held", None, "by a rod in their rod hole", None, "", verdict, _PRACTICE, "C",
        note,
    )  # fmt: skip


def _at_least(
    rule: str, value: float, least: float | None, unit: str, asked: bool, note: str = ""
) -> Finding:
    return _limited(rule, value, least, unit, asked, note, 1.0)


def _at_most(
    rule: str, value: float, most: float | None, unit: str, asked: bool, note: str = ""
) -> Finding:
    return _limited(rule, value, most, unit, asked, note, -1.0)


def _limited(
    rule: str, value: float, limit: float | None, unit: str, asked: bool, note: str, way: float
) -> Finding:
    if limit is None:
        return Finding(
            rule, value, "none is known", None, unit, "not determined", _PRACTICE, "C", note
        )
    margin = way * (value - limit)
    words = f"{'at least' if way > 0.0 else 'at most'} {limit:g} {unit}"
    source = _ASKED if asked else _PRACTICE
    return _finding(rule, value, words, margin, unit, margin >= -_EXACT, source, note)


def _finding(
    rule: str,
    value: float,
    limit: str,
    margin: float,
    unit: str,
    good: bool,
    source: str,
    note: str = "",
) -> Finding:
    return Finding(rule, value, limit, margin, unit, "pass" if good else "fail", source, "C", note)


def _place(point: Array) -> Place:
    x, y, z = (float(c) for c in point)
    return x, y, z
