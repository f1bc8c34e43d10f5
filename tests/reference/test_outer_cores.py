"""Outer cores of every kind round a symmetrical and an asymmetrical core: routes and roles."""

from __future__ import annotations

import pytest

from pipeline.ball import build_ball
from pipeline.load import read_design
from pipeline.solids import solids_of
from shapes.boundary import moments_of_lumps
from tests.reference.gaps import Seen, gaps

HEAD = """\
format: corewright 1
name: Godwit
revision: A
units: in
ball: {diameter: 8.55, weight: 15 lb}
materials:
  dense: {density: 2.4}
  light: {density: free, from: 0.4, to: 1.8}
  middle: {density: 1.3}
  shell: {density: 1.17}
parts:
"""
CORES = {
    "turned": "shape: barrel, end_diameter: 3, middle_diameter: 4, height: 4.8",
    "lobed": "shape: lobed, end_diameter: 3, middle_diameter: 4, height: 4.6, spin: 20",
}
OUTER = {
    "ball": ["shape: sphere, diameter: 7.05"],
    "ball off the centre": ["shape: sphere, diameter: 6.9, move: [0.1, 0.05, -0.2]"],
    "oblate": ["shape: ellipsoid, size: [7.3, 7.3, 6.9]"],
    "prolate, leaning": ["shape: ellipsoid, size: [6.9, 6.9, 7.3], tilt: {by: 20, toward: 30}"],
    "with recesses": ["shape: recessed, diameter: 7.2, upper_diameter: 2, upper_depth: 0.3, "
                      "lower_diameter: 1.5, lower_depth: 0.2"],
    "with flats": ["shape: recessed, diameter: 7.2, upper_depth: 0, lower_depth: 0, "
                   "upper_diameter: 3, lower_diameter: 3"],
    "two, one in the other": ["shape: ellipsoid, size: [6.0, 6.0, 6.4]",
                              "shape: sphere, diameter: 7.2, move: [0, 0, 0.1]"],
}  # fmt: skip


def design(core: str, outer: list[str]) -> str:
    parts = [f"  - {{name: core, material: dense, {core}}}"]
    names = ["light", "middle"]
    for k, shape in enumerate(outer):
        parts.append(f"  - {{name: outer {k}, material: {names[k]}, {shape}}}")
    parts.append("  - {name: cover, material: shell, shape: sphere, diameter: 8.55}")
    return HEAD + "\n".join(parts) + "\n"


@pytest.mark.parametrize("outer", OUTER)
@pytest.mark.parametrize("core", CORES)
def test_the_solids_weigh_what_is_claimed_and_every_part_has_its_role(
    core: str, outer: str, seen: Seen
) -> None:
    ball = build_ball(read_design(design(CORES[core], OUTER[outer])))
    built = [moments_of_lumps(one.lumps) for one in solids_of(ball)]
    for part, moments in zip(ball.parts, built, strict=True):
        gap = gaps(moments, part.claimed)
        assert seen("outer cores, claimed space and carved solids, in of RG", gap.rg_in) <= 1e-6
        assert gap.volume <= 1e-7
    roles = [part.role for part in ball.parts]
    assert roles == ["inner core", *["outer core"] * len(OUTER[outer]), "cover"]


@pytest.mark.parametrize("outer", ["ball", "ball off the centre"])
@pytest.mark.parametrize("core", CORES)
def test_round_balls_need_no_solids(core: str, outer: str) -> None:
    assert build_ball(read_design(design(CORES[core], OUTER[outer]))).route == "moments"
