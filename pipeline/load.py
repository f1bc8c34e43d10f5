"""Design file to `Design`: the keys of format 1, and every problem of a file at once."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from pipeline.design import Design, FreeDensity, Material, PartDesign
from pipeline.document import Entries, Items, Node, Scalar, decode, parse, read_bytes
from pipeline.errors import DesignError, Problem
from pipeline.fields import BAD, Bad, ChoiceKind, Number, QuantityKind, Reading, TextKind, nearest
from pipeline.limits import COMPONENT_DENSITY_G_CM3
from pipeline.parts import NAME, PartKind
from pipeline.records import Key, ListKind, MapKind, Record
from pipeline.search_fields import SEARCH_KEYS
from pipeline.searching import wanted
from pipeline.units import DENSITY, LENGTH, MASS, MM_PER_IN
from pipeline.wanted import NOTHING

FORMAT = "corewright 1"

_DENSITY = QuantityKind(
    DENSITY,
    "g/cm3",
    above=0.0,
    at_most=(
        COMPONENT_DENSITY_G_CM3,
        f"at most {COMPONENT_DENSITY_G_CM3:.2f} g/mL, the governing body's limit on any component",
    ),
)
_BOUND = QuantityKind(DENSITY, "g/cm3", above=0.0)


@dataclass(frozen=True)
class DensityKind:
    """A density, or the word 'free'."""

    @property
    def allowed(self) -> str:
        return f"{_DENSITY.allowed}, or free"

    def read(self, node: Node, path: str, reading: Reading) -> Any:
        if isinstance(node, Scalar) and node.text == "free":
            return "free"
        return _DENSITY.read(node, path, reading)

    def schema(self) -> dict[str, Any]:
        return {"anyOf": [{"const": "free"}, *_DENSITY.schema()["anyOf"]]}


@dataclass(frozen=True)
class DateKind:
    """A day."""

    @property
    def allowed(self) -> str:
        return "a day such as 2026-11-25"

    def read(self, node: Node, path: str, reading: Reading) -> Any:
        try:
            return date.fromisoformat(node.text).isoformat()  # type: ignore[union-attr]
        except (ValueError, AttributeError):
            return reading.refuse(node, node.line, path, self.allowed)

    def schema(self) -> dict[str, Any]:
        return {"type": "string", "format": "date"}


BALL = Record(
    "ball",
    "The finished ball.",
    (
        Key("diameter", QuantityKind(LENGTH, "units", above=0.0), "its diameter"),
        Key(
            "weight",
            QuantityKind(MASS, above=0.0),
            "what it should weigh; needed when a density is free",
            required=False,
        ),
    ),
)
MATERIAL = Record(
    "material",
    "A compound that is poured. The density of at most one material may be free: it is solved so "
    "that the ball weighs what it should.",
    (
        Key("density", DensityKind(), "its density; a bare number is g/cm3"),
        Key("from", _BOUND, "least density of a free one", required=False,
            default="needed beside a free density"),
        Key("to", _BOUND, "greatest density of a free one", required=False,
            default="needed beside a free density"),
    ),
)  # fmt: skip
DESIGN = Record(
    "design",
    "A ball, from its materials and its parts inside out.",
    (
        Key(
            "format",
            TextKind(r"corewright 1", f"'{FORMAT}'"),
            "the format of this file",
        ),
        Key("name", NAME, "what the ball is called"),
        Key("revision", NAME, "which state of the design this is"),
        Key(
            "date",
            DateKind(),
            "the design's day, written into what is made from it; files carry no other time",
            required=False,
        ),
        Key(
            "units",
            ChoiceKind(("in", "mm", "cm")),
            "what a bare length means; without it every length needs its unit",
            required=False,
        ),
        Key("ball", BALL, "the finished ball"),
        Key("materials", MapKind(MATERIAL), "the compounds, by names of your own"),
        Key(
            "parts",
            ListKind(PartKind()),
            "inside out: an earlier part keeps its space, a later one flows round it; the last is "
            "the ball itself",
        ),
        *SEARCH_KEYS,
    ),
)


def load(path: Path | str) -> Design:
    """Read a design file.

    Args:
        path: the file, UTF-8 YAML of format 1.

    Raises:
        DesignError: with every problem of the file.
    """
    file = str(path)
    return read_design(read_bytes(Path(path)), file, Path(path).parent)


def read_design(source: bytes | str, file: str = "design", folder: Path | None = None) -> Design:
    """Read a design from its bytes or text; see `load`.

    Args:
        source: the design.
        file: what messages call it.
        folder: where files that it refers to are; without one it may refer to none.

    >>> from pipeline.load import read_design
    >>> read_design("format: corewright 2")
    Traceback (most recent call last):
        ...
    pipeline.errors.DesignError: design:1: ball: nothing is there; ...
    """
    data = source.encode() if isinstance(source, str) else source
    node = parse(decode(data, file), file)
    reading = Reading(_units(node), folder)
    found = DESIGN.read(node, "", reading)
    reading.problems.extend(_cross_checks(node, found))
    search = NOTHING if isinstance(found, Bad) else wanted(found, node, reading)
    if reading.problems or isinstance(found, Bad):
        raise DesignError(file, reading.problems)
    return Design(
        name=found["name"],
        revision=found["revision"],
        diameter_mm=found["ball"]["diameter"],
        weight_g=found["ball"].get("weight"),
        materials=tuple(_material(name, keys) for name, keys in found["materials"].items()),
        parts=found["parts"],
        date=found.get("date"),
        sha256=hashlib.sha256(data).hexdigest(),
        file=file,
        source=data,
        attachments=tuple(sorted(reading.files.values(), key=lambda a: a.name)),
        wanted=search,
    )


def home_of(design: Design) -> Path | None:
    """The folder of a design's file, where the files that it refers to are."""
    return Path(design.file).parent if design.file else None


def numbers_in(source: bytes, folder: Path | None = None) -> dict[str, Number]:
    """Every number of a design that can be read, by the path of its field."""
    node = parse(decode(source, "design"), "design")
    reading = Reading(_units(node), folder)
    DESIGN.read(node, "", reading)
    return reading.numbers


def _units(node: Node) -> str | None:
    """The unit of bare lengths, before anything else is read; a wrong word is reported later."""
    if isinstance(node, Entries):
        word = node.entries.get("units")
        if isinstance(word, Scalar):
            return word.text if word.text in ("in", "mm", "cm") else "in"
    return None


def _material(name: str, keys: dict[str, Any]) -> Material:
    if keys["density"] == "free":
        return Material(name, FreeDensity(keys["from"], keys["to"]))
    return Material(name, keys["density"])


def _cross_checks(node: Node, found: dict[str, Any] | Bad) -> Iterator[Problem]:
    """What no single field can know; each check reads the nodes, so that it works beside others."""
    if not isinstance(node, Entries):
        return
    yield from _check_materials(node)
    yield from _check_names(node)
    if not isinstance(found, Bad):
        yield from _check_last(found)


def _check_materials(node: Entries) -> Iterator[Problem]:
    materials = node.entries.get("materials")
    if not isinstance(materials, Entries):
        return
    free = []
    for name, material in materials.entries.items():
        if not isinstance(material, Entries):
            continue
        density = material.entries.get("density")
        is_free = isinstance(density, Scalar) and density.text == "free"
        if is_free:
            free.append(name)
        for bound in ("from", "to"):
            path = f"materials.{name}.{bound}"
            if is_free and bound not in material.entries:
                yield Problem(
                    material.line, path, "nothing is there", "allowed: a density",
                    "a free density needs its bounds, from and to",
                )  # fmt: skip
            if density is not None and not is_free and bound in material.entries:
                yield Problem(
                    material.key_lines[bound], path, f"read {material.entries[bound].shown}",
                    "allowed: only beside 'density: free'", "leave it out, or free the density",
                )  # fmt: skip
        yield from _check_bounds(name, material)
    for name in free[1:]:
        yield Problem(
            materials.key_lines[name], f"materials.{name}.density", "read 'free'",
            f"allowed: one free density, and that of {free[0]} is free already",
            "give one of the two a number",
        )  # fmt: skip
    ball = node.entries.get("ball")
    if free and isinstance(ball, Entries) and "weight" not in ball.entries:
        yield Problem(
            ball.line, "ball.weight", "nothing is there", f"allowed: {MASS.allowed}",
            f"the density of {free[0]} is free, and the weight decides it",
        )  # fmt: skip


def _check_bounds(name: str, material: Entries) -> Iterator[Problem]:
    quiet = Reading()
    low, high = (
        _BOUND.read(material.entries[b], "", quiet) if b in material.entries else BAD
        for b in ("from", "to")
    )
    if not isinstance(low, Bad) and not isinstance(high, Bad) and low > high:
        yield Problem(
            material.key_lines["to"], f"materials.{name}.to",
            f"read {material.entries['to'].shown}", f"allowed: at least {low:g}, the lower bound",
            "swap from and to",
        )  # fmt: skip


def _check_names(node: Entries) -> Iterator[Problem]:
    parts, materials = node.entries.get("parts"), node.entries.get("materials")
    if not isinstance(parts, Items):
        return
    seen: dict[str, int] = {}
    known = list(materials.entries) if isinstance(materials, Entries) else []
    used = set()
    for k, part in enumerate(parts.items):
        if not isinstance(part, Entries):
            continue
        name, material = part.entries.get("name"), part.entries.get("material")
        if isinstance(name, Scalar):
            if name.text in seen:
                yield Problem(
                    name.line, f"parts[{k}].name", f"read {name.shown}",
                    f"allowed: a name of its own; line {seen[name.text]} has it already",
                )  # fmt: skip
            seen.setdefault(name.text, name.line)
        if isinstance(material, Scalar):
            used.add(material.text)
            if known and material.text not in known:
                yield Problem(
                    material.line, f"parts[{k}].material", f"read {material.shown}",
                    f"allowed: {', '.join(known)}", nearest(material.text, known),
                )  # fmt: skip
    if isinstance(materials, Entries):
        for word, keys in materials.entries.items():
            density = keys.entries.get("density") if isinstance(keys, Entries) else None
            if isinstance(density, Scalar) and density.text == "free" and word not in used:
                yield Problem(
                    materials.key_lines[word], f"materials.{word}.density", "read 'free'",
                    "allowed: a free density that some part is made of", f"no part uses {word}",
                )  # fmt: skip


def _check_last(found: dict[str, Any]) -> Iterator[Problem]:
    """The last part must be the ball, or it would leave a void."""
    from shapes.placement import AS_DRAWN
    from shapes.sphere import Sphere

    last: PartDesign = found["parts"][-1]
    diameter = found["ball"]["diameter"]
    is_ball = (
        isinstance(last.shape, Sphere)
        and abs(last.shape.diameter - diameter) <= 1e-9 * diameter
        and last.placement.move_mm == AS_DRAWN.move_mm
    )
    if not is_ball:
        yield Problem(
            last.line, f"parts[{len(found['parts']) - 1}]",
            f"the last part, {last.name}, is not the ball",
            f"allowed: a sphere of the ball's diameter ({diameter / MM_PER_IN:.4f} in) about its "
            "centre, so that no void is left",
        )  # fmt: skip
