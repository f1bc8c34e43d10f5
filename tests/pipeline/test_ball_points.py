"""What a ball is and what it is made of, as facts."""

from __future__ import annotations

import pytest

from pipeline.ball_points import BALL, PARTS
from pipeline.bands import BANDS
from tests.pipeline.searched import text
from tests.pipeline.sphere_balls import LB, LET_IN, LET_IN_G, SPHERES, foam, mass_g, swapped
from tests.pipeline.spoken import all_said, fact, figure, points, points_of_file, value

UNIFORM = """\
format: corewright 1
name: Plain
revision: A
units: in
ball: {diameter: 8.55}
materials:
  rest: {density: 1.2}
parts:
  - {name: cover, material: rest, shape: sphere, diameter: 8.55}
"""
LONG = "shape: ellipsoid, size: [3.4, 3.4, 4.9]"
FLAT = "shape: ellipsoid, size: [4.6, 4.6, 3]"
UNEVEN = "shape: ellipsoid, size: [3, 3.5, 4.6]"


@pytest.mark.parametrize(
    ("core", "words"),
    [
        (LONG, "is symmetrical: its RG is the same about every axis across the pin axis"),
        (FLAT, "is symmetrical about its high-RG axis"),
        (UNEVEN, "is asymmetrical"),
        ("shape: sphere, diameter: 4", "turns alike about every axis"),
    ],
)
def test_a_ball_is_said_to_be_as_symmetrical_as_it_is(core: str, words: str) -> None:
    assert words in fact(points(text(core)), "at a diameter of").sentence


def test_a_uniform_ball_has_one_rg() -> None:
    """sqrt(2/5) of the radius."""
    one = fact(points(UNIFORM), "Its RG is")
    assert value(one, "RG") == pytest.approx(0.4**0.5 * 4.275, abs=1e-9)


@pytest.mark.parametrize("core", [LONG, FLAT])
def test_a_symmetrical_ball_has_no_word_on_its_intermediate_differential(core: str) -> None:
    assert "intermediate" not in all_said(points(text(core)))


def test_an_asymmetrical_ball_tells_its_intermediate_differential() -> None:
    assert "Its intermediate differential is 0.017 in." in all_said(points_of_file("turnstone"))


def test_a_ball_that_turns_alike_has_no_differential_to_tell() -> None:
    assert "differential" not in "".join(
        f.sentence for f in points(UNIFORM).facts if f.about == BALL
    )


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("dunlin", "Its low RG is 2.545 in, medium in the trade's words"),
        ("turnstone", "Its total differential is 0.052 in, high in the trade's words"),
        ("godwit", "is 0.050 in, on the line between medium and high in the trade's words"),
    ],
)
def test_the_trades_word_is_that_of_the_digits_that_are_printed(name: str, words: str) -> None:
    """The Godwit's 0.049985 in would be medium, and is printed as the line's own 0.050."""
    assert words in all_said(points_of_file(name))


@pytest.mark.parametrize("figures", ["Its low RG is", "Its total differential is"])
def test_the_trades_words_are_marked_as_having_no_source(figures: str) -> None:
    assert "(common practice, no source)" in fact(points_of_file("dunlin"), figures).sentence


def test_the_lines_between_the_trades_words_are_those_of_the_bands() -> None:
    one = fact(points_of_file("dunlin"), "Its low RG is")
    lines = [t.value for t in one.figures if t.source == "common practice"]
    assert lines == [band.up_to_in for band in BANDS["low_rg"].bands[:-1]]


def test_a_part_tells_density_mass_and_share() -> None:
    one = fact(points(LET_IN), "The slug, an insert, is of heavy")
    due = mass_g(3.0, 0.75)
    assert value(one, "mass of the slug") == pytest.approx(due / LB, abs=1e-9)
    assert value(one, "share of the slug") == pytest.approx(100.0 * due / (15.0 * LB), abs=1e-7)


def test_the_core_is_told_as_a_whole_where_it_has_several_parts() -> None:
    one = fact(points(LET_IN), "The core as a whole")
    due = LET_IN_G + mass_g(1.0, 0.75)
    assert value(one, "mass of the core") == pytest.approx(due / LB, abs=1e-9)


def test_a_core_of_one_part_is_told_once() -> None:
    assert "as a whole" not in all_said(points_of_file("dunlin"))


def test_the_density_that_was_solved() -> None:
    one = fact(points(SPHERES), "The density of the outer core is free")
    due = foam(mass_g(2.0, 2.0) + mass_g(1.0, 0.75), 2.0)
    assert value(one, "density of the outer core") == pytest.approx(due, abs=1e-9)


def test_a_free_density_of_several_parts_is_called_by_its_material() -> None:
    source = swapped(SPHERES, ("material: shell", "material: foam"))
    assert "The density of foam is free" in all_said(points(source))


def test_without_a_free_density_none_was_solved() -> None:
    source = swapped(SPHERES, ("free, from: 0.55, to: 1.60", "1.0"))
    assert "solved" not in all_said(points(source))


def test_every_part_is_told_inside_out() -> None:
    starts = [f.sentence.split(",")[0] for f in points_of_file("godwit").facts if f.about == PARTS]
    assert [s.split(" is of")[0] for s in starts[:5]] == [
        "The upper disc", "The lower disc", "The inner core", "The outer core", "The cover",
    ]  # fmt: skip


def test_a_given_density_is_said_to_be_the_designs_own() -> None:
    one = fact(points_of_file("dunlin"), "The inner core is of clay")
    assert figure(one, "density").source == "given"
