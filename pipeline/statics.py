"""Static weights of a drilled ball, told both ways that they are understood.

A balance scale holds the ball and answers to the first moment of mass about its centre; the rule
speaks of the weight of one half against the other.  Both are given: the moment over the ball's
radius, and the difference between the halves on either side of a plane through the centre.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import pi

import numpy as np

from pipeline.ball import Ball
from pipeline.drilled import Drilled, bores_of
from pipeline.units import G_PER_MM3
from shapes.bored_finely import taken_finely
from shapes.moments import Array
from shapes.placed import Placed
from shapes.sphere import Sphere

MOMENT = "first moment of mass about the ball's centre, over the ball's radius"
HALVES = "weight of the half on that side less that of the other half"
HALVES_OZ = 0.01  # how far off the difference of halves may be
_CELL_MM3 = 1.0  # how finely cores and holes are cut: `shapes.bored_finely`


@dataclass(frozen=True)
class Static:
    """One static weight.

    Attributes:
        name: top, side or finger.
        towards: the side that is heavier when it is more than zero.
        moment_g: the first moment over the radius.
        halves_g: the difference between the halves.
    """

    name: str
    towards: str
    moment_g: float
    halves_g: float


@lru_cache(maxsize=8)
def statics(drilled: Drilled) -> tuple[Static, ...]:
    """Top, side and finger weight; none without a grip to tell which way is up."""
    frame = drilled.laid.frame
    if frame is None:
        return ()
    hand = drilled.laid.hand
    side = -1.0 if hand == "left" else 1.0
    over = "the ring finger's side" if hand else "the right, seen with the fingers up"
    ways = (
        ("top", "the grip centre", frame[:, 0]),
        ("side", over, side * frame[:, 1]),
        ("finger", "the fingers", frame[:, 2]),
    )
    return tuple(
        Static(name, towards, moment_g(drilled, way), _halves_g(drilled, way))
        for name, towards, way in ways
    )


def moment_g(drilled: Drilled, way: Array) -> float:
    """First moment of mass along a unit vector, shape (3,), over the ball's radius."""
    properties = drilled.properties
    return float(properties.mass_g * (properties.centre_of_gravity_mm @ way) / properties.radius_mm)


def _halves_g(drilled: Drilled, way: Array) -> float:
    """Twice the half on the side that the unit vector shows, less the whole."""
    ball, bores = drilled.ball, bores_of(drilled.holes)
    gone, _ = taken_finely(bores, ball.bodies, _CELL_MM3, way)
    found = 0.0
    for part, half, left, hole in zip(
        ball.parts, half_volumes_mm3(ball, way), drilled.left, gone.of_bodies, strict=True
    ):
        found += part.density_g_cm3 * (2.0 * (half - hole.volume_mm3) - left.volume_mm3)
    filled = gone.by_bores[len(drilled.holes) :]
    for fill, moments in zip(drilled.fills, filled, strict=True):
        found += fill.density_g_cm3 * (2.0 * moments.volume_mm3 - fill.moments.volume_mm3)
    return float(found * G_PER_MM3)


def half_volumes_mm3(ball: Ball, way: Array) -> list[float]:
    """What the parts of an undrilled ball claim on the side that a unit vector shows.

    All parts up to a sphere round them fill it, and a sphere's share is in closed form; the parts
    inside are cut into columns along the pin axis, which suits most cores.
    """
    bodies = ball.bodies
    first = len(bodies) - 1  # the last part is the ball itself
    while first and _is_round(bodies[first - 1], bodies[: first - 1]):
        first -= 1
    inner = bodies[:first]
    halves: list[float] = []
    if inner:
        reach = max(body.reach_mm(np.zeros(3)) for body in inner)
        whole = Placed(Sphere(2.02 * reach))
        found, _ = taken_finely([whole], inner, _CELL_MM3, way)
        halves = [moments.volume_mm3 for moments in found.of_bodies]
    filled = sum(halves)
    for body in bodies[first:]:
        share = beyond_plane_mm3(body, way)
        halves.append(share - filled)
        filled = share
    return halves


def beyond_plane_mm3(sphere: Placed, way: Array) -> float:
    """The volume of a sphere on the side of a plane through the origin that a unit vector shows.

    A cap of height h has pi h^2 (3 r - h) / 3 (any handbook; from memory).
    """
    assert isinstance(sphere.shape, Sphere)
    r = sphere.shape.diameter / 2.0
    height = float(np.clip(r + sphere.placement.offset() @ way, 0.0, 2.0 * r))
    return pi * height**2 * (3.0 * r - height) / 3.0


def _is_round(body: Placed, earlier: Sequence[Placed]) -> bool:
    """Whether a body is a sphere round all earlier ones."""
    if not isinstance(body.shape, Sphere):
        return False
    centre, r = body.placement.offset(), body.shape.diameter / 2.0
    return all(other.reach_mm(centre) <= r * (1.0 + 1e-12) for other in earlier)
