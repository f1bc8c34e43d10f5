"""A drilled ball that turns about its wandering axis and lays one track ring after the other.

It turns as `flare` has it, free of torque.  Seen from the bowler, who stands behind it, it rolls
away, so the axis that it turns about points to the left; the end that the rings go round dips so
far that the ring of the moment touches the floor.
"""

from __future__ import annotations

from dataclasses import replace
from math import cos, pi, sin

import numpy as np

from pipeline.digits import inches
from pipeline.drilled import drill
from pipeline.drilled_views import drilled_ball
from pipeline.errors import OutputError
from pipeline.flare import EXPLANATION, Flare
from pipeline.palette import AMBER
from pipeline.rolling import REVOLUTIONS, let_go
from pipeline.scene import Camera, Scene, Thread, frame_of
from pipeline.take import Asked, Caption, Take
from pipeline.turning import about
from shapes.moments import Array

_STEPS = 48  # of a revolution
_CAMERA = Camera(0.0, 14.0)


def roll(asked: Asked) -> Take:
    """The take.

    Raises:
        OutputError: the ball is not drilled, or has no axis point to turn about.
    """
    drilled = drill(asked.ball)
    flare = None if drilled is None else let_go(drilled)
    if drilled is None or flare is None:
        raise OutputError(
            f"{asked.ball.design.name} has no axis point to turn about: give it a drilling with an "
            "axis_point and a hand"
        )
    hand = 1.0 if drilled.laid.hand == "right" else -1.0
    turns = _turns(flare, hand, drilled.laid.pin)
    scene = drilled_ball(drilled)
    step = inches(flare.first_step_mm, drilled.properties, 3)
    scene = replace(scene, marks=(), labels=(), notes=(EXPLANATION, *scene.notes))
    radius = drilled.properties.radius_mm

    def at(share: float) -> Scene:
        done = share * REVOLUTIONS
        turn = turns[min(round(done * _STEPS), len(turns) - 1)]
        camera = replace(_CAMERA, frame=frame_of(turn.T))
        rings = [
            Thread(1.0015 * curve, AMBER, radius / 80.0)
            for k in range(REVOLUTIONS)
            if len(curve := _laid(flare.rings_mm[k], done - k)) > 1
        ]
        return replace(scene, camera=camera, threads=(*scene.threads, *rings), floor_mm=-radius)

    captions = (
        Caption(0.0, 0.5, f"Each revolution lays another ring; the axis steps {step} in in the "
                          "first one."),
        Caption(0.5, 1.0, EXPLANATION),
    )  # fmt: skip
    return Take(at, False, captions, (0.0, 1.0), 0.7)


def _turns(flare: Flare, hand: float, pin: Array) -> list[Array]:
    """How the ball has turned at every step, shape (3, 3): from the ball's frame to the room's.

    In the room X is towards the bowler, Y to the right, Z up.
    """
    path = hand * flare.path_mm / flare.radius_mm  # of the axis that it turns about
    dip = pi / 2.0 - flare.track_rad
    left = np.array([0.0, -cos(dip), -hand * sin(dip)])
    facing = np.array([0.8, 0.0, 0.6])
    room = np.column_stack([left, _across(facing, left), np.cross(left, _across(facing, left))])
    side = _across(pin if abs(float(pin @ path[0])) < 0.999 else np.eye(3)[0], path[0])
    own = np.column_stack([path[0], side, np.cross(path[0], side)])
    turn = room @ own.T
    found = [turn]
    per_step = (len(path) - 1) / (REVOLUTIONS * _STEPS)
    for k in range(REVOLUTIONS * _STEPS):
        axis = path[round((k + 0.5) * per_step)]
        turn = turn @ about(axis, 2.0 * pi / _STEPS)
        found.append(turn)
    return found


def _across(way: Array, axis: Array) -> Array:
    """The part of a direction that is square to an axis, as a unit vector."""
    flat = way - (way @ axis) * axis
    return np.asarray(flat / np.linalg.norm(flat))


def _laid(ring: Array, share: float) -> Array:
    """What is laid of a closed ring when so much of its revolution is over."""
    whole = len(ring) - 1
    return ring[: min(whole, round(max(0.0, share) * whole)) + 1]
