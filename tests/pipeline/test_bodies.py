"""Bodies inside bodies, as they stand in a design file."""

from __future__ import annotations

from pathlib import Path

import pytest

from pipeline.ball import build_ball
from pipeline.errors import BallError, DesignError
from pipeline.load import load
from pipeline.weigh import weigh
from shapes import joined
from shapes.compose import Join
from shapes.errors import SolidError
from shapes.parameters import parameters_of
from shapes.placement import Placement
from shapes.registry import FAMILIES

DESIGN = """\
format: corewright 1
name: Dunlin
revision: A
units: mm
ball: {{diameter: 217.17, weight: 6800 g}}
materials:
  dense: {{density: 2.4}}
  light: {{density: free, from: 0.5, to: 1.6}}
  shell: {{density: 1.17}}
parts:
  - name: inner core
    material: dense
    shape: {shape}
  - {{name: outer core, material: light, shape: sphere, diameter: 180}}
  - {{name: cover, material: shell, shape: sphere, diameter: 217.17}}
"""
JOINED = """join
    bodies:
      - {shape: barrel}
      - shape: mirror
        across: x
        body: {shape: rod, length: 60, spin: 5, tilt: {by: 80, toward: 20}, move: [36, 0, 1]}
"""


def written(tmp_path: Path, shape: str) -> Path:
    path = tmp_path / "dunlin.yaml"
    path.write_text(DESIGN.format(shape=shape), encoding="utf-8")
    return path


def test_bodies_are_read_with_their_placement(tmp_path: Path) -> None:
    shape = load(written(tmp_path, JOINED)).parts[0].shape
    assert isinstance(shape, Join)
    body = shape.bodies[1].shape.kept()[0]
    assert body.placement == Placement(5.0, 80.0, 20.0, (36.0, 0.0, 1.0))
    assert body.shape.length == 60.0


def test_a_ball_with_a_joined_core_weighs_what_it_should(tmp_path: Path) -> None:
    ball = build_ball(load(written(tmp_path, JOINED)))
    assert ball.route == "boundary"
    assert weigh(ball).mass_g == pytest.approx(6800.0)
    core = ball.parts[0]
    assert core.claimed.volume_mm3 == pytest.approx(core.body.moments().volume_mm3, rel=1e-7)


@pytest.mark.parametrize(
    ("shape", "line", "says"),
    [
        ("join\n    bodies: [{shape: barrel}]", 14, "two or more"),
        ("join\n    bodies: []", 14, "parts[0].bodies"),
        ("join\n    bodies:\n      - {shape: barel}\n      - {shape: rod}", 15, "'barrel'"),
        ("join\n    bodies:\n      - {diameter: 3}\n      - {shape: rod}", 15, "bodies[0].shape"),
        (
            "join\n    bodies:\n      - {shape: barrel, height: -4}\n      - {shape: rod}",
            15,
            "parts[0].bodies[0].height",
        ),
        ("cut\n    body: {shape: barrel}", 11, "parts[0].away"),
        (
            "mirror\n    body: {shape: rod, move: [0, 0, 30]}\n    across: w",
            15,
            "parts[0].across",
        ),
        ("repeat\n    body: {shape: sphere, diameter: 30}", 14, "stands where it stood"),
        ("repeat\n    body: {shape: rod}\n    count: 2.5", 15, "whole number"),
    ],
)
def test_bad_bodies_are_refused_with_their_place(
    tmp_path: Path, shape: str, line: int, says: str
) -> None:
    with pytest.raises(DesignError) as told:
        load(written(tmp_path, shape))
    problem = str(told.value)
    assert f":{line}" in problem
    assert says in problem


def test_bodies_that_are_not_one_are_refused_when_the_ball_is_built(tmp_path: Path) -> None:
    apart = "join\n    bodies:\n      - {shape: sphere, diameter: 30, move: [20, 0, 0]}\n" + (
        "      - {shape: sphere, diameter: 30, move: [-20, 0, 0]}\n"
    )
    path = written(tmp_path, apart)
    with pytest.raises(BallError) as told:
        build_ball(load(path))
    assert f"{path}:11: part 'inner core': bodies[0]: it comes out as 2 bodies" in str(told.value)
    assert "10.000 mm apart" in str(told.value)


def test_bodies_that_the_kernel_cannot_join_are_told_with_advice(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As the kernel fails on two equal spheroids that cross at their centres."""

    def fails(*_: object) -> None:
        raise SolidError("5 mm3 of bodies came out as 4 mm3")

    monkeypatch.setattr(joined, "_lumps", fails)
    joined.lumps_of.cache_clear()
    path = written(tmp_path, JOINED)
    with pytest.raises(BallError) as told:
        build_ball(load(path))
    assert f"{path}:11: part 'inner core': the CAD kernel could not join" in str(told.value)
    assert "5 mm3 of bodies came out as 4 mm3" in str(told.value)
    assert "move, tilt or resize" in str(told.value)


def test_a_body_that_is_cut_back_into_the_ball_is_taken(tmp_path: Path) -> None:
    shape = "cut\n    body: {shape: rod, diameter: 50, length: 220, dome: 0}\n    away:\n"
    tool = "      - {{shape: box, size: [60, 60, 60], move: [0, 0, {z}]}}\n"
    path = written(tmp_path, shape + tool.format(z=110) + tool.format(z=-110))
    core = build_ball(load(path)).parts[0]
    assert core.claimed.volume_mm3 == pytest.approx(3.141592653589793 * 25.0**2 * 160.0, rel=1e-9)
    path = written(tmp_path, shape + tool.format(z=110))
    with pytest.raises(BallError, match="leaves the ball by"):
        build_ball(load(path))


def test_every_family_can_stand_in_another() -> None:
    kinds = {p.kind for family in FAMILIES.values() for _, p in parameters_of(family)}
    assert {"body", "bodies"} <= kinds
