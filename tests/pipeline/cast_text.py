"""A small ball with its castings, as text: a core that needs three pieces, a cover round it."""

from __future__ import annotations

from pipeline.ball import Ball, build_ball
from pipeline.load import read_design

# a spool: a stem between two discs; along its axis it cannot be drawn, across it can
SPOOL = "[[0, -30], [30, -30], [30, -20], [15, -20], [15, 20], [30, 20], [30, 30], [0, 30]]"
HEAD = """\
format: corewright 1
name: Dunlin
revision: A
date: 2026-11-25
units: mm
ball: {diameter: 217, weight: 15 lb}
materials:
  clay: {density: 2.3}
  foam: {density: free, from: 0.4, to: 1.8}
parts:
"""
REST = """\
  - {name: cover, material: foam, shape: sphere, diameter: 217}
process:
  castings:
    cover: {mould: none}
"""


def ball(core: str, *lines: str, rest: str = REST) -> Ball:
    """A ball whose core has this shape, with lines about how the core is cast."""
    part = f"  - {{name: core, material: clay, {core}}}\n"
    asked = "    core:\n" + "".join(f"      {line}\n" for line in lines) if lines else ""
    return build_ball(read_design(HEAD + part + rest + asked))


def sphere(*lines: str) -> Ball:
    """A core that is a ball of diameter 100."""
    return ball("shape: sphere, diameter: 100", *lines)


def spool(*lines: str) -> Ball:
    """A core that is a spool: see `SPOOL`."""
    return ball(f"shape: turned, profile: {SPOOL}", *lines)
