"""What each number of a design does to the ball's figures: which of them must be held closely.

One number at a time is made larger by a step, or smaller where larger makes no ball, and the whole
ball is weighed again; a free density keeps the ball at its weight.  What is told is the change of
each figure; a number that changes none by a digit is left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from pipeline.ball import Ball, build_ball
from pipeline.design import Design, PartDesign
from pipeline.digits import MINUS
from pipeline.errors import CorewrightError, KernelFault
from pipeline.figures import rounded
from pipeline.units import G_PER_OZ, MM_PER_IN
from pipeline.vary import with_numbers
from pipeline.weigh import weigh
from shapes.errors import ShapeError
from shapes.moments import Array
from shapes.parameters import parameters_of
from shapes.turned import ArcStep, SplineStep

_STEPS = {  # by kind of number: how far it is moved, in inner units and in words
    "length": (0.01 * MM_PER_IN, "0.01 in"),
    "angle": (1.0, "1 deg"),
    "number": (0.01, "0.01"),
    "density": (0.01, "0.01 g/cm3"),
}
_DIGITS = 6  # of an inch
_OZ_DIGITS = 4
FIGURES = (
    "low_rg_in",
    "total_differential_in",
    "intermediate_differential_in",
    "top_weight_oz",
)


def sensitivities(ball: Ball) -> list[dict[str, Any]] | None:
    """One row a number, in the order of the design; None where only solids can weigh the ball.

    Args:
        ball: undrilled.
    """
    if ball.route != "moments":
        return None
    design, here = ball.design, _weighed(ball)
    rows: list[dict[str, Any]] = []
    for name, kind, path, value in _numbers(design):
        step, words = _STEPS[kind]
        for sign, way in (("+", step), (MINUS, -step)):
            there = _figures(design, path, value + way)
            if there is not None:
                told = _told(there - here)
                if any(told.values()):
                    rows.append({"name": name, "step": f"{sign}{words}", **told})
                break
    return rows


def _told(change: Array) -> dict[str, float]:
    digits = (_DIGITS, _DIGITS, _DIGITS, _OZ_DIGITS)
    return {
        figure: rounded(float(c), places)
        for figure, c, places in zip(FIGURES, change, digits, strict=True)
    }


def _numbers(design: Design) -> Iterator[tuple[str, str, str, float]]:
    """Name, kind, path and value of every number that the figures come from."""
    for material in design.materials:
        if isinstance(material.density, float):
            path = f"materials.{material.name}.density"
            yield f"density of {material.name}", "density", path, material.density
    for k, part in enumerate(design.parts):
        for word, kind, path, value in _of_part(part):
            yield f"{part.name}: {word}", kind, f"parts[{k}].{path}", value


def _of_part(part: PartDesign) -> Iterator[tuple[str, str, str, float]]:
    """What of a part is a plain number: its parameters, its profile's points, its place."""
    for field, parameter in parameters_of(type(part.shape)):
        value = getattr(part.shape, field.name)
        if parameter.kind in ("length", "angle", "number"):
            yield field.name, parameter.kind, field.name, value
        elif parameter.kind == "lengths":
            for axis, one in zip("xyz", value, strict=True):
                yield f"{field.name} {axis}", "length", f"{field.name}.{axis}", one
        elif parameter.kind == "series":
            for k, one in enumerate(value):
                yield f"{field.name}[{k}]", "length", f"{field.name}[{k}]", one
        elif parameter.kind == "profile":
            for path, one in _points(field.name, value):
                yield path, "length", path, one
    for k, axis in enumerate("xyz"):
        yield f"place along {axis}", "length", f"move.{axis}", part.placement.move_mm[k]
    placement = part.placement
    yield "spin", "angle", "spin", placement.spin_deg
    yield "tilt", "angle", "tilt.by", placement.tilt_by_deg
    yield "tilt toward", "angle", "tilt.toward", placement.tilt_toward_deg


def _points(name: str, steps: Any) -> Iterator[tuple[str, float]]:
    """Path and value of every coordinate of a profile, but the zeros on its axis."""
    for k, step in enumerate(steps):
        if isinstance(step, ArcStep):
            points = [(f"{name}[{k}].arc", step.arc), (f"{name}[{k}].through", step.through)]
        elif isinstance(step, SplineStep):
            points = [(f"{name}[{k}].spline[{j}]", p) for j, p in enumerate(step.spline)]
        else:
            points = [(f"{name}[{k}]", step)]
        for path, (r, z) in points:
            if r != 0.0:
                yield f"{path}.r", r
            yield f"{path}.z", z


def _figures(design: Design, path: str, value: float) -> Array | None:
    """The figures with one number changed; None where there is no such ball."""
    try:
        return _weighed(build_ball(with_numbers(design, {path: value}), solids=False))
    except (ShapeError, CorewrightError, KernelFault):  # the last: parts do not fill the ball
        return None


def _weighed(ball: Ball) -> Array:
    """By the order of FIGURES."""
    found = weigh(ball)
    principal = found.principal
    return np.array(
        [
            principal.rg_mm[0] / MM_PER_IN,
            principal.total_differential_mm / MM_PER_IN,
            principal.intermediate_differential_mm / MM_PER_IN,
            found.static_imbalance_g() / G_PER_OZ,
        ]
    )
