"""Plain balls, cut, for the tests of cuts and of what is drawn on them."""

from __future__ import annotations

import numpy as np

from pipeline.ball import Ball, build_ball
from pipeline.cutaway import Cutting, Wedge, shells_of
from pipeline.load import read_design
from pipeline.shells import Shell

RADIUS = 4.275 * 25.4
HEAD = """
format: corewright 1
name: Test
revision: A
units: in
ball: {diameter: 8.55}
materials: {a: {density: 2}, b: {density: 1}}
parts:
"""
LAST = "  - {name: cover, material: b, shape: sphere, diameter: 8.55}\n"
POKES = (  # a leaning block that stands out of the outer core into the cover
    "name: block, material: a, shape: box, size: [2, 3, 6.8], round: 0.2, "
    "tilt: {by: 8, toward: 50}",
    "name: outer core, material: b, shape: sphere, diameter: 6.4",
)


def ball(*parts: str) -> Ball:
    return build_ball(read_design(HEAD + "".join(f"  - {{{p}}}\n" for p in parts) + LAST))


def cut_all(made: Ball, wedge: Wedge | None, *whole: int) -> tuple[Shell, ...]:
    everything = frozenset(range(len(made.parts)))
    return shells_of(made, Cutting(wedge, everything - set(whole), everything))


def area(shell: Shell) -> float:
    a, b, c = (shell.points_mm[shell.triangles[:, k]] for k in range(3))
    return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2.0)
