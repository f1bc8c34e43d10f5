"""How a mould stands in a design file: its planes, rod, gates, vents, ejectors and keys."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Any

from pipeline.document import Items, Node, Scalar
from pipeline.fields import BAD, Bad, ChoiceKind, NumberKind, QuantityKind, Reading
from pipeline.hole_fields import MadeKind, PlainKind, refuse_at
from pipeline.process import (
    ChannelAsked,
    EjectorAsked,
    KeysAsked,
    RodAsked,
    SplitAsked,
    Vector,
)
from pipeline.records import Key, ListKind, Record, TupleKind
from pipeline.units import ANGLE, LENGTH

MOST_PIECES = 6
_LENGTH = QuantityKind(LENGTH, "units")
_SIZE = QuantityKind(LENGTH, "units", above=0.0)
_TAPER = QuantityKind(ANGLE, "deg", at_least=0.0, at_most=(30.0, "at most 30"))
_POINT = TupleKind(_LENGTH, ("x", "y", "z"))
_PLANE_POINT = TupleKind(_LENGTH, ("x", "y"))
_XYZ = TupleKind(NumberKind(), ("x", "y", "z"))


@dataclass(frozen=True)
class DirectionKind:
    """A direction, given by a vector of any length but zero."""

    @property
    def allowed(self) -> str:
        return "a direction [x, y, z], not all zero"

    def read(self, node: Node, path: str, reading: Reading) -> Vector | Bad:
        found = _XYZ.read(node, path, reading)
        if isinstance(found, Bad):
            return BAD
        size = sqrt(sum(x * x for x in found))
        if size == 0.0:
            return reading.refuse(node, node.line, path, self.allowed)
        x, y, z = (c / size for c in found)
        return x, y, z

    def schema(self) -> dict[str, Any]:
        return _XYZ.schema()


_WAY = DirectionKind()
SPLIT = Record(
    "parting plane",
    "A plane of the mould. What lies beyond it is one piece, drawn along `pull`; what the last "
    "plane leaves is drawn the other way.",
    (
        Key("pull", _WAY, "the way the piece is drawn"),
        Key("at", _LENGTH, "how far along that way the plane is from the part's origin",
            required=False, default="0"),
    ),
)  # fmt: skip


def _split(found: dict[str, Any], _: int) -> SplitAsked:
    return SplitAsked(found["pull"], found.get("at", 0.0))


@dataclass(frozen=True)
class PartingKind:
    """The planes in turn, or the word for having them found."""

    planes: ListKind

    @property
    def allowed(self) -> str:
        return f"best, or a list of {SPLIT.allowed}"

    def read(self, node: Node, path: str, reading: Reading) -> tuple[SplitAsked, ...] | Bad | None:
        if isinstance(node, Scalar) and node.text == "best":
            return None
        if not isinstance(node, Items) or len(node.items) >= MOST_PIECES:
            return reading.refuse(node, node.line, path, self.allowed)
        found: tuple[SplitAsked, ...] | Bad = self.planes.read(node, path, reading)
        return found

    def schema(self) -> dict[str, Any]:
        return {"anyOf": [{"const": "best"}, self.planes.schema()]}


ROD = Record(
    "rod",
    "The hole of the rod that holds the casting in its mould, about a line along the part's Z.",
    (
        Key("diameter", _SIZE, "where it enters the part"),
        Key("depth", _SIZE, "from there along its axis; a part poured round others may leave it "
            "out", required=False, default="on to the part inside, and its rod hole"),
        Key("taper", _TAPER, "how much its side leans, narrowing inwards", required=False,
            default="0"),
        Key("side", ChoiceKind(("pin", "foot")), "the end it enters from: +Z is the pin's",
            required=False, default="pin"),
        Key("at", _PLANE_POINT, "its axis", required=False, default="[0, 0]"),
    ),
)  # fmt: skip


def _rod(found: dict[str, Any], line: int) -> RodAsked:
    return RodAsked(
        found["diameter"], found.get("depth"), found.get("taper", 0.0), found.get("side", "pin"),
        found.get("at", (0.0, 0.0)), line,
    )  # fmt: skip


CHANNEL = Record(
    "gate or vent",
    "A straight round channel from the part out of the block; it must lie in a parting plane or "
    "along the way its piece is drawn, or nothing could be drawn off it.",
    (
        Key("toward", _WAY, "the way it leads outwards"),
        Key("through", _POINT, "a point of its axis inside the part", required=False,
            default="[0, 0, 0]"),
        Key("diameter", _SIZE, "where it leaves the part"),
        Key("taper", _TAPER, "how much its side leans, narrowing outwards", required=False,
            default="0"),
    ),
)  # fmt: skip


def _channel(found: dict[str, Any], line: int) -> ChannelAsked:
    return ChannelAsked(
        found.get("through", (0.0, 0.0, 0.0)), found["toward"], found["diameter"],
        found.get("taper", 0.0), line,
    )  # fmt: skip


EJECTOR = Record(
    "ejector",
    "A flat disc for an ejector pin, square to the way its piece is drawn.",
    (
        Key("at", _POINT, "a point that the pin's axis runs through"),
        Key("diameter", _SIZE, "of the pin"),
        Key("piece", NumberKind(at_least=1, at_most=MOST_PIECES, whole=True),
            "the piece of the mould it stands in, from 1 in the order they are drawn"),
    ),
)  # fmt: skip


def _ejector(found: dict[str, Any], line: int) -> EjectorAsked:
    return EjectorAsked(found["at"], found["diameter"], int(found["piece"]), line)


KEYS = Record(
    "keys",
    "The cones that align the pieces of a mould.",
    (
        Key("diameter", _SIZE, "at the parting plane"),
        Key("height", _SIZE, "above it"),
    ),
)


class KeysKind(MadeKind):
    """Alignment keys."""

    def made(
        self, found: dict[str, Any], node: Node, path: str, reading: Reading
    ) -> KeysAsked | Bad:
        if found["height"] > found["diameter"]:
            return refuse_at(node, "height", path, reading, "at most the diameter")
        return KeysAsked(found["diameter"], found["height"])


PARTING_KIND = PartingKind(ListKind(PlainKind(SPLIT, _split)))
ROD_KIND = PlainKind(ROD, _rod)
CHANNELS_KIND = ListKind(PlainKind(CHANNEL, _channel))
EJECTORS_KIND = ListKind(PlainKind(EJECTOR, _ejector))
KEYS_KIND = KeysKind(KEYS)
