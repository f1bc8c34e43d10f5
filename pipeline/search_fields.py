"""How aims, what must be kept and what may vary stand in a design file: their keys."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pipeline.document import Entries, Items, Node, Scalar
from pipeline.fields import (
    BAD,
    Bad,
    ChoiceKind,
    NumberKind,
    QuantityKind,
    Reading,
    TextKind,
)
from pipeline.records import Key, ListKind, Record
from pipeline.units import DENSITY, LENGTH, MASS
from pipeline.wanted import AIMED, Aim, Seek

_NAME = TextKind(r".{1,80}", "a name")
_PATH = TextKind(
    r"[A-Za-z_]\w*(\[\d+\])*(\.[A-Za-z_]\w*(\[\d+\])*)*",
    "the path of a number of that part, such as size.x, move.z or profile[2].r",
)
_LENGTH = QuantityKind(LENGTH, "units")
_WEIGHT = QuantityKind(MASS, above=0.0)
_DENSITY = QuantityKind(DENSITY, "g/cm3", above=0.0)


@dataclass(frozen=True)
class AimKind:
    """What one figure should be: a window, or as small or great as can be."""

    figure: str

    @property
    def _value(self) -> QuantityKind:
        if AIMED[self.figure].unit == "in":
            return QuantityKind(LENGTH, "units", at_least=0.0)
        return QuantityKind(MASS, at_least=0.0)

    @property
    def record(self) -> Record:
        """All keys of an aim."""
        value = self._value
        return Record(
            f"aim, {self.figure}",
            AIMED[self.figure].says,
            (
                Key("value", value, "what it should be", required=False),
                Key("within", value, "how far off it may be", required=False),
                Key("from", value, "the least it may be", required=False),
                Key("to", value, "the most it may be", required=False),
                Key(
                    "seek",
                    ChoiceKind(("least", "greatest")),
                    "have it as small or as great as can be, when all else is met",
                    required=False,
                ),
            ),
        )

    @property
    def allowed(self) -> str:
        return "{value, within}, {from, to}, {seek: least} or {seek: greatest}"

    def read(self, node: Node, path: str, reading: Reading) -> Aim | Bad:
        found = self.record.read(node, path, reading)
        if isinstance(found, Bad):
            return BAD
        low, high = found.get("from"), found.get("to")
        if low is not None and high is not None and low > high:
            return reading.refuse(node, node.line, path, self.allowed, "from is more than to")
        window = _window(found)
        if window is None:
            return reading.refuse(node, node.line, path, self.allowed)
        seek: Seek | None = found.get("seek")
        return Aim(self.figure, *window, found.get("value"), seek, node.line)

    def schema(self) -> dict[str, Any]:
        return self.record.schema()


def _window(found: Mapping[str, Any]) -> tuple[float | None, float | None] | None:
    """Lower and upper end; None when the keys do not go together."""
    has_value, has_range = "value" in found, "from" in found or "to" in found
    if has_value != ("within" in found) or (has_value and has_range):
        return None
    if has_value:
        return found["value"] - found["within"], found["value"] + found["within"]
    if not has_range and "seek" not in found:
        return None
    return found.get("from"), found.get("to")


AIM = Record(
    "aim",
    "What the ball's figures should be.",
    tuple(Key(name, AimKind(name), figure.says, required=False) for name, figure in AIMED.items()),
)
WALL = Record(
    "wall",
    "How much must be left round a part.",
    (
        Key("part", _NAME, "the part inside"),
        Key("inside", _NAME, "a part round it that is a sphere, to whose surface it is measured"),
        Key("at_least", QuantityKind(LENGTH, "units", at_least=0.0), "the least that must be left"),
    ),
)
EXTENT = Record(
    "extent",
    "How large a part may be, as drawn.",
    (
        Key("part", _NAME, "the part"),
        Key(
            "along",
            ChoiceKind(("height", "width")),
            "along its own Z, or across it where it is widest along X or Y",
        ),
        Key("from", _LENGTH, "at least", required=False),
        Key("to", _LENGTH, "at most", required=False),
    ),
)
LIMITS_KEPT = Record(
    "limits",
    "The governing body's limits on RG and differentials, with some room.",
    (Key("margin", QuantityKind(LENGTH, "units", at_least=0.0), "how far inside them to stay"),),
)
KEEP = Record(
    "keep",
    "What must hold while numbers vary.",
    (
        Key("walls", ListKind(WALL), "what must be left round parts", required=False),
        Key("extents", ListKind(EXTENT), "how large parts may be", required=False),
        Key("limits", LIMITS_KEPT, "the governing body's limits", required=False),
    ),
)


@dataclass(frozen=True)
class WrittenKind:
    """A number that is read when it is known what it belongs to."""

    @property
    def allowed(self) -> str:
        return "a number, with a unit where its field takes one"

    def read(self, node: Node, path: str, reading: Reading) -> Scalar | Bad:
        if isinstance(node, Scalar):
            return node
        return reading.refuse(node, node.line, path, self.allowed)

    def schema(self) -> dict[str, Any]:
        return {"type": ["number", "string"]}


@dataclass(frozen=True)
class FieldKind:
    """A field of the same part, or of another one."""

    @property
    def allowed(self) -> str:
        return f"{_PATH.allowed}, or {{part: ..., field: ...}}, or a list of those"

    def read(self, node: Node, path: str, reading: Reading) -> Any:
        """Pairs of a part's name, '' for the same, and a path."""
        if isinstance(node, Items) and node.items:
            found = [self.read(item, f"{path}[{k}]", reading) for k, item in enumerate(node.items)]
            return BAD if any(isinstance(f, Bad) for f in found) else [p for f in found for p in f]
        if isinstance(node, Entries):
            keys = _TARGET.read(node, path, reading)
            return BAD if isinstance(keys, Bad) else [(keys["part"], keys["field"])]
        text = _PATH.read(node, path, reading)
        return BAD if isinstance(text, Bad) else [("", text)]

    def schema(self) -> dict[str, Any]:
        one = [_PATH.schema(), _TARGET.schema()]
        return {"anyOf": [*one, {"type": "array", "items": {"anyOf": one}, "minItems": 1}]}


_TARGET = Record(
    "field of a part",
    "A number of another part.",
    (Key("part", _NAME, "the part"), Key("field", _PATH, "its field")),
)
VARY = Record(
    "vary",
    "A number that may vary: a field of a part, the density of a material, or the ball's weight.",
    (
        Key("part", _NAME, "the part", required=False),
        Key("field", _PATH, "the number of that part", required=False),
        Key("material", _NAME, "the material whose density varies", required=False),
        Key("ball", ChoiceKind(("weight",)), "the ball's weight varies", required=False),
        Key("from", WrittenKind(), "the least it may be"),
        Key("to", WrittenKind(), "the most it may be"),
        Key("with", FieldKind(), "numbers that stay equal to it", required=False),
        Key("against", FieldKind(), "numbers equal to it but for their sign", required=False),
        Key(
            "beside",
            FieldKind(),
            "numbers that keep the distance to it that they have in the file",
            required=False,
        ),
    ),
)
MEANS = Record(
    "means",
    "A way to reach a ball weight.",
    (
        Key("material", _NAME, "the material whose density may vary", required=False),
        Key("from", _DENSITY, "its least density", required=False),
        Key("to", _DENSITY, "its greatest density", required=False),
        Key(
            "core",
            ListKind(NumberKind(above=0.5, at_most=1.5)),
            "sizes that the core may have: factors for all parts inside the outer core, about the "
            "ball's centre",
            required=False,
        ),
    ),
)
LINE = Record(
    "lineup",
    "How the core is carried across ball weights.",
    (
        Key("weights", ListKind(_WEIGHT), "the ball weights", required=False,
            default="16 lb to 12 lb"),
        Key("hold", AIM, "windows for the figures of every ball", required=False,
            default="those of aim"),
        Key("by", ListKind(MEANS), "the means, in order of preference; the first a material",
            required=False, default="the free density"),
        Key("share", ListKind(ListKind(_WEIGHT, at_least=2)),
            "weights that are to share one outer-core density", required=False),
    ),
)  # fmt: skip
SEARCH_KEYS = (
    Key("aim", AIM, "what the ball's figures should be, for `fit`", required=False),
    Key("keep", KEEP, "what must hold while numbers vary", required=False),
    Key("vary", ListKind(VARY), "numbers that may vary", required=False),
    Key("lineup", LINE, "how the core is carried across ball weights", required=False),
)
