"""How a drilling stands in a design file: grip, layout and axis point."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pipeline.document import Node, Scalar
from pipeline.drilling import (
    ByDistances,
    ByPlaces,
    Drilling,
    Grip,
    GripHole,
    GripVent,
    Layout,
    Place,
    SurfacePoint,
)
from pipeline.fields import BAD, Bad, ChoiceKind, Kind, QuantityKind, Reading
from pipeline.hole_fields import (
    DRILL,
    HOLE,
    SURFACE_POINT,
    HoleKind,
    MadeKind,
    PlainKind,
    drill_in,
    refuse_at,
)
from pipeline.records import Key, ListKind, Record
from pipeline.units import LENGTH

_LENGTH = QuantityKind(LENGTH, "units")
_SIZE = QuantityKind(LENGTH, "units", above=0.0)
_SIDE = ChoiceKind(("above", "below"))
_YES = ChoiceKind(("yes", "no"))

_UP = (
    Key("over", _LENGTH, "along the midline from the grip centre, towards the ring finger's side"),
    Key("up", _LENGTH, "then square to the midline, towards the fingers", required=False),
    Key("down", _LENGTH, "the same towards the thumb", required=False),
)
PLACE = Record("place", "A point of the surface by its distances from the grip centre.", _UP)
AXIS_POINT = Record(
    "axis_point",
    "Where the bowler's spin axis leaves the ball: over and up (or down) from the grip centre, or "
    "for raw holes by arc and azimuth in the ball frame.",
    (
        *(Key(k.name, k.kind, k.says, required=False) for k in _UP),
        *(Key(k.name, k.kind, k.says, required=False) for k in SURFACE_POINT.keys),
    ),
)


class PlaceKind(MadeKind):
    """Over and up or down."""

    def made(self, found: dict[str, Any], node: Node, path: str, reading: Reading) -> Place | Bad:
        if "up" in found and "down" in found:
            return refuse_at(node, "down", path, reading, "one of up and down")
        return Place(found["over"], found.get("up", -found.get("down", 0.0)))


class AxisPointKind(MadeKind):
    """Over and up or down, or arc and azimuth."""

    def made(
        self, found: dict[str, Any], node: Node, path: str, reading: Reading
    ) -> Place | SurfacePoint | Bad:
        if "over" in found and not {"arc", "azimuth"} & set(found):
            return PLACE_KIND.made(found, node, path, reading)
        if set(found) == {"arc", "azimuth"}:
            return SurfacePoint(found["arc"], found["azimuth"])
        return reading.refuse(node, node.line, path, "{over, up or down}, or {arc, azimuth}")


PLACE_KIND = PlaceKind(PLACE)
_PITCHES = (
    Key("forward", _LENGTH, "how far its axis misses the ball's centre towards the grip centre",
        required=False, default="0"),
    Key("reverse", _LENGTH, "the same away from the grip centre", required=False),
    Key("right", _LENGTH, "how far to the right, seen from outside with the fingers up",
        required=False, default="0"),
    Key("left", _LENGTH, "the same to the left", required=False),
)  # fmt: skip
FINGER = Record(
    "finger hole",
    "A finger hole of a grip.",
    (
        Key("span", _SIZE, "along the surface from the thumb hole's nearest edge to its own; in a "
            "grip without thumb from the palm's mark"),
        *DRILL,
        *_PITCHES,
    ),
)  # fmt: skip
THUMB = Record("thumb hole", "The thumb hole of a grip.", (*DRILL, *_PITCHES))


class GripHoleKind(MadeKind):
    """A finger or the thumb."""

    def made(
        self, found: dict[str, Any], node: Node, path: str, reading: Reading
    ) -> GripHole | Bad:
        for one, other in (("forward", "reverse"), ("right", "left")):
            if one in found and other in found:
                return refuse_at(node, other, path, reading, f"one of {one} and {other}")
        drill = drill_in(found, node, path, reading)
        if isinstance(drill, Bad):
            return BAD
        return GripHole(
            drill,
            found.get("forward", -found.get("reverse", 0.0)),
            found.get("right", -found.get("left", 0.0)),
            found.get("span", 0.0),
            node.line,
        )


@dataclass(frozen=True)
class ThumbKind:
    """A thumb hole, or none."""

    @property
    def allowed(self) -> str:
        return f"none, or {THUMB.allowed}"

    def read(self, node: Node, path: str, reading: Reading) -> GripHole | Bad | None:
        if isinstance(node, Scalar):
            if node.text == "none":
                return None
            return reading.refuse(node, node.line, path, self.allowed)
        found: GripHole | Bad = GripHoleKind(THUMB).read(node, path, reading)
        return found

    def schema(self) -> dict[str, Any]:
        return {"anyOf": [{"const": "none"}, THUMB.schema()]}


VENT = Record(
    "vent",
    "A vent of a grip: straight from a point of the surface to a point on another hole's axis.",
    (
        Key("at", PLACE_KIND, "where it enters"),
        Key("into", ChoiceKind(("middle", "ring", "thumb")), "the hole that it meets"),
        Key("at_depth", _SIZE, "how deep in that hole"),
        Key("diameter", _SIZE, "its own diameter"),
    ),
)


def _vent(found: dict[str, Any], line: int) -> GripVent:
    return GripVent(found["at"], found["into"], found["at_depth"], found["diameter"], line)


GRIP = Record(
    "grip",
    "The holes of a hand. The thumb hole stands on the centreline, and so does the middle of the "
    "bridge; the grip centre lies on it, half the mean span from the thumb hole's edge.",
    (
        Key("middle", GripHoleKind(FINGER), "the middle finger's hole"),
        Key("ring", GripHoleKind(FINGER), "the ring finger's hole"),
        Key("bridge", _SIZE, "along the surface between their nearest edges"),
        Key("thumb", ThumbKind(), "the thumb's hole, or none; without it the spans start at the "
            "palm's mark, which is the grip centre"),
        Key("vents", ListKind(PlainKind(VENT, _vent)), "vents", required=False),
    ),
)  # fmt: skip


class GripKind(MadeKind):
    """A whole grip."""

    def made(self, found: dict[str, Any], node: Node, path: str, reading: Reading) -> Grip | Bad:
        vents = found.get("vents", ())
        if found["thumb"] is None and any(v.into == "thumb" for v in vents):
            return refuse_at(
                node, "vents", path, reading, "vents into holes that there are",
                "this grip has no thumb hole: change 'into'",
            )  # fmt: skip
        return Grip(
            found["middle"], found["ring"], found["bridge"], found["thumb"], vents, node.line
        )


LAYOUT = Record(
    "layout",
    "Where the pin and, on an asymmetrical ball, the high-RG mark stand: by distances along the "
    "surface from the axis point, or by their places from the grip centre.",
    (
        Key("pin_to_axis_point", _SIZE, "from the pin to the axis point", required=False),
        Key("pin_to_val", _LENGTH, "from the pin square to the vertical axis line; less than zero "
            "on the side away from the grip", required=False),
        Key("pin", _SIDE, "whether the pin is above (towards the fingers) or below the axis point, "
            "along that line", required=False),
        Key("mark_to_axis_point", _SIZE, "from the high-RG mark to the axis point",
            required=False),
        Key("mark", ChoiceKind(("above", "below", "left", "right")), "which of the two places "
            "where it may then be, seen from outside with the fingers up", required=False),
        Key("pin_at", PLACE_KIND, "where the pin is from the grip centre", required=False),
        Key("mark_at", PLACE_KIND, "where the high-RG mark is from the grip centre",
            required=False),
    ),
)  # fmt: skip
_DISTANCES = ("pin_to_axis_point", "pin_to_val", "pin")


class LayoutKind(MadeKind):
    """By distances, or by places."""

    def made(self, found: dict[str, Any], node: Node, path: str, reading: Reading) -> Layout | Bad:
        by_distances = [k for k in (*_DISTANCES, "mark_to_axis_point", "mark") if k in found]
        by_places = [k for k in ("pin_at", "mark_at") if k in found]
        if by_distances and by_places:
            return refuse_at(
                node, by_places[0], path, reading,
                f"distances ({', '.join(by_distances)}) or places, not both",
                "the two ways do not mix: leave one out",
            )  # fmt: skip
        if by_places:
            if "pin_at" not in found:
                return refuse_at(node, "pin_at", path, reading, "the pin's place beside the mark's")
            return ByPlaces(found["pin_at"], found.get("mark_at"), node.line)
        missing = [k for k in _DISTANCES if k not in found]
        if missing:
            return refuse_at(
                node, missing[0], path, reading,
                "pin_to_axis_point, pin_to_val and pin together, or pin_at",
                "it must be there",
            )  # fmt: skip
        if ("mark" in found) != ("mark_to_axis_point" in found):
            gone = "mark_to_axis_point" if "mark" in found else "mark"
            return refuse_at(
                node, gone, path, reading, "mark_to_axis_point and mark together",
                "two places have that distance: say which",
            )  # fmt: skip
        return ByDistances(
            found["pin_to_axis_point"], found["pin_to_val"], found["pin"] == "above",
            found.get("mark_to_axis_point"),
            found.get("mark"),
            node.line,
        )  # fmt: skip


DRILLING = Record(
    "drilling",
    "Holes in the finished ball: raw ones in the ball frame, or a grip with a layout.",
    (
        Key("hand", ChoiceKind(("right", "left")), "the bowler's hand; needed with a grip",
            required=False),
        Key("axis_point", AxisPointKind(AXIS_POINT), "where the bowler's spin axis leaves the "
            "ball: the positive axis point", required=False),
        Key("grip", GripKind(GRIP), "the holes of a hand", required=False),
        Key("layout", LayoutKind(LAYOUT), "where pin and mark stand to the grip",
            required=False),
        Key("holes", ListKind(HoleKind(HOLE)), "holes in the ball frame", required=False),
        Key("house_ball", _YES, "whether it is a ball that a centre lends", required=False,
            default="no"),
    ),
)  # fmt: skip


class DrillingKind(MadeKind):
    """The whole section."""

    def made(
        self, found: dict[str, Any], node: Node, path: str, reading: Reading
    ) -> Drilling | Bad:
        fault = _fault(found)
        if fault is not None:
            key, allowed, why = fault
            return refuse_at(node, key, path, reading, allowed, why)
        grip, layout, axis = (found.get(k) for k in ("grip", "layout", "axis_point"))
        return Drilling(
            found.get("holes", ()), found.get("hand"), axis, grip, layout,
            found.get("house_ball") == "yes", node.line,
        )  # fmt: skip


def _fault(found: Mapping[str, Any]) -> tuple[str, str, str] | None:
    """What is wrong between the keys: which of them, what is allowed there, and why."""
    kinds = {key.name: key.kind.allowed for key in DRILLING.keys}
    grip, layout, axis = (found.get(k) for k in ("grip", "layout", "axis_point"))
    if grip is None and "holes" not in found:
        return "holes", "holes, or a grip", "it must be there"
    lacking = [key for key in ("hand", "layout") if key not in found]
    if grip is not None and lacking:
        return lacking[0], kinds[lacking[0]], "a grip needs it"
    if grip is not None and isinstance(layout, ByDistances) and axis is None:
        return "axis_point", "{over, up or down} beside a grip", "a layout by distances needs it"
    if grip is not None and isinstance(axis, SurfacePoint):
        why = "its place in the ball frame follows from the layout"
        return "axis_point", "{over, up or down} beside a grip", why
    if grip is None and layout is not None:
        return "layout", "a layout beside a grip", "raw holes are placed already: leave it out"
    if grip is None and isinstance(axis, Place):
        why = "over and up start at the grip centre, and there is no grip"
        return "axis_point", "{arc, azimuth} beside raw holes", why
    if axis is not None and "hand" not in found:
        return "hand", kinds["hand"], "an axis point needs it"
    names = _names(found)
    twice = next((n for n in names if names.count(n) > 1), None)
    if twice is not None:
        why = f"'{twice}' names two; a grip's holes are middle, ring, thumb, vent 1, ..."
        return "holes", "a name of its own for each hole", why
    return None


def _names(found: Mapping[str, Any]) -> list[str]:
    names = [hole.name for hole in found.get("holes", ())]
    grip = found.get("grip")
    if grip is not None:
        names += ["middle", "ring", *(["thumb"] if grip.thumb else [])]
        names += [f"vent {k + 1}" for k in range(len(grip.vents))]
    return names


DRILLING_KIND: Kind = DrillingKind(DRILLING)
