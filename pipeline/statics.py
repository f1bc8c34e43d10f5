"""Static weights of a drilled ball, told both ways that they are understood.

A balance scale holds the ball and answers to the first moment of mass about its centre; the rule
speaks of the weight of one half against the other.  Both are given: the moment over the ball's
radius, and the difference between the halves on either side of a plane through the centre.
"""

from __future__ import annotations

from dataclasses import dataclass

from pipeline.drilled import Drilled, bores_of
from pipeline.units import G_PER_MM3
from shapes.bored_finely import taken_finely
from shapes.moments import Array
from shapes.placed import Placed
from shapes.sphere import Sphere

MOMENT = "first moment of mass about the ball's centre, over the ball's radius"
HALVES = "weight of the half on that side less that of the other half"
HALVES_OZ = 0.01  # how far off the difference of halves may be
_BALL_MM3, _BORES_MM3 = 6.0, 2.0  # how finely ball and holes are cut: `shapes.bored_finely`


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
    """Twice the half on the side that the unit vector shows, less the whole.

    Columns along the pin axis suit most cores, whatever way the plane lies.
    """
    ball, bores = drilled.ball, bores_of(drilled.holes)
    sphere = Placed(Sphere(2.0 * ball.radius_mm))
    whole, _ = taken_finely([sphere], ball.bodies, _BALL_MM3, way)
    gone, _ = taken_finely(bores, ball.bodies, _BORES_MM3, way)
    found = 0.0
    for part, left, a, b in zip(
        ball.parts, drilled.left, whole.of_bodies, gone.of_bodies, strict=True
    ):
        found += part.density_g_cm3 * (2.0 * (a.volume_mm3 - b.volume_mm3) - left.volume_mm3)
    filled = gone.by_bores[len(drilled.holes) :]
    for fill, half in zip(drilled.fills, filled, strict=True):
        found += fill.density_g_cm3 * (2.0 * half.volume_mm3 - fill.moments.volume_mm3)
    return float(found * G_PER_MM3)
