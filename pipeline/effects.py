"""What each parameter of a shape family does to a ball's figures.

The family's typical body stands in a plain ball, one parameter is moved a little either way, and
the ball is weighed again: a core in an outer core and a cover, an insert in a core besides, a body
as large as an outer core round a core.  The free density keeps the ball at its weight.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from pipeline.ball import Ball, build_ball
from pipeline.design import Design, FreeDensity, Material, PartDesign
from pipeline.errors import CorewrightError
from pipeline.units import G_PER_LB, MM_PER_IN
from pipeline.weigh import MassProperties, weigh
from shapes.barrel import Barrel
from shapes.cylinder import Cylinder
from shapes.errors import ShapeError
from shapes.moments import Array
from shapes.parameters import NUMERIC, Parameter, parameters_of
from shapes.plugins import family_of
from shapes.shape import Shape
from shapes.sphere import Sphere

BALL_IN, OUTER_CORE_IN, WEIGHT_LB = 8.55, 7.05, 15.0
CORE_G_CM3, INSERT_G_CM3, COVER_G_CM3 = 2.3, 3.2, 1.17
_OUTER_FROM_MM, _INSERT_BELOW_MM3 = 85.0, 150e3  # by its typical body a family has its place
STEPS = {  # what a change is told for, and in which words
    "length": (0.1 * MM_PER_IN, "0.1 in"),
    "lengths": (0.1 * MM_PER_IN, "0.1 in"),
    "series": (0.1 * MM_PER_IN, "0.1 in"),
    "angle": (5.0, "5 deg"),
    "number": (0.1, "0.1"),
    "count": (1.0, "1"),
}
_SHARE = 0.02  # of that change: how far a parameter is moved either way to find a slope


@dataclass(frozen=True)
class Effect:
    """What one number of a family does.

    Attributes:
        parameter: its name, with a place where it has several numbers.
        step: the change that the figures are for, in words.
        low_rg_in, total_in, intermediate_in: change of low RG, total and intermediate differential.
        one_way: whether the body allows a change one way only.
    """

    parameter: str
    step: str
    low_rg_in: float
    total_in: float
    intermediate_in: float
    one_way: bool


@dataclass(frozen=True, eq=False)
class Trial:
    """A family's typical body in its plain ball, weighed.

    Attributes:
        place: what the body is there: inner core, insert or outer core.
        ball, properties: the ball and its figures.
        effects: of every number that can be moved.
        still: parameters that are no numbers, or that no change of is allowed.
    """

    place: str
    ball: Ball
    properties: MassProperties
    effects: tuple[Effect, ...]
    still: tuple[str, ...]


def has_trial(word: str) -> bool:
    """Whether the family has a typical body: those made from a file have none."""
    return all(p.kind != "file" for _, p in parameters_of(family_of(word)))


def trial(word: str) -> Trial:
    """Weigh a family's typical body and move each of its numbers.

    Raises:
        ShapeError: a package that adds the family cannot be used.
        CorewrightError: its typical body makes no ball.
    """
    shape = family_of(word).typical()
    place = place_of(shape)
    ball = build_ball(plain_design(shape, place), sound=True)
    effects, still = [], []
    for field, parameter in parameters_of(type(shape)):
        found = list(_effects(shape, place, field.name, parameter))
        effects += found
        if not found:
            still.append(field.name)
    return Trial(place, ball, weigh(ball), tuple(effects), tuple(still))


def place_of(shape: Shape) -> str:
    """What a body of this size is in a ball."""
    if shape.reach_mm(np.zeros(3)) > _OUTER_FROM_MM:
        return "outer core"
    return "insert" if shape.moments().volume_mm3 < _INSERT_BELOW_MM3 else "inner core"


def plain_design(shape: Shape, place: str) -> Design:
    """The ball that a body is tried in."""
    body = PartDesign("body", {"outer core": "light", "insert": "heavy"}.get(place, "dense"), shape)
    core = PartDesign("core", "dense", Barrel() if place == "insert" else Cylinder.typical())
    outer = PartDesign("outer core", "light", Sphere(OUTER_CORE_IN * MM_PER_IN))
    cover = PartDesign("cover", "shell", Sphere(BALL_IN * MM_PER_IN))
    parts = {
        "inner core": (body, outer, cover),
        "insert": (body, core, outer, cover),
        "outer core": (core, body, cover),
    }[place]
    materials = (
        Material("dense", CORE_G_CM3),
        Material("heavy", INSERT_G_CM3),
        Material("light", FreeDensity(0.2, 2.5)),
        Material("shell", COVER_G_CM3),
    )
    used = {part.material for part in parts}
    return Design(
        "Plain ball",
        "A",
        BALL_IN * MM_PER_IN,
        WEIGHT_LB * G_PER_LB,
        tuple(m for m in materials if m.name in used),
        parts,
    )


def _effects(shape: Shape, place: str, name: str, parameter: Parameter) -> Iterator[Effect]:
    if parameter.kind not in NUMERIC:
        return
    step, said = STEPS[parameter.kind]
    way = step if parameter.kind == "count" else _SHARE * step
    for called, moved in _moves(name, parameter, getattr(shape, name)):
        either = [
            (by, figures)
            for by in (-way, way)
            if (figures := _figures(shape, place, name, moved(by))) is not None
        ]
        if not either:
            continue
        one_way = len(either) == 1
        if one_way:
            either.insert(0, (0.0, _weighed(shape, place)))
        (from_, before), (to, after) = either
        change = (after - before) * (step / (to - from_))
        low, total, intermediate = (float(c) for c in change)
        yield Effect(called, said, low, total, intermediate, one_way)


def _moves(name: str, parameter: Parameter, value: Any) -> Iterator[tuple[str, Any]]:
    """Each number of a parameter: what to call it, and the value when it moves."""
    if parameter.kind not in ("lengths", "series"):
        yield name, lambda by: type(value)(value + by)
        return
    for k in range(len(value)):
        called = f"{name} {'xyz'[k]}" if parameter.kind == "lengths" else f"{name}[{k}]"
        yield called, lambda by, k=k: (*value[:k], value[k] + by, *value[k + 1 :])


def _figures(shape: Shape, place: str, name: str, value: Any) -> Array | None:
    """The figures of the body with one parameter changed; None where there is no such body."""
    given = {field.name: getattr(shape, field.name) for field, _ in parameters_of(type(shape))}
    try:
        return _weighed(type(shape)(**{**given, name: value}), place)
    except (ShapeError, CorewrightError):
        return None


def _weighed(shape: Shape, place: str) -> Array:
    """Low RG, total and intermediate differential, in."""
    found = weigh(build_ball(plain_design(shape, place), sound=True)).principal
    differentials = (found.total_differential_mm, found.intermediate_differential_mm)
    return np.array([found.rg_mm[0], *differentials]) / MM_PER_IN
