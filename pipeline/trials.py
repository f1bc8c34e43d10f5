"""A ball weighed again with one thing changed: a part left out, or its shape, place or material.

What is left out is filled by the parts that flow round it, as the order of the design says.  The
free density is solved anew, so that the ball keeps its weight; where that cannot be, it stays what
it was and the weight changes.  What only solids could tell is asked of them only where the ball
itself was weighed by them; where no such ball exists there is no trial.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import reduce
from typing import Literal

from pipeline.ball import Ball, Part, build_ball
from pipeline.design import Design, FreeDensity, Material, PartDesign
from pipeline.errors import BallError, KernelFault, OutOfReach
from pipeline.same_core import core_of
from pipeline.units import G_PER_MM3
from pipeline.weigh import MassProperties, weigh
from shapes.errors import ShapeError
from shapes.moments import Array, Moments
from shapes.placement import Placement
from shapes.shape import Shape
from shapes.sphere import Sphere

Weight = Literal["solved", "out of reach", "nothing free", "free part gone"]
_GREW = 1e-6  # of what was left out: a part that grew by less did so by rounding
MEAN = " mean"  # a name that no material of a design file can have


@dataclass(frozen=True, eq=False)
class Trial:
    """A ball with one thing changed.

    Attributes:
        ball, properties: what it is, and what it weighs.
        weight: why the ball keeps its weight, 'solved', or why it need not: the free density
            would leave its bounds, the design frees none, or the free one was of what is gone.
    """

    ball: Ball
    properties: MassProperties
    weight: Weight


def tried(ball: Ball, parts: Sequence[PartDesign], more: Sequence[Material] = ()) -> Trial | None:
    """The ball with other parts, and with more materials; None where there is no such ball."""
    design = ball.design
    used = {part.material for part in parts}
    materials = tuple(m for m in (*design.materials, *more) if m.name in used)
    changed = replace(design, parts=tuple(parts), materials=materials)
    free = {m.name for m in design.materials if isinstance(m.density, FreeDensity)}
    weight: Weight = "solved" if free & used else "free part gone" if free else "nothing free"
    try:
        try:
            again = _built(ball, changed)
        except OutOfReach:
            weight = "out of reach"
            again = _built(ball, _as_solved(ball, changed))
    except (BallError, ShapeError, KernelFault):
        return None  # a trial is no promise: the design itself builds, and nothing hangs on this
    return Trial(again, weigh(again), weight)


def without(ball: Ball, names: Sequence[str]) -> Trial | None:
    """The ball without the parts of these names, the last of all parts not among them."""
    left = [part for part in ball.design.parts if part.name not in names]
    return tried(ball, left) if left and left[-1] is ball.design.parts[-1] else None


def with_shape(ball: Ball, name: str, shape: Callable[[], Shape]) -> Trial | None:
    """The ball with another shape for one part, where the old one stands."""
    try:
        made = shape()
    except ShapeError:
        return None
    return tried(ball, [_if(part, name, shape=made) for part in ball.design.parts])


def with_material(ball: Ball, name: str, material: str) -> Trial | None:
    """The ball with one part of another of its materials."""
    return tried(ball, [_if(part, name, material=material) for part in ball.design.parts])


def core_as_sphere(ball: Ball) -> Trial | None:
    """The ball with its core as one sphere of the same volume, mass and centre of gravity."""
    core = core_of(ball)
    if not core:
        return None
    volume = sum(part.claimed.volume_mm3 for part in core)
    mass = mass_of(core)
    material = Material(MEAN, mass.volume_mm3 / volume / G_PER_MM3)
    sphere = PartDesign(
        "core",
        MEAN,
        Sphere(2.0 * (volume / Sphere(2.0).moments().volume_mm3) ** (1.0 / 3.0)),
        Placement(move_mm=_three(mass.centroid_mm())),
    )
    names = {part.name for part in core}
    rest = [part for part in ball.design.parts if part.name not in names]
    return tried(ball, [sphere, *rest], [material])


def core_at_centre(ball: Ball) -> Trial | None:
    """The ball with its core moved, unturned, until its centre of gravity is the ball's centre."""
    core = core_of(ball)
    if not core:
        return None
    by = -mass_of(core).centroid_mm()
    names = {part.name for part in core}
    return tried(
        ball,
        [_moved(part, by) if part.name in names else part for part in ball.design.parts],
    )


def of_one_density(ball: Ball, names: Sequence[str]) -> Trial | None:
    """The ball with some of its parts of one density, together as heavy as they are."""
    chosen = [part for part in ball.parts if part.name in names]
    volume = sum(part.claimed.volume_mm3 for part in chosen)
    material = Material(MEAN, mass_of(chosen).volume_mm3 / volume / G_PER_MM3)
    parts = [
        replace(part, material=MEAN) if part.name in names else part for part in ball.design.parts
    ]
    return tried(ball, parts, [material])


def fillers(ball: Ball, trial: Trial, names: Sequence[str]) -> tuple[str, ...]:
    """The parts that fill what others left, by name, those that take the most of it first."""
    before = {part.name: part.claimed.volume_mm3 for part in ball.parts}
    gone = sum(before[name] for name in names)
    grew = {
        part.name: part.claimed.volume_mm3 - before[part.name]
        for part in trial.ball.parts
        if part.name in before
    }
    found = [name for name, by in grew.items() if by > _GREW * gone]
    return tuple(sorted(found, key=lambda name: -grew[name]))


def mass_of(parts: Sequence[Part]) -> Moments:
    """Moments of mass of parts together, g mm^n, about the ball's centre."""
    masses = (part.claimed.times(part.density_g_cm3 * G_PER_MM3) for part in parts)
    return reduce(lambda a, b: a + b, masses)


def _built(ball: Ball, design: Design) -> Ball:
    """As the ball itself was: its shapes are known to be sound, and solids weigh where they did."""
    return build_ball(design, sound=True, solids=ball.route == "boundary")


def _as_solved(ball: Ball, design: Design) -> Design:
    """The design with its free density given, as it was solved for the ball."""
    solved = {part.material: part.density_g_cm3 for part in ball.parts}
    materials = tuple(
        replace(m, density=solved[m.name]) if isinstance(m.density, FreeDensity) else m
        for m in design.materials
    )
    return replace(design, materials=materials)


def _if(part: PartDesign, name: str, **change: Shape | str) -> PartDesign:
    return replace(part, **change) if part.name == name else part  # type: ignore[arg-type]


def _moved(part: PartDesign, by_mm: Array) -> PartDesign:
    place = part.placement
    return replace(part, placement=replace(place, move_mm=_three(place.offset() + by_mm)))


def _three(vector: Array) -> tuple[float, float, float]:
    x, y, z = (float(v) for v in vector)
    return x, y, z
