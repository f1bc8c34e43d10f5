"""What the core's shape does: its length and width, a sphere in its stead, what is not round."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from math import sqrt

import numpy as np

from pipeline.axes import Principal, principal
from pipeline.ball import Ball, Part
from pipeline.called import its, starting, the
from pipeline.same_core import core_of
from pipeline.told import EXTENT_MM, Fact, Said, Told, agreeing, length, number
from pipeline.trial_words import outcome, tried_fact
from pipeline.trials import core_as_sphere, mass_of, with_shape
from pipeline.weigh import MassProperties
from shapes.barrel import Barrel
from shapes.box import Box
from shapes.ellipsoid import Ellipsoid
from shapes.hewn import Hewn, Scallops
from shapes.moments import Array
from shapes.shape import Shape
from shapes.sphere import Sphere
from shapes.spool import Spool

SHAPE = "What the core's shape does"
_SPLIT_MM = 1e-4  # RGs of a core alone that are nearer than this are one


def shape_points(ball: Ball, properties: MassProperties) -> Iterator[Fact]:
    """Length and width of the core, a sphere in its stead, and what makes it asymmetrical."""
    core = core_of(ball)
    if not core:
        return
    yield from _sizes(core)
    yield from _as_sphere(ball, properties, core)
    if properties.principal.symmetry == "asymmetrical":
        for part in core:
            yield from _made_round(ball, properties, part)


def core_words(core: Sequence[Part]) -> str:
    """A core of one part by its name, one of several as a whole."""
    return its(core[0].name) if len(core) == 1 else "its core"


def _sizes(core: Sequence[Part]) -> Iterator[Fact]:
    """How long and wide the core is along its own principal axes, where that is known."""
    if any(part.body.shape.reaches_no_farther for part in core):
        return  # its reach is a bound, and no length
    whole = mass_of(core)
    own = principal(whole.inertia_mm5(), whole.volume_mm3, _SPLIT_MM)
    name = starting(the(core[0].name)) if len(core) == 1 else "The core"
    if own.symmetry == "asymmetrical":
        yield _three_sizes(core, own, name)
    axis = own.low if own.low is not None else own.high
    if own.symmetry == "symmetrical" and axis is not None and _round_about(core, axis):
        long, wide = _extent(core, axis, "length"), _extent(core, _across(axis), "width")
        ratio = _ratio(long, wide)
        yield Fact(
            SHAPE,
            f"{name} is {long.said} long and {wide.said} wide, {ratio.text} times as long as wide.",
            (long, wide, ratio),
            "its extents along the axis that it is round about, and across",
        )


def _three_sizes(core: Sequence[Part], own: Principal, name: str) -> Fact:
    assert own.low is not None
    assert own.intermediate is not None
    assert own.high is not None
    low, middle, high = (
        _extent(core, axis, f"extent along the {which}-RG axis")
        for which, axis in (
            ("low", own.low), ("intermediate", own.intermediate), ("high", own.high),
        )
    )  # fmt: skip
    return Fact(
        SHAPE,
        f"{name} measures {low.said} along its low-RG axis, {middle.said} along its "
        f"intermediate-RG axis and {high.said} along its high-RG axis.",
        (low, middle, high),
        "its extents along the principal axes of the core alone",
    )


def _extent(core: Sequence[Part], axis: Array, name: str) -> Told:
    ahead, behind = (max(p.body.support_mm(way) for p in core) for way in (axis, -axis))
    return length(f"{name} of the core", ahead + behind, EXTENT_MM)


def _ratio(long: Told, wide: Told) -> Told:
    value, again = long.value / wide.value, float(long.text) / float(wide.text)
    bound = value * (long.bound / long.value + wide.bound / wide.value)
    return agreeing("length over width of the core", value, again, 2, bound)


def _round_about(core: Sequence[Part], axis: Array) -> bool:
    """Whether every part of the core is a body of revolution about one axis."""
    centre = mass_of(core).centroid_mm()
    for part in core:
        if part.body.shape.section() is None:
            return False
        leans = not isinstance(part.body.shape, Sphere)
        if leans and abs(abs(float(part.body.axis() @ axis)) - 1.0) > 1e-12:
            return False
        off = part.body.placement.offset() - centre
        if float(((off - (off @ axis) * axis) ** 2).sum()) > EXTENT_MM**2:
            return False
    return True


def _across(axis: Array) -> Array:
    """Any unit vector across an axis."""
    other = np.array([1.0, 0.0, 0.0] if abs(axis[0]) < 0.9 else [0.0, 1.0, 0.0])
    square = other - (other @ axis) * axis
    return np.asarray(square / np.linalg.norm(square))


def _as_sphere(ball: Ball, properties: MassProperties, core: Sequence[Part]) -> Iterator[Fact]:
    if len(core) == 1 and isinstance(core[0].body.shape, Sphere):
        return
    trial = core_as_sphere(ball)
    if trial is None:
        return
    shape = trial.ball.parts[0].body.shape
    assert isinstance(shape, Sphere)
    wide = length("diameter of the core as a sphere", shape.diameter, EXTENT_MM)
    yield tried_fact(
        SHAPE,
        Said(
            f"With {core_words(core)} as a sphere of {wide.said} diameter, of the same volume, "
            "mass and centre of gravity",
            (wide,),
        ),
        outcome(ball, properties, trial, " with the core as a sphere"),
        "the core replaced by that sphere, at the core's mean density",
        trial,
    )


def _made_round(ball: Ball, properties: MassProperties, part: Part) -> Iterator[Fact]:
    """What is not the same all round about a part, done away with."""
    change = _rounder(part)
    trial = None if change is None else with_shape(ball, part.name, change[1])
    if change is None or trial is None:
        return
    yield tried_fact(
        SHAPE,
        change[0],
        outcome(ball, properties, trial, f" with {the(part.name)} made even"),
        "that part's shape changed so, where it stands",
        trial,
    )


def _rounder(part: Part) -> tuple[Said, Callable[[], Shape]] | None:
    """What would make a part even about its longest axis, in words and as a shape."""
    shape = part.body.shape
    if isinstance(shape, Box | Ellipsoid):
        return _squared(part.name, shape)
    if isinstance(shape, Hewn):
        what = "scallops" if isinstance(shape, Scallops) else "flats"
        if shape.count == 1:
            what = what[:-1]
        count = number(f"{what} of {the(part.name)}", float(shape.count), "", 0.0, 0,
                       "given")  # fmt: skip
        return Said(f"With the {count.text} {what} of {its(part.name)} filled up", (count,)), (
            lambda: _host(shape)
        )
    return None


def _squared(name: str, shape: Box | Ellipsoid) -> tuple[Said, Callable[[], Shape]] | None:
    """Both widths across the longest size made their geometric mean, which keeps the section."""
    longest = max(range(3), key=lambda k: shape.size[k])
    first, second = (shape.size[k] for k in range(3) if k != longest)
    if len(set(shape.size)) < 3:  # round already, or no size is the longest
        return None
    even = sqrt(first * second)
    x, y, z = (shape.size[k] if k == longest else even for k in range(3))
    one, other = (
        length(f"{which} width of {the(name)}", width, 0.0, source="given")
        for which, width in (("lesser", min(first, second)), ("greater", max(first, second)))
    )
    both = length(f"even width of {the(name)}", even, EXTENT_MM)
    words = (
        f"With the two lesser sizes of {its(name)}, {one.text} and {other.said}, both made "
        f"{both.said}"
    )
    return Said(words, (one, other, both)), lambda: replace(shape, size=(x, y, z))


def _host(shape: Hewn) -> Shape:
    given = (shape.end_diameter, shape.middle_diameter, shape.height, shape.round)
    return Barrel(*given) if shape.middle_diameter >= shape.end_diameter else Spool(*given)
