"""Design file to `Design`: the keys of format 1, and every problem of a file at once."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from pipeline.attachments import FileKind
from pipeline.cross_checks import cross_checks
from pipeline.days import DAY
from pipeline.design import Design, FreeDensity, Material
from pipeline.document import Entries, Node, Scalar, decode, parse, read_bytes
from pipeline.drilling_fields import DRILLING_KIND
from pipeline.errors import DesignError, Problem
from pipeline.fields import Bad, ChoiceKind, Number, QuantityKind, Reading, TextKind
from pipeline.limits import COMPONENT_DENSITY_G_CM3
from pipeline.parts import NAME, NOTE, PartKind
from pipeline.process import NOTHING_ASKED
from pipeline.process_fields import PROCESS_KIND
from pipeline.records import Key, ListKind, MapKind, Record
from pipeline.search_fields import SEARCH_KEYS
from pipeline.searching import wanted
from pipeline.units import DENSITY, LENGTH, MASS
from pipeline.wanted import NOTHING

FORMAT = "corewright 1"
DRILLING_FORMAT = "corewright drilling 1"
DRILLING_WORDS = "corewright drill"

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
            DAY,
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
        Key(
            "notes",
            ListKind(NOTE),
            "your own words about the ball, a sentence or more; they change no figure",
            required=False,
        ),
        Key("process", PROCESS_KIND, "how its parts are cast", required=False),
        Key("drilling", DRILLING_KIND, "its holes", required=False),
        *SEARCH_KEYS,
    ),
)


def load(path: Path | str) -> Design:
    """Read a design file, or a drilling file with the design that it names.

    Args:
        path: the file, UTF-8 YAML of format 1.

    Raises:
        DesignError: with every problem of the file.
    """
    file = str(path)
    data = read_bytes(Path(path))
    node = parse(decode(data, file), file)
    if _format_of(node).startswith(DRILLING_WORDS):
        return _drilled_elsewhere(data, node, file, Path(path).parent)
    return read_design(data, file, Path(path).parent)


def load_core(path: Path | str) -> Design:
    """Read a design whose numbers may be written anew: no drilling of another file's ball.

    Raises:
        DesignError: with every problem of the file, or that it only drills a ball.
    """
    design = load(path)
    if design.drilling_file:
        raise DesignError(
            design.drilling_file,
            [
                Problem(
                    0, "", f"it drills the ball of {design.file}", "allowed: a design of its own",
                    f"this command is for the undrilled ball: give it {design.file}",
                )
            ],
        )  # fmt: skip
    return design


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
    reading.problems.extend(cross_checks(node, found, _BOUND))
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
        drilling=found.get("drilling"),
        process=found.get("process", NOTHING_ASKED),
        notes=found.get("notes", ()),
    )


DRILLING_FILE = Record(
    "drilling file",
    "Holes for a ball that another file designs, so that one core meets many drillings.",
    (
        Key(
            "format",
            TextKind(r"corewright drilling 1", f"'{DRILLING_FORMAT}'"),
            "the format of this file",
        ),
        Key("design", FileKind("the design file"), "the file of the ball, beside this one"),
        Key("name", NAME, "what the drilled ball is called", required=False,
            default="as the ball"),
        Key("revision", NAME, "which state of the drilling this is", required=False,
            default="that of the ball"),
        Key("date", DAY, "the day of the drilling", required=False, default="the ball's"),
        Key("units", ChoiceKind(("in", "mm", "cm")), "what a bare length means in this file",
            required=False),
        Key("drilling", DRILLING_KIND, "the holes"),
    ),
)  # fmt: skip


def _drilled_elsewhere(data: bytes, node: Node, file: str, folder: Path) -> Design:
    """A drilling file, with the ball that it names."""
    reading = Reading(_units(node), folder)
    found = DRILLING_FILE.read(node, "", reading)
    if reading.problems or isinstance(found, Bad):
        raise DesignError(file, reading.problems)
    ball = found["design"]
    assert isinstance(node, Entries)
    here = node.entries["design"]
    if "/" in ball.name:
        reading.refuse(here, here.line, "design", "a design file beside this one")
        raise DesignError(file, reading.problems)
    base = parse(decode(ball.data, str(folder / ball.name)), str(folder / ball.name))
    if _format_of(base).startswith(DRILLING_WORDS):
        reading.refuse(
            here, here.line, "design", "the file of a ball", "that is a drilling file itself",
            "name the design that it is for",
        )  # fmt: skip
        raise DesignError(file, reading.problems)
    design = read_design(ball.data, str(folder / ball.name), folder)
    if design.drilling is not None:
        reading.refuse(
            here, here.line, "design", "a ball without a drilling of its own",
            advice=f"take 'drilling' out of {ball.name}, or put it in a file like this",
        )  # fmt: skip
        raise DesignError(file, reading.problems)
    return replace(
        design,
        name=found.get("name", design.name),
        revision=found.get("revision", design.revision),
        date=found.get("date", design.date),
        sha256=hashlib.sha256(data).hexdigest(),
        source=data,
        attachments=tuple(sorted((ball, *design.attachments), key=lambda a: a.name)),
        drilling=found["drilling"],
        drilling_file=file,
        undrilled=design,
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


def _format_of(node: Node) -> str:
    word = node.entries.get("format") if isinstance(node, Entries) else None
    return word.text if isinstance(word, Scalar) else ""


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
