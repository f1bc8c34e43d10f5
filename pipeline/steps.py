"""Steps of a half-section in a design file: points, arcs and splines."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from pipeline.attachments import FileKind
from pipeline.document import Entries, Items, Node
from pipeline.fields import BAD, Bad, ChoiceKind, NumberKind, QuantityKind, Reading, TextKind
from pipeline.records import Key, ListKind, Record, TupleKind
from pipeline.units import LENGTH
from shapes.dxf_profile import UNITS_MM, steps_in
from shapes.errors import ShapeError
from shapes.turned import ArcStep, SplineStep, Step

_POINT = TupleKind(QuantityKind(LENGTH, "units"), ("r", "z"))
_WAY = TupleKind(NumberKind(), ("dr", "dz"))

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


STEP = StepKind()
_STEPS = ListKind(STEP, at_least=2)

DXF = Record(
    "half-section from a drawing",
    "Lines, arcs and polylines of a DXF file, with x the distance from the axis and y the height.",
    (
        Key("dxf", FileKind("a DXF file"), "the drawing"),
        Key(
            "layer",
            TextKind(r".{1,255}", "the name of a layer"),
            "the layer to read, where curves lie on several",
            required=False,
        ),
        Key(
            "unit",
            ChoiceKind(tuple(UNITS_MM)),
            "the drawing's unit, where it does not say it itself",
            required=False,
        ),
    ),
)


@dataclass(frozen=True)
class ProfileKind:
    """A half-section: its steps, or where they are drawn."""

    @property
    def allowed(self) -> str:
        return f"{_STEPS.allowed}; or {{dxf: ..., layer: ..., unit: ...}}"

    def read(self, node: Node, path: str, reading: Reading) -> tuple[Step, ...] | Bad:
        if not isinstance(node, Entries):
            return _STEPS.read(node, path, reading)
        found = DXF.read(node, path, reading)
        if isinstance(found, Bad):
            return BAD
        try:
            return steps_in(found["dxf"].data, found.get("layer", ""), found.get("unit", ""))
        except ShapeError as error:
            at = node.entries.get(error.field)
            line = node.line if at is None else at.line
            return reading.refuse(
                at, line, f"{path}.{error.field}", _ALLOWED[error.field], error.reason
            )

    def schema(self) -> dict[str, Any]:
        return {"anyOf": [_STEPS.schema(), DXF.schema()]}


_ALLOWED = {key.name: key.kind.allowed for key in DXF.keys}
PROFILE = ProfileKind()
