"""Small designs that say what may vary, for the tests of searching."""

from __future__ import annotations

import numpy as np

from pipeline.design import Design
from pipeline.load import read_design
from shapes.moments import Array

BARREL = (
    "shape: barrel, end_diameter: 3, middle_diameter: 4.2, height: 4.8, round: 0.25, "
    "tilt: {by: 4, toward: 30}, move: [0, 0, 0.1]"
)
FLARED = (
    "shape: flared, diameter: 2.9, lower_diameter: 4.4, upper_diameter: 2.9, flare_height: 1.8, "
    "height: 4.6, round: 0.2"
)
BOX = "shape: box, size: [3.55, 4.1, 4.6], round: 0.7, tilt: {by: 4, toward: 90}"
ELLIPSOID = "shape: ellipsoid, size: [3.4, 3.4, 4.9]"

TWO_PARTS = """\
format: corewright 1
name: Two
revision: A
units: in
ball: {{diameter: 8.55}}
materials:
  clay: {{density: {clay}}}
  rest: {{density: 1.0}}
parts:
  - {{name: inner core, material: clay, {core}}}
  - {{name: cover, material: rest, shape: sphere, diameter: 8.55}}
aim:
{aim}
vary:
{vary}
"""
UNMET = """aim:
  low_rg: {value: 2.50, within: 0.0005}
  total_differential: {value: 0.02, within: 0.001}
"""
THREE = """part: inner core, field: lower_diameter, from: 3.0, to: 5.0
part: inner core, field: height, from: 3.8, to: 5.4
part: inner core, field: diameter, from: 2.2, to: 2.85"""


def text(core: str, vary: str = "", more: str = "", weight: str = "15 lb") -> str:
    """A ball of three parts, the core as given."""
    lines = "".join(f"  - {{{line}}}\n" for line in vary.splitlines() if line)
    return f"""\
format: corewright 1
name: Test
revision: A
units: in
ball: {{diameter: 8.55, weight: {weight}}}
materials:
  clay: {{density: 2.3}}
  foam: {{density: free, from: 0.55, to: 1.60}}
  shell: {{density: 1.17}}
parts:
  - {{name: inner core, material: clay, {core}}}
  - {{name: outer core, material: foam, shape: sphere, diameter: 7.05}}
  - {{name: cover, material: shell, shape: sphere, diameter: 8.55}}
{more}
{"vary:" if lines else ""}
{lines}"""


def design(core: str, vary: str = "", more: str = "", weight: str = "15 lb") -> Design:
    """The same, read."""
    return read_design(text(core, vary, more, weight))


def drawn(asked: Design, count: int, seed: int = 1) -> Array:
    """Values between the bounds, shape (count, k)."""
    low = np.array([v.low for v in asked.wanted.varied])
    high = np.array([v.high for v in asked.wanted.varied])
    return low + (high - low) * np.random.default_rng(seed).random((count, len(low)))
