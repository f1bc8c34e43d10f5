"""Small balls with holes, as design texts, for the tests of drilling."""

from __future__ import annotations

from pipeline.ball import Ball, build_ball
from pipeline.drilled import Drilled, drill
from pipeline.drilling import Drilling
from pipeline.errors import DesignError
from pipeline.load import read_design

RADIUS = 4.275 * 25.4
ROUND = "shape: ellipsoid, size: [3.4, 3.4, 4.9]"  # symmetrical: pin at +Z, no mark
UNEVEN = "shape: ellipsoid, size: [3.2, 4.2, 4.9]"  # asymmetrical: pin at +Z, mark at +X
PLAIN = ""  # no core: a uniform ball, with no pin

GRIP = """\
  hand: right
  grip:
    middle: {span: 4 3/8, diameter: 25/32, depth: 2.5, bevel: 1/16, insert: INSERT}
    ring: {span: 4 5/16, diameter: 3/4, depth: 2.5, reverse: 1/8}
    bridge: 0.25
    thumb: {diameter: 1, depth: 2.75, bottom: {point: 118}, reverse: 3/8, left: 1/8}
    vents: [{at: {over: 0.5, down: 1}, into: thumb, at_depth: 1.5, diameter: 1/8}]
  axis_point: {over: 5, up: 1/2}
  layout: {pin_to_axis_point: 4, pin_to_val: 2, pin: above}
""".replace("INSERT", "{bore: 31/32, depth: 1.25, density: 1.1}")
MARKED = GRIP.replace("pin: above", "pin: above, mark_to_axis_point: 4.5, mark: below")
BARE = """\
  hand: right
  grip:
    middle: {span: 4.25, diameter: 0.8, depth: 2}
    ring: {span: 4.25, diameter: 0.8, depth: 2}
    bridge: 0.25
    thumb: {diameter: 1, depth: 2}
  axis_point: {over: 5, up: 0.5}
  layout: {pin_to_axis_point: 4, pin_to_val: 2, pin: above}
"""
THUMBLESS = """\
  hand: right
  grip:
    middle: {span: 3, diameter: 0.8, depth: 2}
    ring: {span: 3, diameter: 0.8, depth: 2}
    bridge: 0.25
    thumb: none
  axis_point: {over: 5, up: 0.5}
  layout: {pin_to_axis_point: 4, pin_to_val: 2, pin: above}
"""
HOLE = "name: thumb, use: thumb, at: {arc: 6.75 in, azimuth: 30 deg}, diameter: 1.0, depth: 2.5"


def holes(*each: str) -> str:
    """A drilling of raw holes, from line 12 on."""
    return "  holes:\n" + "".join(f"    - {{{one}}}\n" for one in each)


def swapped(text: str, *changes: tuple[str, str]) -> str:
    """A text with pieces of it replaced, each of which must be there once."""
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def text(drilling: str, core: str = ROUND, more: str = "") -> str:
    """A ball whose drilling starts in line 10; an empty one is not drilled."""
    body = f"  - {{name: inner core, material: clay, {core}}}" if core else ""
    return f"""\
format: corewright 1
name: Dunlin
revision: A
units: in
ball: {{diameter: 8.55}}
materials: {{clay: {{density: 2.3}}, shell: {{density: 1.1}}}}
parts:
{body}
  - {{name: cover, material: shell, shape: sphere, diameter: 8.55}}
{"drilling:" if drilling else ""}
{drilling}{more}"""


def asked(drilling: str, core: str = ROUND) -> Drilling:
    """The drilling as it is read."""
    found = read_design(text(drilling, core)).drilling
    assert found is not None
    return found


def refusals(drilling: str, core: str = ROUND) -> list[str]:
    """Every problem of the file x.yaml, in one line each; none where it reads well."""
    try:
        read_design(text(drilling, core), "x.yaml")
    except DesignError as refusal:
        return [problem.said("x.yaml") for problem in refusal.problems]
    return []


def ball(drilling: str, core: str = ROUND, file: str = "design") -> Ball:
    """The ball before it is drilled."""
    return build_ball(read_design(text(drilling, core), file))


def drilled(drilling: str, core: str = ROUND, file: str = "design") -> Drilled:
    """The ball with its holes."""
    found = drill(ball(drilling, core, file))
    assert found is not None
    return found
