"""A section drawn with its main dimensions."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np

from pipeline.ball import Ball
from pipeline.kernel import kernel
from pipeline.scene import Dimension, Scene
from pipeline.solids import solids_of
from pipeline.staging import core_parts, scene_of
from pipeline.units import MM_PER_IN
from pipeline.views import camera_for, everything, opened
from pipeline.weigh import MassProperties
from pipeline.wish import Wish
from shapes.moments import Array

_STEP = 0.155  # of the radius, from one line of dimensions to the next
_Spans = dict[str | None, tuple[Array, Array]]
_SAME_MM = 0.005  # lengths nearer than this are written once


def section(ball: Ball, properties: MassProperties, wish: Wish) -> Scene:
    """Half of everything is taken away; overall widths and heights are written on."""
    camera = camera_for(properties, wish, -90.0, 0.0)
    camera = replace(camera, elevation_deg=0.0)
    surfaces = opened(ball, camera.azimuth_deg, 180.0, everything(ball), hatched=wish.hatched)
    what = "Section through the ball's centre; the lengths are overall ones, in inches."
    scene = scene_of(ball, properties, camera, surfaces, (what,), axes=False)
    right, up, _ = camera.axes()
    spans = _spans(ball, right, up)
    return replace(
        scene,
        marks=(),
        labels=(),
        dimensions=(*_across(ball, spans, right, up), *_upright(ball, spans, right, up)),
    )


def _spans(ball: Ball, right: Array, up: Array) -> _Spans:
    """The least and the greatest place, to the right and up, of each poured part and of the core.

    By the kernel's tight bounds of the parts' own solids; the core stands under None.
    """
    core = core_parts(ball)
    groups: dict[str | None, list[Array]] = {}
    with kernel():
        from shapes.extent import extent_mm

        for k, body in enumerate(solids_of(ball)):
            whose = None if k in core else ball.parts[k].name
            for lump in body.lumps:
                ends = np.array([extent_mm(lump, way) for way in (right, up)]).T
                groups.setdefault(whose, []).append(ends)
    return {
        whose: (np.min([e[0] for e in ends], axis=0), np.max([e[1] for e in ends], axis=0))
        for whose, ends in groups.items()
    }


def _across(ball: Ball, spans: _Spans, right: Array, up: Array) -> list[Dimension]:
    """Widths below the ball, the smallest nearest to it."""
    found: list[Dimension] = []
    level = -(1.0 + _STEP) * ball.radius_mm
    for low, high in _different(spans, 0):
        ends = [x * right for x in (low, high)]
        line = np.array([end + level * up for end in ends])
        found.append(Dimension(ends[0], ends[1], line, _written(high - low)))
        level -= _STEP * ball.radius_mm
    return found


def _upright(ball: Ball, spans: _Spans, right: Array, up: Array) -> list[Dimension]:
    """To the right of the ball: the core's height, and what lies above and below it in the ball."""
    if None not in spans:
        return []
    low, high = float(spans[None][0][1]), float(spans[None][1][1])
    radius = ball.radius_mm
    far = (1.0 + _STEP) * radius
    stops = [-radius, low, high, radius]
    found = []
    for a, b in pairwise(stops):
        if b - a > 0.02 * radius:
            line = np.array([far * right + z * up for z in (a, b)])
            found.append(Dimension(a * up, b * up, line, _written(b - a)))
    return found


def _different(spans: _Spans, axis: int) -> list[tuple[float, float]]:
    """Spans along an axis, smallest first, none twice."""
    rising = sorted((float(a[axis]), float(b[axis])) for a, b in spans.values())
    rising.sort(key=lambda span: span[1] - span[0])
    found: list[tuple[float, float]] = []
    for span in rising:
        if not found or abs((span[1] - span[0]) - (found[-1][1] - found[-1][0])) > _SAME_MM:
            found.append(span)
    return found


def _written(length_mm: float) -> str:
    return f"{length_mm / MM_PER_IN:.3f} in"
