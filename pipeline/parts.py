"""How a part stands in a design file: its own keys, and those of its shape family."""

from __future__ import annotations

import dataclasses
import re
from dataclasses import dataclass
from typing import Any

from pipeline.design import PartDesign
from pipeline.document import Entries, Items, Node
from pipeline.fields import BAD, Bad, ChoiceKind, Kind, NumberKind, QuantityKind, Reading, TextKind
from pipeline.records import Key, ListKind, Record, TupleKind
from pipeline.units import ANGLE, LENGTH, MM_PER_IN
from shapes.errors import ShapeError
from shapes.parameters import Parameter, parameters_of
from shapes.placement import Placement
from shapes.registry import FAMILIES
from shapes.shape import Shape
from shapes.turned import ArcStep, SplineStep, Step

NAME = TextKind(
    r"[^\s\x00-\x1f\x7f](?:[^\x00-\x1f\x7f]{0,78}[^\s\x00-\x1f\x7f])?",
    "a name of at most 80 characters",
)
COLOUR = TextKind(r"#[0-9A-Fa-f]{6}", "a colour in quotes, such as '#B5482A'")
_LENGTH = QuantityKind(LENGTH, "units")
_ANGLE = QuantityKind(ANGLE, "deg")
_POINT = TupleKind(_LENGTH, ("r", "z"))
_WAY = TupleKind(NumberKind(), ("dr", "dz"))

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

ARC_STEP = Record(
    "arc step",
    "Along the circle through the point before and these two.",
    (Key("arc", _POINT, "where it ends"), Key("through", _POINT, "a point on the way")),
)
SPLINE_STEP = Record(
    "spline step",
    "The C2 cubic with chord-length parameters from the point before through these; natural ends, "
    "or the directions that are given.",
    (
        Key("spline", ListKind(_POINT), "the points it passes, ending at the last"),
        Key("leave", _WAY, "direction at the point before", required=False),
        Key("arrive", _WAY, "direction at its last point", required=False),
    ),
)


@dataclass(frozen=True)
class StepKind:
    """One step of a half-section."""

    @property
    def allowed(self) -> str:
        return "[r, z], {arc: [r, z], through: [r, z]} or {spline: [[r, z], ...]}"

    def read(self, node: Node, path: str, reading: Reading) -> Step | Bad:
        if isinstance(node, Items):
            point: Any = _POINT.read(node, path, reading)
            return point if isinstance(point, Bad) else (point[0], point[1])
        if isinstance(node, Entries) and "spline" in node.entries:
            found = SPLINE_STEP.read(node, path, reading)
            if isinstance(found, Bad):
                return BAD
            return SplineStep(found["spline"], found.get("leave"), found.get("arrive"))
        if isinstance(node, Entries) and {"arc", "through"} & set(node.entries):
            found = ARC_STEP.read(node, path, reading)
            return BAD if isinstance(found, Bad) else ArcStep(found["arc"], found["through"])
        return reading.refuse(node, node.line, path, self.allowed)

    def schema(self) -> dict[str, Any]:
        return {"anyOf": [_POINT.schema(), ARC_STEP.schema(), SPLINE_STEP.schema()]}


def kind_of(parameter: Parameter) -> Kind:
    """The kind of value that a shape's parameter takes in a design file."""
    limits = parameter.above, parameter.at_least
    at_most = parameter.at_most
    most = None if at_most is None else (at_most, f"at most {at_most:g}")
    length = QuantityKind(LENGTH, "units", *limits, most)
    kinds: dict[str, Kind] = {
        "length": length,
        "lengths": TupleKind(length, ("x", "y", "z")),
        "series": ListKind(length),
        "angle": QuantityKind(ANGLE, "deg", *limits, most),
        "number": NumberKind(*limits, at_most),
        "count": NumberKind(*limits, at_most, whole=True),
        "word": ChoiceKind(parameter.words),
        "profile": ListKind(StepKind(), at_least=2),
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


def part_record(word: str) -> Record:
    """All keys of a part whose shape is of the family with this word."""
    own = (
        Key("name", NAME, "what the part is called"),
        Key("material", NAME, "one of the materials above"),
        Key("shape", ChoiceKind((word,)), "the shape family"),
        Key("colour", COLOUR, "its colour in pictures and files", required=False),
    )
    return Record(
        f"part, {word}",
        FAMILIES[word].__doc__ or "",
        own + family_keys(FAMILIES[word]) + PLACEMENT,
    )


@dataclass(frozen=True)
class PartKind:
    """A part: the shape's word decides which other keys there are."""

    @property
    def allowed(self) -> str:
        return "a part with keys name, material, shape and those of its shape"

    def read(self, node: Node, path: str, reading: Reading) -> PartDesign | Bad:
        if not isinstance(node, Entries):
            return reading.refuse(node, node.line, path, self.allowed)
        words = ChoiceKind(tuple(FAMILIES))
        shape = node.entries.get("shape")
        if shape is None:
            return reading.refuse(
                None,
                node.line,
                f"{path}.shape",
                words.allowed,
                advice="it must be there",
            )
        word = words.read(shape, f"{path}.shape", reading)
        if isinstance(word, Bad):
            return BAD
        found = part_record(word).read(node, path, reading)
        if isinstance(found, Bad):
            return BAD
        built = _shape(word, found, node, path, reading)
        if isinstance(built, Bad):
            return BAD
        return PartDesign(
            found["name"],
            found["material"],
            built,
            _placement(found),
            found.get("colour"),
            node.line,
        )

    def schema(self) -> dict[str, Any]:
        return {"oneOf": [part_record(word).schema() for word in FAMILIES]}


def _placement(found: dict[str, Any]) -> Placement:
    tilt = found.get("tilt", {"by": 0.0, "toward": 0.0})
    return Placement(
        found.get("spin", 0.0),
        tilt["by"],
        tilt["toward"],
        found.get("move", (0.0, 0.0, 0.0)),
    )


def _shape(
    word: str, found: dict[str, Any], node: Entries, path: str, reading: Reading
) -> Shape | Bad:
    family = FAMILIES[word]
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


def _problem(line: int, path: str, node: Node | None, reason: str) -> Any:
    from pipeline.errors import Problem

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
