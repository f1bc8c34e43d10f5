"""How a body stands in a design file: the keys of its shape family, and its placement."""

from __future__ import annotations

import dataclasses
import re
from dataclasses import dataclass
from typing import Any

from pipeline.attachments import FileKind
from pipeline.document import Entries, Items, Node
from pipeline.errors import Problem
from pipeline.fields import BAD, Bad, ChoiceKind, Kind, NumberKind, QuantityKind, Reading, TextKind
from pipeline.records import Key, ListKind, Record, TupleKind
from pipeline.steps import PROFILE
from pipeline.units import ANGLE, LENGTH, MM_PER_IN
from shapes.errors import ShapeError
from shapes.parameters import Parameter, parameters_of
from shapes.placed import Placed
from shapes.placement import Placement
from shapes.plugins import family_of, words
from shapes.registry import FAMILIES
from shapes.shape import Shape

_LENGTH = QuantityKind(LENGTH, "units")
_ANGLE = QuantityKind(ANGLE, "deg")

TILT = Record(
    "tilt",
    "Leans the part's Z axis, after its spin.",
    (
        Key("by", _ANGLE, "how far it leans"),
        Key("toward", _ANGLE, "the azimuth it leans towards, from +X about +Z"),
    ),
)

PLACEMENT = (
    Key("spin", _ANGLE, "turn about its own Z axis, first of all", required=False),
    Key("tilt", TILT, "lean of its Z axis, second", required=False),
    Key(
        "move",
        TupleKind(_LENGTH, ("x", "y", "z")),
        "shift of its origin, last",
        required=False,
    ),
)


def told(family: type[Shape]) -> str:
    """What a family says of itself, without its examples."""
    return " ".join((family.__doc__ or "").split(">>>")[0].split())


def kind_of(parameter: Parameter) -> Kind:
    """The kind of value that a shape's parameter takes in a design file."""
    limits = parameter.above, parameter.at_least
    at_most = parameter.at_most
    most = None if at_most is None else (at_most, f"at most {at_most:g}")
    length = QuantityKind(LENGTH, "units", *limits, most)
    kinds: dict[str, Kind] = {
        "file": FileKind(parameter.says),
        "text": TextKind(r".{1,200}", "a text of at most 200 characters"),
        "body": BODY,
        "bodies": ListKind(BODY),
        "length": length,
        "lengths": TupleKind(length, ("x", "y", "z")),
        "series": ListKind(length),
        "angle": QuantityKind(ANGLE, "deg", *limits, most),
        "number": NumberKind(*limits, at_most),
        "count": NumberKind(*limits, at_most, whole=True),
        "word": ChoiceKind(parameter.words),
        "profile": PROFILE,
    }
    return kinds[parameter.kind]


def family_keys(family: type[Shape]) -> tuple[Key, ...]:
    """The keys that a shape family adds to its part."""
    return tuple(
        Key(
            field.name,
            kind_of(parameter),
            parameter.says,
            required=field.default is dataclasses.MISSING,
            default=_written(parameter, field.default),
        )
        for field, parameter in parameters_of(family)
    )


_UNITS = {"length": " mm", "lengths": " mm", "series": " mm", "angle": " deg"}


def _written(parameter: Parameter, value: Any) -> str:
    """A default as it would stand in a file; nothing where there is none to write."""
    if value is dataclasses.MISSING or value is None or value == ():
        return ""
    unit = _UNITS.get(parameter.kind, "")
    if parameter.kind in ("lengths", "series"):
        return f"[{', '.join(f'{v:g}{unit}' for v in value)}]"
    return f"{value:g}{unit}" if isinstance(value, float) else str(value)


@dataclass(frozen=True)
class BodyKind:
    """A body inside another: its shape with its own keys, and where it stands in the whole."""

    @property
    def allowed(self) -> str:
        return "{shape: ..., the keys of that shape, spin, tilt, move}"

    def read(self, node: Node, path: str, reading: Reading) -> Placed | Bad:
        word = word_in(node, path, reading, self.allowed)
        if isinstance(word, Bad) or not isinstance(node, Entries):
            return BAD
        found = body_record(word).read(node, path, reading)
        if isinstance(found, Bad):
            return BAD
        shape = shape_in(word, found, node, path, reading)
        return BAD if isinstance(shape, Bad) else Placed(shape, placement_in(found))

    def schema(self) -> dict[str, Any]:
        return {"$ref": "#/$defs/body"}  # a body may hold bodies


BODY = BodyKind()


def body_record(word: str) -> Record:
    """All keys of a body whose shape is of the family with this word."""
    family = family_of(word)
    shape = Key("shape", ChoiceKind((word,)), "the shape family")
    return Record(f"body, {word}", told(family), (shape, *family_keys(family), *PLACEMENT))


def body_schema() -> dict[str, Any]:
    """The JSON Schema of any body, for `$defs`."""
    return {"oneOf": [body_record(word).schema() for word in FAMILIES]}


def word_in(node: Node, path: str, reading: Reading, allowed: str) -> str | Bad:
    """The word of the shape family that a body or part asks for."""
    if not isinstance(node, Entries):
        return reading.refuse(node, node.line, path, allowed)
    choice = ChoiceKind(words())
    shape = node.entries.get("shape")
    if shape is None:
        return reading.refuse(
            None, node.line, f"{path}.shape", choice.allowed, advice="it must be there"
        )
    word = choice.read(shape, f"{path}.shape", reading)
    if not isinstance(word, Bad):
        try:
            family_of(word)
        except ShapeError as error:
            return reading.refuse(
                shape, shape.line, f"{path}.shape", choice.allowed, error.reason,
                "mend or remove that package",
            )  # fmt: skip
    return word


def placement_in(found: dict[str, Any]) -> Placement:
    """The placement that a record with the keys of `PLACEMENT` asks for."""
    tilt = found.get("tilt", {"by": 0.0, "toward": 0.0})
    return Placement(
        found.get("spin", 0.0),
        tilt["by"],
        tilt["toward"],
        found.get("move", (0.0, 0.0, 0.0)),
    )


def shape_in(
    word: str, found: dict[str, Any], node: Entries, path: str, reading: Reading
) -> Shape | Bad:
    """The shape of a family with the keys that were found; problems are noted at their field."""
    family = family_of(word)
    names = [field.name for field, _ in parameters_of(family)]
    try:
        return family(**{name: found[name] for name in names if name in found})
    except ShapeError as error:
        at = _find(node, error.field)
        line = at.line if at is not None else node.line
        reason = error.reason
        if reading.bare_length == "in":
            reason = re.sub(r"(-?\d+\.?\d*) mm", _with_inches, reason)
        reading.problems.append(_problem(line, f"{path}.{error.field}", at, reason))
        return BAD


def _problem(line: int, path: str, node: Node | None, reason: str) -> Problem:
    read = f"read {node.shown}" if node is not None else "nothing is there"
    return Problem(line, path, read, reason)


def _with_inches(match: re.Match[str]) -> str:
    return f"{match[1]} mm ({float(match[1]) / MM_PER_IN:.3f} in)"


def _find(node: Entries, path: str) -> Node | None:
    """The node of a shape's field such as ``profile[3].leave``."""
    found: Node | None = node
    for name, index in re.findall(r"(\w+)|\[(\d+)\]", path):
        if name and isinstance(found, Entries):
            found = found.entries.get(name)
        elif index and isinstance(found, Items):
            found = found.items[int(index)]
        else:
            return None
    return found
