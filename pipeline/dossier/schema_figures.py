"""The schema of a ball's figures as `pipeline.figures` tells them, and of what drilling did."""

from __future__ import annotations

from typing import get_args

from pipeline.axes import Symmetry
from pipeline.ball import Route
from pipeline.dossier.schema_terms import (
    Schema,
    named,
    number,
    or_none,
    positive,
    record,
    rows,
    shared,
    shared_or_none,
    text,
    word,
)
from pipeline.drilling import Hand, Use

_ROUTES = (*get_args(Route), "mesh")
_AXES = ("low", "intermediate", "high")
_BOTH_OR_NEITHER = {"drilling": ["undrilled"], "undrilled": ["drilling"]}


def figures_defs() -> dict[str, Schema]:
    """What the schema's `$defs` hold of figures, by name."""
    three = {"type": "number"}
    return {
        "point": rows("x, y, z in the ball frame, in", three, 3, 3),
        "direction": rows(
            "x, y, z of a unit vector in the ball frame",
            {"type": "number", "minimum": -1, "maximum": 1}, 3, 3,
        ),
        "tensor": rows(
            "an inertia tensor in the ball frame, row by row, products negated, lb in2",
            {"type": "array", "items": three, "minItems": 3, "maxItems": 3}, 3, 3,
        ),
        "three_rgs": record(
            "RG about each principal axis, in", {name: positive(f"{name} RG, in") for name in _AXES}
        ),
        "source": _source(),
        "figures": _figures(),
        "drilling": _drilling(),
    }  # fmt: skip


def _source() -> Schema:
    """Which design figures were made from."""
    return record(
        "the design that these were made from",
        {
            "name": text("of the design"),
            "revision": text("of the design"),
            "sha256": shared("sha256", "of the design file"),
            "files": named(
                "the files that it refers to, each with its SHA-256; left out where it has none",
                shared("sha256", "of that file"),
            ),
            "notes": rows(
                "what a reader should know of bodies that were read from files; left out where "
                "there is nothing", {"type": "string"}, 1,
            ),
        },
        optional=("files", "notes"),
    )  # fmt: skip


def _figures() -> Schema:
    """Of a ball; of a drilled one with what drilling did, and the same of it before."""
    before = shared("figures", "the same of the ball before it was drilled, by the first route")
    keys = {
        "design": shared("source", "the design that these were made from"),
        "mass_lb": positive("mass, lb"),
        "centre_of_gravity_in": shared("point", "from the ball's centre, in the ball frame, in"),
        "inertia_lb_in2": shared("tensor", "about the centre of gravity, ball frame, lb in2"),
        **_turning("the centre of gravity"),
        "about_ball_centre": record(
            "the same as a swing-type tester sees them, which turns the ball about its centre",
            _turning("the ball's centre"),
        ),
        "axes": record(
            "principal axes through the centre of gravity, in the ball frame",
            {
                name: shared_or_none("direction", f"of the {name}-RG axis; null: undefined")
                for name in _AXES
            },
        ),
        "symmetry": word("how many RGs are one: all, two, none", get_args(Symmetry)),
        "pin_in": shared_or_none("point", "where the low-RG axis leaves the ball on the +Z side, "
                                 "in the ball frame, in; null: undefined"),
        "psa_in": shared_or_none("point", "where the high-RG axis leaves the ball, in the ball "
                                 "frame, in; null: undefined"),
        "cg_mark_in": shared_or_none("point", "where the ray from the ball's centre through the "
                                     "centre of gravity leaves it, ball frame, in; null: "
                                     "undefined, the two centres being one"),
        "pin_to_cg_in": or_none(number("along the surface from pin to CG mark, in; null: "
                                       "undefined", 0.0)),
        "top_weight_oz": number("static imbalance: first moment of mass about the ball's centre "
                                "over its radius, oz", 0.0),
        "parts": rows("parts, inside out; on a drilled ball what is left of them, then its "
                      "inserts", _part(), 1),
        "error_bound": record(
            "how far the figures may be off by the way they were worked out, and by nothing else",
            {
                "mass_lb": positive("the mass, lb"),
                "rg_in": positive("any RG or differential, in"),
            },
        ),
        "routes": named("the routes that were gone to the figures, the answer first", _route(),
                        _ROUTES),
        "drilling": shared("drilling", "what drilling did; only of a drilled ball"),
        "undrilled": {**before, "properties": dict.fromkeys(_BOTH_OR_NEITHER, False)},
    }  # fmt: skip
    found = record(
        "mass properties of a ball; no digit that the error bound does not defend",
        keys,
        optional=_BOTH_OR_NEITHER,
    )
    return {**found, "dependentRequired": _BOTH_OR_NEITHER}


def _turning(about: str) -> dict[str, Schema]:
    """RGs and differentials about principal axes through a point."""
    return {
        "rg_in": shared("three_rgs", f"RG about the principal axes through {about}, in"),
        "total_differential_in": number(f"high less low RG about {about}, in", 0.0),
        "intermediate_differential_in": number(f"high less intermediate RG about {about}, in", 0.0),
    }


def _part() -> Schema:
    return record(
        "a part as it is in the ball",
        {
            "name": text("of the part"),
            "material": text("of the part; 'insert' of a grip insert"),
            "density_g_cm3": positive("given or solved, g/cm3"),
            "volume_in3": number("of the space that is its own, in3", 0.0),
            "mass_lb": number("of the part, lb", 0.0),
        },
    )


def _route() -> Schema:
    return record(
        "what one route found",
        {
            "rg_in": shared("three_rgs", "RG about the principal axes through the centre of "
                            "gravity, in"),
            "error_bound_rg_in": positive("how far each of them may be off, in"),
        },
    )  # fmt: skip


def _drilling() -> Schema:
    return record(
        "what drilling did to the ball",
        {
            "hand": or_none(word("the bowler's; null without a grip", get_args(Hand))),
            "holes": rows("the holes, in the order they are drilled", _hole(), 1),
            "grip_centre_in": shared_or_none("point", "on the surface, ball frame, in; null "
                                             "without a grip"),
            "axis_point_in": shared_or_none("point", "where the bowler's spin axis leaves the "
                                            "ball, ball frame, in; null where none is given"),
            "layout_in": _layout(),
            "removed_oz": number("mass before drilling less mass after, oz"),
            "pin_moved": _moved("low-RG"),
            "psa_moved": _moved("high-RG"),
            "static_weights": or_none(_statics()),
            "rg_about_axis_point_in": or_none(
                positive("RG about the axis through the centre of gravity along the axis point's "
                         "direction, in; null without an axis point")
            ),
            "flare": or_none(_flare()),
        },
    )  # fmt: skip


def _hole() -> Schema:
    insert = record(
        "what fills the bore round the hole; left out where there is none",
        {
            "bore_in": positive("diameter of the bore, in"),
            "depth_in": positive("of the bore along its axis, in"),
            "density_g_cm3": positive("of what fills it, g/cm3"),
        },
    )
    point = record(
        "a cone", {"point_deg": number("the whole angle of the cone beyond the depth, deg", 0, 180)}
    )
    return record(
        "a hole",
        {
            "name": text("of the hole"),
            "use": word("what goes into it", get_args(Use)),
            "entry_in": shared("point", "where its axis meets the surface, ball frame, in"),
            "way": shared("direction", "along its axis, inwards, ball frame"),
            "diameter_in": positive("of the hole, in"),
            "depth_in": positive("along its axis, from where that meets the surface, in"),
            "bottom": {
                "anyOf": [{"type": "string", "const": "flat"}, point],
                "description": "flat, or a cone beyond the depth",
            },
            "bevel_in": number("how much wider the edge is broken, on the radius, in", 0.0),
            "misses_centre_in": number(
                "least distance from its axis to the ball's centre, in", 0.0
            ),
            "insert": insert,
        },
        optional=("insert",),
    )


def _layout() -> Schema:
    """Distances along the surface between the marks as they were before drilling moved them."""
    keys = {
        "pin_to_axis_point": number("pin to axis point, in", 0.0),
        "mark_to_axis_point": number("high-RG mark to axis point, in", 0.0),
        "pin_to_grip_centre": number("pin to grip centre, in", 0.0),
        "pin_to_val": number("pin to vertical axis line, square to it, in; above zero on the "
                             "grip's side"),
        "pin_to_mark": number("pin to high-RG mark, in", 0.0),
    }  # fmt: skip
    says = "distances along the surface before drilling moved the marks, in; what there is of them"
    return record(says, keys, optional=keys)


def _moved(axis: str) -> Schema:
    return record(
        f"how far drilling moved the {axis} axis",
        {
            "deg": or_none(number("between the axes, as lines, deg; null: undefined before or "
                                  "after", 0, 90)),
            "in": or_none(number("along the surface between where they leave the ball, in; null: "
                                 "undefined before or after", 0.0)),
        },
    )  # fmt: skip


def _statics() -> Schema:
    weight = {
        "towards": text("the side that is heavier when the figures are above zero"),
        "moment": number("by the first moment, oz"),
        "halves": number("by the weights of the halves, oz"),
    }
    return record(
        "static weights both ways that they are understood; null without a grip, which tells "
        "what is up",
        {
            "moment": text("what the moments are, in words"),
            "halves": text("what the halves are, in words"),
            **{
                f"{name}_oz": record(f"{name} weight, oz", weight)
                for name in ("top", "side", "finger")
            },
        },
    )


def _flare() -> Schema:
    return record(
        "how the spin axis wanders while the ball turns free of torque; null without an axis point "
        "and a hand",
        {
            "index_in": number("the first revolution's step along the surface, in", 0.0),
            "steps_in": rows("the step of each revolution along the surface, in",
                             {"type": "number", "minimum": 0}, 1),
            "note": text("what this does not tell"),
        },
    )  # fmt: skip
