"""A scene as it is seen when its ball turns before a camera that stands still."""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians, sin
from typing import TypeVar

import numpy as np

from pipeline.arrows import axes_of
from pipeline.ball import Ball
from pipeline.scene import Axis, Camera, Label, Mark, Scene, frame_of
from pipeline.staging import marks_of
from pipeline.weigh import MassProperties
from shapes.moments import Array

_Thing = TypeVar("_Thing", Mark, Label)
_AXES = ("low", "intermediate", "high")
_OWN = (*_AXES, "pin", "cg", "psa")  # labels that are made anew for every frame
_FADE_FROM, _FADE_TO = -0.02, 0.16  # cosine to the viewer, over which what lies on the ball fades


def about(axis: Array, angle_rad: float) -> Array:
    """Shape (3, 3), a turn about a unit vector by the right-hand rule (Rodrigues' formula)."""
    x, y, z = axis
    cross = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    c, s = cos(angle_rad), sin(angle_rad)
    return np.asarray(c * np.eye(3) + s * cross + (1.0 - c) * np.outer(axis, axis))


def turned(camera: Camera, turn: Array) -> Camera:
    """The camera, as the ball sees it, when the ball has turned, shape (3, 3), before it."""
    upright = np.array(camera.frame)
    return replace(camera, frame=frame_of((upright @ turn).T))


def orbited(camera: Camera, angle_deg: float) -> Camera:
    """The camera when the ball has turned by an angle about the Z of the camera's own frame."""
    return replace(camera, azimuth_deg=camera.azimuth_deg - angle_deg)


def rolled_over(camera: Camera, angle_deg: float) -> Camera:
    """The camera when the ball has turned about the camera's own right, its top away from it."""
    right = camera.axes()[0]
    return turned(camera, about(right, -radians(angle_deg)))


def seen_from(scene: Scene, camera: Camera, ball: Ball, properties: MassProperties) -> Scene:
    """A scene of one ball, as a view drew it, from another camera.

    Axes keep the ends that the view chose; a ring turns with the camera, since it looks the same
    all round.  Names on the surface fade where it turns away.
    """
    axes: tuple[Axis, ...] = ()
    marks: tuple[Mark, ...] = ()
    names: list[Label] = []
    if scene.axes:
        axes, found = axes_of(properties, camera, scene.reach_mm, scene.camera)
        names += found
    if scene.marks:
        closed = all(mark.kind != "cg" for mark in scene.marks)
        whole = scene.reach_mm > 0.99 * ball.radius_mm
        marks, found = marks_of(properties, camera, whole, closed)
        names += found
    kept = [x for x in scene.labels if x.key not in _OWN]
    if scene.threads:
        kept = [_faded(label, camera.axes()[2]) for label in kept]
    return replace(scene, camera=camera, axes=axes, marks=marks, labels=(*names, *kept))


def drilled_from(scene: Scene, camera: Camera) -> Scene:
    """A scene of a drilled ball from another camera; what lies on it fades where it turns away."""
    toward = camera.axes()[2]
    return replace(
        scene,
        camera=camera,
        marks=tuple(_faded(mark, toward) for mark in scene.marks),
        labels=tuple(_faded(label, toward) for label in scene.labels),
    )


def _faded(thing: _Thing, toward: Array) -> _Thing:
    if "cg" in (getattr(thing, "kind", ""), getattr(thing, "key", "")):  # within the ball
        return thing
    facing = float(thing.at_mm @ toward) / max(float(np.linalg.norm(thing.at_mm)), 1e-9)
    share = (facing - _FADE_FROM) / (_FADE_TO - _FADE_FROM)
    return replace(thing, fade=round(min(1.0, max(0.0, share)), 3))
