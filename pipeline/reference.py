"""Pages made from the code: the design file's JSON Schema and reference, and the limits."""

from __future__ import annotations

from typing import Any

from pipeline.bodies import PLACEMENT, TILT, body_schema, told
from pipeline.drilling_fields import AXIS_POINT, DRILLING, FINGER, GRIP, LAYOUT, PLACE, THUMB, VENT
from pipeline.hole_fields import HOLE, INSERT, POINT, SURFACE_POINT
from pipeline.limits import AS_OF, CONFIDENCE, DRILLING_LIMITS, LIMITS, Limit
from pipeline.load import BALL, DESIGN, DRILLING_FILE, MATERIAL
from pipeline.mould_fields import CHANNEL, EJECTOR, KEYS, ROD, SPLIT
from pipeline.parts import part_record
from pipeline.process_fields import CASTING, PROCESS, REVISION, SHRINKAGE
from pipeline.records import Key, Record
from pipeline.search_fields import AIM, EXTENT, KEEP, LIMITS_KEPT, LINE, MEANS, VARY, WALL
from pipeline.steps import ARC_STEP, DXF, SPLINE_STEP
from shapes.parameters import parameters_of
from shapes.registry import FAMILIES


def json_schema() -> dict[str, Any]:
    """The schema of format 1, draft 2020-12, for editors that complete and check."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Corewright design, format 1",
        **DESIGN.schema(),
        "$defs": {"body": body_schema()},
    }


def drilling_schema() -> dict[str, Any]:
    """The schema of a drilling in a file of its own."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Corewright drilling, format 1",
        **DRILLING_FILE.schema(),
    }


def design_reference() -> str:
    """The design-file reference as Markdown."""
    sections = [
        _section("The design", DESIGN),
        _section("ball", BALL),
        _section("materials", MATERIAL),
        _families(),
        _table("Placement of a part", PLACEMENT)
        + "\nThey are applied in this order: spin, tilt, move.\n",
        _section("tilt", TILT),
        "## Steps of a half-section\n\nA profile runs from the lower axis point to the upper one, "
        "straight between points `[r, z]`; a step may instead be an arc or a spline.\n",
        _section("Arc step", ARC_STEP, level=3),
        _section("Spline step", SPLINE_STEP, level=3),
        _section("Half-section from a drawing", DXF, level=3),
        "## Drilling\n\nWhat these keys mean on a ball is told in [drilling](drilling.md).\n",
        _section("drilling", DRILLING, level=3),
        _section("drilling: holes", HOLE, level=4),
        _section("at", SURFACE_POINT, level=4),
        _section("bottom", POINT, level=4),
        _section("insert", INSERT, level=4),
        _section("grip", GRIP, level=4),
        _section("grip: middle, ring", FINGER, level=4),
        _section("grip: thumb", THUMB, level=4),
        _section("grip: vents", VENT, level=4),
        _section("axis_point", AXIS_POINT, level=4),
        _section("layout", LAYOUT, level=4),
        _section("Places: at, pin_at, mark_at", PLACE, level=4),
        _section("A drilling in a file of its own", DRILLING_FILE, level=3),
        "## Casting\n\nWhat becomes of these keys is told in [the tooling package](tooling.md).\n",
        _section("process", PROCESS, level=3),
        _section("castings", CASTING, level=4),
        _section("revisions", REVISION, level=4),
        _section("shrinkage", SHRINKAGE, level=4),
        _section("parting", SPLIT, level=4),
        _section("rod", ROD, level=4),
        _section("gates, vents", CHANNEL, level=4),
        _section("ejectors", EJECTOR, level=4),
        _section("keys", KEYS, level=4),
        "## Searching\n\nWhat these keys do is told in [finding a core](searching.md).\n",
        _section("aim", AIM, level=3),
        _section("keep", KEEP, level=3),
        _section("keep: walls", WALL, level=4),
        _section("keep: extents", EXTENT, level=4),
        _section("keep: limits", LIMITS_KEPT, level=4),
        _section("vary", VARY, level=3),
        _section("lineup", LINE, level=3),
        _section("lineup: by", MEANS, level=4),
    ]
    return _HEAD + "\n".join(sections)


def limits_reference() -> str:
    """The limits with their sources as Markdown."""
    lines = [f"Limits as of {AS_OF}.", "", *_limit_rows(LIMITS), ""]
    lines += ["## A drilled ball", "", _DRILLED, "", *_limit_rows(DRILLING_LIMITS)]
    return _LIMITS_HEAD + "\n".join(lines) + "\n"


def _limit_rows(limits: tuple[Limit, ...]) -> list[str]:
    rows = [
        f"| {limit.rule} | {limit.words} | {limit.weights} | {limit.source} "
        f"| {limit.confidence}: {CONFIDENCE[limit.confidence]} |"
        for limit in limits
    ]
    head = "| rule | limit | ball weights | source | confidence |"
    return [head, "| --- | --- | --- | --- | --- |", *rows]


_DRILLED = """\
From `pipeline/drilling.toml`, for the weight after drilling. A static weight is told twice: the
first moment of mass about the ball's centre over its radius, which is what a balance answers to,
and the weight of one half less that of the other, which is what the rule speaks of. Where the two
fall on different sides of a limit the verdict is *not determined*. Rules on RG and differential are
for approvals, of balls that are not drilled, and stay with the undrilled figures. That every hole
is used, and what a house ball is made of, no design can show.\
"""


_LIMITS_HEAD = """\
# Limits and their sources

*This page is made from `pipeline/limits.toml`; see `pipeline/reference.py`.*

Every verdict of `corewright check` is a design estimate. **Only the governing body certifies a
ball**, from samples, by its own tests; ask it for the rules in force before you rely on any line
here. A ball weight for which no rule is known gives *not determined*, never a pass. A value on a
limit passes.

The static imbalance is the first moment of mass about the ball's centre over its radius, for the
undrilled ball. The rules are for drilled balls: drilling changes the figure, so the line says early
whether a design leaves room.

The pin rule is held from the +Z point, where the pin stands as drawn, to where the low-RG axis
leaves the ball. The mark rule, for asymmetrical balls, is held from where the high-RG axis of the
bare core (inner core and inserts) would be marked to where that of the whole ball leaves it.

"""

_HEAD = """\
# Design file reference

*This page is made from the code that reads the file; see `pipeline/reference.py`.*

A design is a YAML file in UTF-8. Anchors, tags and repeated keys are refused, and so is any key
that is not listed here. A length, mass, density or angle may carry its unit (`'21 mm'`,
`'8.55 in'`, `'4 5/8 in'`, `'15 lb'`, `'2450 kg/m3'`, `'30 deg'`); a bare length is in the file's
`units`, a bare density in g/cm3, a bare angle in degrees. A mass always needs its unit.

Editors that know JSON Schema complete and check a design with
[design.schema.json](design.schema.json), and a drilling file with
[drilling.schema.json](drilling.schema.json).

"""


def _section(title: str, record: Record, level: int = 2) -> str:
    return f"{'#' * level} {title}\n\n{record.says}\n\n{rows_of(record.keys)}"


def _table(title: str, keys: tuple[Key, ...]) -> str:
    return f"## {title}\n\n{rows_of(keys)}"


def rows_of(keys: tuple[Key, ...]) -> str:
    """A table of keys."""
    lines = [
        "| key | what it is | what may stand there | needed, or what it is without |",
        "| --- | --- | --- | --- |",
    ]
    for key in keys:
        allowed = key.kind.allowed.replace("|", "\\|")
        needed = "yes" if key.required else key.default or "no"
        lines.append(f"| `{key.name}` | {key.says} | {allowed} | {needed} |")
    return "\n".join(lines) + "\n"


def _families() -> str:
    """One table of own keys a shape family; the keys that all parts have are told once."""
    shared = ("name", "material", "colour", "pour", "second_colour", "note")
    common = [k for k in part_record("sphere").keys if k.name in shared]
    lines = [
        "## parts\n",
        "Every part has these keys, `shape` with the word of its family, the keys of that family, "
        "and its placement.\n",
        rows_of(tuple(common)),
    ]
    for word, family in FAMILIES.items():
        own = {field.name for field, _ in parameters_of(family)}
        keys = tuple(k for k in part_record(word).keys if k.name in own)
        lines.append(f"### shape: {word}\n\n{told(family)}\n\n{rows_of(keys)}")
    return "\n".join(lines)
