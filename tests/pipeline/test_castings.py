"""Castings: three sizes kept apart, and rods that must fit."""

from __future__ import annotations

from functools import lru_cache
from math import pi

import numpy as np
import pytest

from pipeline.ball import build_ball
from pipeline.castings import Casting, castings_of
from pipeline.errors import ToolingError
from pipeline.load import read_design
from shapes.boundary import moments_of_solid
from tests.pipeline.cast_text import HEAD

BALL = (
    HEAD
    + """\
  - {name: core, material: clay, shape: cylinder, diameter: 100, height: 120, move: [0, 0, 5]}
  - {name: outer core, material: foam, shape: sphere, diameter: 180}
  - {name: cover, material: foam, shape: sphere, diameter: 217}
"""
)
CASTINGS = """\
process:
  castings:
    core:
      shrinkage: {linear: 1 %}
      rod: {diameter: 10, depth: 30}
    outer core:
      shrinkage: {linear: 2 %}
      stock: 1
      rod: {diameter: 10}
"""


@lru_cache(maxsize=2)
def castings(text: str = CASTINGS) -> dict[str, Casting]:
    return {one.name: one for one in castings_of(build_ball(read_design(BALL + text)))}


def volume(solid: object) -> float:
    return moments_of_solid(solid).volume_mm3  # type: ignore[arg-type]


def test_a_core_is_cast_loose_and_what_lies_round_it_is_poured_round() -> None:
    assert {k: v.mould for k, v in castings().items()} == {
        "core": "loose", "outer core": "round", "cover": "round",
    }  # fmt: skip


def test_as_cast_is_the_part_less_its_rod_hole() -> None:
    due = pi * 50.0**2 * 120.0 - pi * 25.0 * 30.0
    assert volume(castings()["core"].as_cast) == pytest.approx(due, rel=1e-9)


def test_as_cut_is_the_part_grown_once() -> None:
    due = pi * 50.0**2 * 120.0 * (1.0 / 0.99) ** 3
    assert volume(castings()["core"].as_cut) == pytest.approx(due, rel=1e-9)


def test_the_rod_of_a_loose_casting_grows_with_it() -> None:
    rod = castings()["core"].rod
    assert rod is not None
    assert rod.stations_mm[0] == pytest.approx((-30.0 / 0.99, 5.0 / 0.99))
    assert rod.origin_mm[2] == pytest.approx(60.0 / 0.99)


def test_a_casting_round_others_has_their_space_left_out_and_its_stock_on() -> None:
    rod = 25.0 * pi * (91.0 - 65.0)  # from the sphere to the core, less the cap beside the axis
    low = 91.0 - np.sqrt(91.0**2 - 25.0)
    cap = pi * 25.0 * low - pi * low**2 * (273.0 - low) / 3.0
    due = 4.0 / 3.0 * pi * 91.0**3 - pi * 50.0**2 * 120.0 - rod + cap
    assert volume(castings()["outer core"].as_cast) == pytest.approx(due, rel=1e-9)


def test_its_rod_goes_down_the_rod_hole_of_the_part_inside() -> None:
    hole = castings()["outer core"].hole
    assert hole is not None
    assert hole.stations_mm[0][0] == pytest.approx(-(91.0 - 65.0) - 30.0)


def test_its_rod_is_steel_and_does_not_grow() -> None:
    rod = castings()["outer core"].rod
    assert rod is not None
    assert rod.radius_mm == 5.0


@pytest.mark.parametrize(
    ("casting", "words"),
    [
        ("rod: {diameter: 10}", "no part inside that would end it"),
        ("rod: {diameter: 10, depth: 20, at: [60, 0]}", "misses the part"),
        ("rod: {diameter: 10, depth: 20, at: [48, 0]}", "does not enter the part"),
        ("rod: {diameter: 10, depth: 121}", "goes through the part, which is 120.00 mm deep there"),
        ("rod: {diameter: 10, depth: 120}", "goes through the part"),
        ("rod: {diameter: 10, depth: 100, taper: 5}", "nothing is left of the diameter"),
        ("mould: round", "no part lies inside it"),
    ],
)
def test_what_cannot_be_cast_is_refused_at_its_line(casting: str, words: str) -> None:
    text = f"process:\n  castings:\n    core:\n      {casting}\n"
    with pytest.raises(ToolingError, match=words) as error:
        castings_of(build_ball(read_design(BALL + text)))
    assert "design:17: process.castings.core" in str(error.value)


def test_a_part_that_reaches_through_cannot_be_poured_round() -> None:
    text = BALL.replace("height: 120", "height: 190").replace("diameter: 100", "diameter: 60")
    with pytest.raises(ToolingError, match="'core' reaches through its surface"):
        castings_of(
            build_ball(
                read_design(text + "process:\n  castings:\n    outer core: {mould: round}\n")
            )
        )


def test_a_part_in_two_lumps_is_two_castings() -> None:
    disc = "  - {name: disc, material: clay, shape: cylinder, diameter: 60, height: 90}\n"
    parts = BALL.split("  - {name: core")
    core = parts[1].replace("diameter: 100, height: 120", "diameter: 50, height: 140")
    text = f"{parts[0]}{disc}  - {{name: core{core}"
    names = [one.name for one in castings_of(build_ball(read_design(text)))]
    assert names == ["disc", "core (1)", "core (2)", "outer core", "cover"]


def test_the_hole_may_enter_at_the_foot() -> None:
    found = castings(
        "process:\n  castings:\n    core: {rod: {diameter: 8, depth: 9, side: foot}}\n"
    )
    hole = found["core"].hole
    assert hole is not None
    assert (hole.origin_mm, hole.way) == ((0.0, 0.0, -60.0), (0.0, 0.0, -1.0))


def test_a_rod_goes_down_through_every_part_into_the_core() -> None:
    """The cover's rod: through the cover, the outer core's passage and the core's own hole."""
    asked = CASTINGS + "    cover: {rod: {diameter: 10}}\n"
    found = {one.name: one for one in castings_of(build_ball(read_design(BALL + asked)))}
    hole = found["cover"].hole
    assert hole is not None
    assert hole.stations_mm[0][0] == pytest.approx(-(108.5 - 65.0) - 30.0)
    assert found["cover"].reaches_hole


def test_an_insert_in_a_body_that_is_no_ball_is_poured_round() -> None:
    """By solids, since no rule tells how a leaning disc lies in an ellipsoid."""
    parts = BALL.split("  - {name: core")
    disc = (
        "  - {name: disc, material: clay, shape: cylinder, diameter: 40, height: 30, "
        "tilt: {by: 10, toward: 0}}\n"
        "  - {name: core, material: clay, shape: ellipsoid, size: [110, 90, 120]}\n"
    )
    text = parts[0] + disc + parts[1].split("\n", 1)[1]
    found = {one.name: one for one in castings_of(build_ball(read_design(text)))}
    assert found["core"].mould == "round"
    assert [one.part.name for one in found["core"].inside] == ["disc"]


def test_a_rod_without_a_hole_to_go_down_stands_on_the_part() -> None:
    asked = "process:\n  castings:\n    outer core: {rod: {diameter: 10}}\n"
    found = {one.name: one for one in castings_of(build_ball(read_design(BALL + asked)))}
    assert not found["outer core"].reaches_hole


def test_a_ball_with_parts_inside_takes_up_their_room_too() -> None:
    """The cover's room is all that the outer core's ball of 180 leaves, with one face inside."""
    cover = castings("")["cover"].as_cast
    assert volume(cover) == pytest.approx(pi / 6.0 * (217.0**3 - 180.0**3), rel=1e-9)
    assert len(cover.Faces()) == 2


def test_a_cold_casting_that_is_as_cut_has_one_skin() -> None:
    core = castings("")["core"]
    assert core.skin_as_cast is core.skin_as_cut
