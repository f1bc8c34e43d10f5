"""Balls that are quick to cut and to draw, for the tests of pictures and films."""

from __future__ import annotations

from functools import cache

from pipeline.ball import Ball, build_ball
from pipeline.load import read_design
from tests.pipeline import drilled_text

BRICK = """\
format: corewright 1
name: Dunlin
revision: A
units: in
ball: {diameter: 8.55, weight: 15 lb}
materials:
  clay: {density: 2.3}
  foam: {density: free, from: 0.55, to: 1.60}
  shell: {density: 1.17}
parts:
  - {name: inner core, material: clay, shape: box, size: [2.8, 3.5, 4.9]}
  - {name: outer core, material: foam, shape: sphere, diameter: 7.05}
  - {name: cover, material: shell, shape: sphere, diameter: 8.55}
"""
CLOSE = (360, 360)  # px, the least there is
VARIED = """\
vary:
  - {part: inner core, field: size.z, from: 4.5, to: 5.2}
  - {material: clay, from: 2.0, to: 2.4}
"""


@cache
def brick() -> Ball:
    """An asymmetrical core in spheres: pin at +Z, the high-RG axis along X."""
    return build_ball(read_design(BRICK))


@cache
def varied() -> Ball:
    """The same, with two numbers that may vary."""
    return build_ball(read_design(BRICK + VARIED))


@cache
def drilled() -> Ball:
    """A ball with a grip, an axis point and a layout."""
    return drilled_text.ball(drilled_text.BARE)
