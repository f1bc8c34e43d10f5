"""How a hole stands in a design file: what it is drilled with, and where it is."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from pipeline.document import Entries, Node, Scalar
from pipeline.drilling import Drill, Insert, RawHole
from pipeline.fields import BAD, Bad, ChoiceKind, QuantityKind, Reading, TextKind
from pipeline.limits import COMPONENT_DENSITY_G_CM3
from pipeline.records import Key, Record, TupleKind
from pipeline.units import ANGLE, DENSITY, LENGTH, MM_PER_IN

LEAST_MM = 0.5  # of a hole's diameter: no bit is finer
_LENGTH = QuantityKind(LENGTH, "units")
_SIZE = QuantityKind(LENGTH, "units", above=0.0)
_NOT_LESS = QuantityKind(LENGTH, "units", at_least=0.0)
_ANGLE = QuantityKind(ANGLE, "deg")
_POINT = QuantityKind(ANGLE, "deg", at_least=60.0, at_most=(179.0, "at most 179"))
_DENSITY = QuantityKind(
    DENSITY,
    "g/cm3",
    above=0.0,
    at_most=(COMPONENT_DENSITY_G_CM3, f"at most {COMPONENT_DENSITY_G_CM3:.2f} g/mL"),
)
_NAME = TextKind(r"[^\x00-\x1f\x7f]{1,80}", "a name of at most 80 characters")


@dataclass(frozen=True)
class MadeKind(ABC):
    """A record whose values make one thing; `made` may refuse them and note why."""

    record: Record

    @property
    def allowed(self) -> str:
        return self.record.allowed

    def read(self, node: Node, path: str, reading: Reading) -> Any:
        found = self.record.read(node, path, reading)
        if isinstance(found, Bad):
            return BAD
        return self.made(found, node, path, reading)

    @abstractmethod
    def made(self, found: dict[str, Any], node: Node, path: str, reading: Reading) -> Any:
        """What the values make, or `BAD` with a problem noted."""

    def schema(self) -> dict[str, Any]:
        return self.record.schema()


@dataclass(frozen=True)
class PlainKind(MadeKind):
    """A record whose values always make one thing.

    Attributes:
        build: makes it, from the values and the record's line.
    """

    build: Callable[[dict[str, Any], int], Any]

    def made(
        self,
        found: dict[str, Any],
        node: Node,
        path: str,  # noqa: ARG002 nothing can be wrong with it here
        reading: Reading,  # noqa: ARG002
    ) -> Any:
        return self.build(found, node.line)


POINT = Record(
    "bottom",
    "A cone beyond the depth.",
    (Key("point", _POINT, "the whole angle of the cone, such as a drill's 118 degrees"),),
)


@dataclass(frozen=True)
class BottomKind:
    """Flat, or a cone."""

    @property
    def allowed(self) -> str:
        return "flat, or {point: 118 deg}"

    def read(self, node: Node, path: str, reading: Reading) -> float | Bad | None:
        """The whole angle of the cone; None when flat."""
        if isinstance(node, Scalar):
            if node.text == "flat":
                return None
            return reading.refuse(node, node.line, path, self.allowed)
        found = POINT.read(node, path, reading)
        return BAD if isinstance(found, Bad) else float(found["point"])

    def schema(self) -> dict[str, Any]:
        return {"anyOf": [{"const": "flat"}, POINT.schema()]}


INSERT = Record(
    "insert",
    "A finger insert or thumb slug: a bore that is filled before the hole is drilled into it.",
    (
        Key("bore", _SIZE, "diameter of the bore, wider than the hole"),
        Key("depth", _SIZE, "depth of the bore"),
        Key("density", _DENSITY, "of the insert or slug; a bare number is g/cm3"),
    ),
)
DRILL = (
    Key("diameter", _SIZE, "of the hole"),
    Key("depth", _SIZE, "along its axis, from where that meets the surface"),
    Key("bottom", BottomKind(), "its bottom; a cone lies beyond the depth", required=False,
        default="flat"),
    Key("bevel", _NOT_LESS, "how much wider its edge is broken, at 45 degrees, on the radius",
        required=False, default="0"),
    Key("insert", INSERT, "the bore and what fills it", required=False),
)  # fmt: skip


def drill_in(found: Mapping[str, Any], node: Node, path: str, reading: Reading) -> Drill | Bad:
    """The drill that the keys of `DRILL` ask for."""
    given = found.get("insert")
    insert = given and Insert(given["bore"], given["depth"], given["density"])
    widest = found["diameter"]
    if insert:
        widest = insert.bore_mm
        if insert.bore_mm <= found["diameter"]:
            return refuse_at(
                node, "insert.bore", path, reading, "wider than the hole's diameter",
                "make it wider, or leave the insert out",
            )  # fmt: skip
    if found["diameter"] < LEAST_MM:
        return refuse_at(
            node,
            "diameter",
            path,
            reading,
            f"{LEAST_MM:g} mm ({LEAST_MM / MM_PER_IN:.2f} in) or more",
        )
    if widest / 2.0 + found.get("bevel", 0.0) >= 50.0:
        return refuse_at(
            node, _widest_field(found), path, reading,
            "a hole of less than 3.9 in (100 mm) with its bevel", "no digit is so wide",
        )  # fmt: skip
    return Drill(
        found["diameter"], found["depth"], found.get("bottom"), found.get("bevel", 0.0), insert
    )


def _widest_field(found: Mapping[str, Any]) -> str:
    """The field that makes a hole so wide."""
    if 2.0 * found.get("bevel", 0.0) > found["diameter"]:
        return "bevel"
    return "insert.bore" if "insert" in found else "diameter"


def refuse_at(
    node: Node, field: str, path: str, reading: Reading, allowed: str, advice: str = ""
) -> Bad:
    """Note a problem at a field below a node."""
    at: Node | None = node
    for name in field.split("."):
        at = at.entries.get(name) if isinstance(at, Entries) else None
    line = at.line if at is not None else node.line
    return reading.refuse(at, line, f"{path}.{field}", allowed, advice=advice)


SURFACE_POINT = Record(
    "surface point",
    "A point of the ball's surface in the ball frame.",
    (
        Key("arc", QuantityKind(LENGTH, "units", at_least=0.0), "along the surface from the +Z "
            "point"),
        Key("azimuth", _ANGLE, "from +X about +Z"),
    ),
)  # fmt: skip
HOLE = Record(
    "hole",
    "A hole where it is in the ball frame.",
    (
        Key("name", _NAME, "what it is called"),
        Key("use", ChoiceKind(("finger", "thumb", "vent")),
            "what goes into it; a hole that nothing goes into is a balance hole, and those are "
            "banned"),
        Key("at", SURFACE_POINT, "where its axis meets the surface"),
        Key("towards", TupleKind(_LENGTH, ("x", "y", "z")), "a point of its axis inside the ball",
            required=False, default="the ball's centre"),
        *DRILL,
    ),
)  # fmt: skip


class HoleKind(MadeKind):
    """A raw hole."""

    def made(self, found: dict[str, Any], node: Node, path: str, reading: Reading) -> RawHole | Bad:
        drill = drill_in(found, node, path, reading)
        if isinstance(drill, Bad):
            return BAD
        at = found["at"]
        return RawHole(
            found["name"], found["use"], at["arc"], at["azimuth"],
            found.get("towards", (0.0, 0.0, 0.0)), drill, node.line,
        )  # fmt: skip
