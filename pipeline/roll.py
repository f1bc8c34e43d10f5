"""A drilled ball that turns about its wandering axis and lays one track ring after the other.

It turns as `flare` has it, free of torque.  Seen from the bowler, who stands behind it, it rolls
away, so the axis that it turns about points to the left, tilted so far that the ball touches the
floor where its track runs.  What is drawn is where it has touched.
"""

from __future__ import annotations

from dataclasses import replace
from math import cos, pi, sin

import numpy as np

from pipeline.ball import Ball
from pipeline.digits import inches
from pipeline.drilled import Drilled, drill
from pipeline.drilled_views import drilled_ball
from pipeline.errors import OutputError
from pipeline.flare import EXPLANATION, Flare
from pipeline.palette import AMBER
from pipeline.rolling import REVOLUTIONS, let_go
from pipeline.scene import Camera, Scene, Thread, frame_of
from pipeline.take import Asked, Caption, Take
from pipeline.turning import about
from shapes.moments import Array

_STEPS = 96  # of a revolution
_CAMERA = Camera(0.0, 14.0)


def roll(asked: Asked) -> Take:
    """The take.

    Raises:
        OutputError: the ball is not drilled, or has no axis point to turn about.
    """
    drilled, flare = let_roll(asked.ball)
    hand = 1.0 if drilled.laid.hand == "right" else -1.0
    axes = _axes(flare, hand)
    turns = _turns(flare, hand, axes, drilled.laid.pin)
    scene = drilled_ball(drilled)
    step = inches(flare.first_step_mm, drilled.properties, 3)
    scene = replace(scene, marks=(), labels=(), notes=(EXPLANATION, *scene.notes))
    radius = drilled.properties.radius_mm

    trail = np.array([turn.T @ (0.0, 0.0, -1.0015 * radius) for turn in turns])

    def at(share: float) -> Scene:
        done = share * REVOLUTIONS * _STEPS
        turn = _turn_at(turns, axes, done)
        camera = replace(_CAMERA, frame=frame_of(turn.T))
        here = turn.T @ np.array([0.0, 0.0, -1.0015 * radius])
        rings = [
            Thread(np.array([*laid, here]), AMBER, radius / 80.0)
            if first <= done < first + _STEPS
            else Thread(laid, AMBER, radius / 80.0)
            for first in range(0, REVOLUTIONS * _STEPS, _STEPS)
            if len(laid := trail[first : min(first + _STEPS, int(done)) + 1]) > 1
        ]
        return replace(scene, camera=camera, threads=(*scene.threads, *rings), floor_mm=-radius)

    captions = (
        Caption(0.0, 0.5, f"Each revolution lays another ring; the axis steps {step} in in the "
                          "first one."),
        Caption(0.5, 1.0, EXPLANATION),
    )  # fmt: skip
    return Take(at, False, captions, (0.0, 1.0), 0.7)


def let_roll(ball: Ball) -> tuple[Drilled, Flare]:
    """A ball drilled, and how its axis wanders.

    Raises:
        OutputError: it is not drilled, or has no axis point to turn about.
    """
    drilled = drill(ball)
    flare = None if drilled is None else let_go(drilled)
    if drilled is None or flare is None:
        raise OutputError(
            f"{ball.design.name} has no axis point to turn about: give it a drilling with an "
            "axis_point and a hand"
        )
    return drilled, flare


def _axes(flare: Flare, hand: float) -> Array:
    """The axis that the ball turns about in the middle of every step: shape (n, 3), unit."""
    path = hand * flare.path_mm / flare.radius_mm
    per_step = (len(path) - 1) / (REVOLUTIONS * _STEPS)
    middles = (np.arange(REVOLUTIONS * _STEPS) + 0.5) * per_step
    at = np.arange(len(path))
    found = np.column_stack([np.interp(middles, at, path[:, k]) for k in range(3)])
    return np.asarray(found / np.linalg.norm(found, axis=1)[:, None])


def _turns(flare: Flare, hand: float, axes: Array, pin: Array) -> list[Array]:
    """How the ball has turned before every step, and at the end: from its frame to the room's.

    In the room X is towards the bowler, Y to the right, Z up.
    """
    start = hand * flare.path_mm[0] / flare.radius_mm
    dip = pi / 2.0 - flare.track_rad
    left = np.array([0.0, -cos(dip), -hand * sin(dip)])
    facing = np.array([0.8, 0.0, 0.6])
    room = np.column_stack([left, _across(facing, left), np.cross(left, _across(facing, left))])
    side = _across(pin if abs(float(pin @ start)) < 0.999 else np.eye(3)[0], start)
    own = np.column_stack([start, side, np.cross(start, side)])
    found = [room @ own.T]
    for axis in axes:
        found.append(found[-1] @ about(axis, 2.0 * pi / _STEPS))
    return found


def _turn_at(turns: list[Array], axes: Array, done: float) -> Array:
    """How the ball has turned after so many steps, which need not be whole."""
    k = min(int(done), len(axes) - 1)
    return np.asarray(turns[k] @ about(axes[k], (done - k) * 2.0 * pi / _STEPS))


def _across(way: Array, axis: Array) -> Array:
    """The part of a direction that is square to an axis, as a unit vector."""
    flat = way - (way @ axis) * axis
    return np.asarray(flat / np.linalg.norm(flat))
