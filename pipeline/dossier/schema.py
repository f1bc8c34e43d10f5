"""JSON Schema (draft 2020-12) of the data that a dossier's page holds, for whoever reads them."""

from __future__ import annotations

from typing import get_args

from pipeline.ball import Role
from pipeline.check import ESTIMATE, Verdict
from pipeline.checked import AS_CAST, AS_CUT
from pipeline.dossier.contents import FORMAT
from pipeline.dossier.drilled_section import DRILLED
from pipeline.dossier.schema_figures import figures_defs
from pipeline.dossier.schema_terms import (
    Schema,
    always,
    count,
    flag,
    named,
    number,
    or_none,
    positive,
    record,
    rows,
    shared,
    text,
    word,
)
from pipeline.dossier.sensitivities import FIGURES
from pipeline.dossier.space_section import SPACE
from pipeline.dossier.tooling_section import TOOLING
from pipeline.limits import CONFIDENCE
from pipeline.wanted import AIMED, spelled

_OWN = {**CONFIDENCE, "C": "a check of our own"}  # how sure a rule is, by its letter
_SURE = "; ".join(f"{letter}: {words}" for letter, words in _OWN.items())
_HEX = "^[0-9a-f]{64}$"
_DAY = r"^\d{4}-\d\d-\d\d$"
_SAYS = (
    "All that a dossier tells of a design. Lengths are in inches and masses in pounds unless a "
    "key's name or its description says otherwise; the ball frame has its origin at the ball's "
    "geometric centre and +Z to the pin as drawn, and is right-handed; azimuth is measured from +X "
    "about +Z. A figure that is undefined is null."
)


def dossier_schema() -> Schema:
    """The schema of the JSON in a page's element `dossier`."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Corewright dossier, format 1",
        **record(_SAYS, _keys(), optional=("line", "line_refused", "tooling", "changed")),
        "$defs": {
            "sha256": text("a SHA-256 hash, in hexadecimal", _HEX),
            **figures_defs(),
        },
    }


def _keys() -> dict[str, Schema]:
    return {
        "format": always("the format of these data", FORMAT),
        "note": always("what every verdict here is", ESTIMATE),
        "limits_as_of": text("the day that the limits were written down", _DAY),
        "design": _design(),
        "versions": {
            **named("versions of Corewright and of its libraries that figures and geometry come "
                    "from, by name", {"type": "string"}),
            "required": ["corewright"],
        },
        "figures": shared("figures", "mass properties; of a drilled ball as drilled"),
        "about_ball_centre_lb_in2": shared("tensor", "the inertia tensor about the ball's centre, "
                                           "ball frame, lb in2"),
        "axes": rows("the three principal axes as angles, low, intermediate and high", _axis(),
                     3, 3),
        "routes_disagree": rows("a sentence for each pair of routes that differ by more than their "
                                "error bounds together", {"type": "string"}),
        "mesh": record(
            "the triangles that were weighed, and are shown",
            {
                "chord_mm": positive("how far they may lie from the surface, mm"),
                "triangles": count("how many there are"),
            },
        ),
        "findings": rows("the limits and rules, each held against the ball", _rule(), 1),
        "line": _line(),
        "line_refused": text("why the core cannot be carried across ball weights as asked"),
        "sensitivities": or_none(
            rows("what each number of the design does to the undrilled ball; null where only "
                 "solids can weigh it", _sensitivity())
        ),
        "tooling": _tooling(),
        "changed": _changed(),
        "pictures": rows("the pictures, in the order of the document", _picture()),
    }  # fmt: skip


def _design() -> Schema:
    """Enough to make all of it again."""
    file = {
        "name": text("as the design refers to it"),
        "sha256": shared("sha256", "of its content"),
        "base64": {**text("its content"), "contentEncoding": "base64"},
    }
    return record(
        "the design, with all that it takes to work everything out anew",
        {
            **_identity(),
            "source": text("the design file's text; its bytes in UTF-8 have the hash `sha256`"),
            "files": rows("the files that it refers to", record("a file", file)),
            "diameter_in": positive("of the ball, in"),
            "weight_lb": or_none(positive("what the ball should weigh before drilling, lb; null "
                                          "where the design asks for nothing")),
            "parts": rows("what is asked of each part, inside out", _part(), 1),
            "notes": rows("the designer's own words, held against nothing", {"type": "string"}),
        },
    )  # fmt: skip


def _identity() -> dict[str, Schema]:
    return {
        "name": text("of the design"),
        "revision": text("of the design"),
        "date": or_none(text("of the design, ISO 8601; null where it gives none", _DAY)),
        "sha256": shared("sha256", "of the design file"),
    }


def _part() -> Schema:
    return record(
        "a part as the design asks for it",
        {
            "name": text("of the part"),
            "role": word("its place in the ball", get_args(Role)),
            "shape": text("its family of shapes, by the word of a design file"),
            "material": text("the design's own word for it"),
            "density": word("whether its density is given, or solved so that the ball has its "
                            "weight", ("given", "solved")),
            "colour": text("red, green, blue", "^#[0-9A-Fa-f]{6}$"),
            "note": text("the designer's own words about it; may be empty"),
        },
    )  # fmt: skip


def _axis() -> Schema:
    """Angles to marks of the grip are there for a ball that has one."""
    grip = {
        "to_grip_centre_deg": "the grip centre",
        "to_midline_deg": "the midline's way to the right of the grip centre",
        "to_fingers_deg": "the way from the grip centre up to the fingers",
    }
    marks = {"to_pin_deg": "the pin", **grip, "to_axis_point_deg": "the axis point"}
    found = record(
        "a principal axis, which is undefined where all of its angles are null",
        {
            "axis": word("which it is, by its RG", ("low", "intermediate", "high")),
            "azimuth_deg": or_none(number("from +X about +Z, deg; null also along Z, where there "
                                          "is none", 0, 360)),
            "from_z_deg": or_none(number("from +Z, deg", 0, 180)),
            **{
                key: or_none(number(f"between the axis, as a line, and {words}, deg", 0, 90))
                for key, words in marks.items()
            },
        },
        optional=(*grip, "to_axis_point_deg"),
    )  # fmt: skip
    return {**found, "dependentRequired": {key: [k for k in grip if k != key] for key in grip}}


def _finding() -> dict[str, Schema]:
    """What limits and checks of castings tell alike."""
    return {
        "rule": text("what it is about"),
        "value": or_none(number("the figure, in `unit`; null: undefined")),
        "unit": text("of value, margin and ends; empty where there is none"),
        "limit": text("what is allowed, in words"),
        "margin": or_none(number("how far inside, in `unit`, below zero outside; null where that "
                                 "is not known")),
        "verdict": word("a design estimate", get_args(Verdict)),
        "source": text("where the rule was read, or whose it is"),
        "confidence": word(f"how sure the rule is. {_SURE}", _OWN),
        "note": text("what else a reader should know; may be empty"),
    }  # fmt: skip


def _rule() -> Schema:
    ends = {
        "least": or_none(number("the lower end of what is allowed, in `unit`; null: open, or no "
                                "range")),
        "most": or_none(number("the upper end of what is allowed, in `unit`; null: open, or no "
                               "range")),
    }  # fmt: skip
    return record("a rule held against a figure", {**_finding(), **ends})


def _line() -> Schema:
    figures = {
        f"{name}_{figure.unit}": or_none(number(f"{figure.says}, {figure.unit}"))
        for name, figure in AIMED.items()
    }
    ball = record("by name; empty where there is no such ball", figures, optional=figures)
    weight = {
        "weight_lb": positive("of the ball, lb"),
        "met": flag("whether it can be made and holds all that is asked of the line"),
        "densities": named("by material, g/cm3; empty where there is no such ball",
                           {"type": "number", "exclusiveMinimum": 0}),
        "core_size": positive("of the core, as a multiple of what the design has"),
        "figures": {**ball, "dependentRequired": {key: list(figures) for key in figures}},
        "why": or_none(text("why it is not met")),
    }  # fmt: skip
    return record(
        "the same core at other ball weights, undrilled; left out where no density can bring "
        "balls to them",
        {
            "design": shared("source", "the design of the ball before drilling"),
            "note": always("what every verdict here is", ESTIMATE),
            "weights": rows("from the heaviest", record("a ball", weight), 1),
        },
    )


def _sensitivity() -> Schema:
    changes = {
        key: number(f"change of {spelled(name)} when the number grows by its step, {unit}")
        for key in FIGURES
        for name, _, unit in [key.rpartition("_")]
    }
    return record(
        "what one number does",
        {
            "name": text("of the number, as the design file places it"),
            "step": text("by how much it was moved either way, with its unit"),
            **changes,
        },
    )


def _tooling() -> Schema:
    place = {
        "casting": text("which; 'ball' for all of them together"),
        "place_mm": or_none(rows("where, x, y, z in the part's own frame, mm; null where no place "
                                 "is meant", {"type": "number"}, 3, 3)),
        "size": word("whether the place is on the cold casting or on what the mould is cut to",
                     (AS_CAST, AS_CUT)),
    }  # fmt: skip
    casting = {
        "name": text("of the casting"),
        "facts": named("how it is cast, each fact by its name, in words", {"type": "string"}),
    }
    return record(
        "castings and moulds; left out where the design does not say how it is cast",
        {
            "castings": rows("inside out", record("a casting", casting), 1),
            "findings": rows("the checks", record("a check", {**_finding(), **place}), 1),
        },
    )


def _changed() -> Schema:
    value: Schema = {"type": ["number", "string", "null"]}
    row = {
        "kind": word("whether it is of the design's identity, or a figure or verdict",
                     ("design", "figure")),
        "what": text("its name, with its unit"),
        "state": word("what became of it", ("changed", "gone", "new")),
        "before": {**value, "description": "what the earlier dossier told; null also where it "
                   "told nothing"},
        "after": {**value, "description": "what this one tells; null also where it tells nothing"},
    }  # fmt: skip
    return record(
        "what changed since an earlier dossier; left out where none was named",
        {
            "design": record("the earlier design", _identity()),
            "told": named("what the earlier dossier told, by name", value),
            "rows": rows("the changes", record("a change", row)),
        },
    )


def _picture() -> Schema:
    return record(
        "a picture",
        {
            "key": text("the id of its figure in the page", "^[a-z][a-z0-9-]*$"),
            "place": word("the section that it stands in", (SPACE, DRILLED, TOOLING)),
            "caption": text("what it shows"),
            "alt": text("the same for who cannot see it"),
            "width_px": count("its width, pixels"),
            "height_px": count("its height, pixels"),
            "sha256": shared("sha256", "of the WebP file in the page"),
        },
    )
