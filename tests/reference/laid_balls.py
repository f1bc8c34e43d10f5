"""A grip laid out on a ball, and places on it, for the tests of grips and layouts."""

from __future__ import annotations

from functools import lru_cache
from math import acos, asin, atan2

import numpy as np

from pipeline.ball import build_ball
from pipeline.drilled import Drilled, drill
from pipeline.holes import Hole
from pipeline.load import read_design
from pipeline.units import MM_PER_IN

Array = np.ndarray
DIAMETER = 8.55
RADIUS = DIAMETER / 2 * MM_PER_IN
HEAD = """
format: corewright 1
name: Test
revision: A
units: in
ball: {diameter: 8.55}
materials: {clay: {density: 2.2}, shell: {density: 1.1}}
parts:
  - {name: core, material: clay, shape: ellipsoid, %s}
  - {name: cover, material: shell, shape: sphere, diameter: 8.55}
"""
# both are their own mirror images in y = 0; the high-RG mark of the first lies in that plane
ASYMMETRICAL = HEAD % "size: [3.2, 4.1, 5.2], tilt: {by: 10, toward: 0}, move: [0.1, 0, 0.2]"
SYMMETRICAL = HEAD % "size: [3.4, 3.4, 5.2], move: [0, 0, 0.2]"
THUMB = "{diameter: 1, depth: 2.75, bottom: {point: 118}, reverse: 3/8, left: 1/8, bevel: 1/32}"
LAID = "pin_to_axis_point: 4, pin_to_val: 2, pin: above"
MARK = ", mark_to_axis_point: 4.5, mark: below"


@lru_cache
def drilled(
    ball: str, layout: str, hand: str = "right", thumb: str = THUMB, vents: str = ""
) -> Drilled:
    found = drill(
        build_ball(
            read_design(f"""{ball}
drilling:
  hand: {hand}
  grip:
    middle: {{span: 4 3/8, diameter: 25/32, depth: 2.5, forward: 1/4, right: 1/16}}
    ring: {{span: 4 5/16, diameter: 3/4, depth: 2.4, reverse: 1/8}}
    bridge: 0.25
    thumb: {thumb}{vents}
  axis_point: {{over: 5, up: 1/2}}
  layout: {{{layout}}}
""")
        )
    )
    assert found is not None
    return found


def arc_in(a: Array, b: Array) -> float:
    """From the dot product of two unit vectors, in on the ball."""
    return acos(float(a @ b)) * DIAMETER / 2


def hole_of(found: Drilled, name: str) -> Hole:
    (hole,) = (hole for hole in found.holes if hole.name == name)
    return hole


def frame_of(found: Drilled) -> Array:
    assert found.laid.frame is not None
    return found.laid.frame


def axis_of(found: Drilled) -> Array:
    assert found.laid.axis_point is not None
    return found.laid.axis_point


def over_and_up_in(found: Drilled, point: Array, hand: str) -> tuple[float, float]:
    """Along the midline to the ring finger's side, then up; in on the ball."""
    out, right, up = frame_of(found).T
    side = 1 if hand == "right" else -1
    r = DIAMETER / 2
    return atan2(side * point @ right, point @ out) * r, asin(point @ up) * r
