"""Where the core stands, and what moving it to the ball's centre does."""

from __future__ import annotations

import pytest

from tests.pipeline.searched import text
from tests.pipeline.sphere_balls import LB, LET_IN, LET_IN_G, SPHERES, mass_g
from tests.pipeline.spoken import all_said, fact, figure, points, points_of_file, value

CYLINDER = "shape: cylinder, diameter: 3, height: 4"
UP, DOWN, ASIDE = (f", move: {at}" for at in ("[0, 0, 0.3]", "[0, 0, -0.3]", "[0.3, 0, 0]"))


def test_the_balls_centre_of_gravity_in_closed_form() -> None:
    """Only the slug is off the centre, by 1 in, with what it holds over its space."""
    one = fact(points(SPHERES), "The ball's centre of gravity lies")
    due = mass_g(1.0, 0.75) * 1.0 / (15.0 * LB)
    assert value(one, "centre of gravity to the ball's centre") == pytest.approx(due, abs=1e-8)


def test_top_weight_in_closed_form() -> None:
    one = fact(points(SPHERES), "The ball's centre of gravity lies")
    due = mass_g(1.0, 0.75) * 1.0 / 4.275 / (LB / 16.0)
    assert value(one, "top weight") == pytest.approx(due, abs=1e-7)


def test_the_cores_own_centre_of_gravity_in_closed_form() -> None:
    one = fact(points(LET_IN), "moved to that centre")
    due = mass_g(1.0, 0.75) / (LET_IN_G + mass_g(1.0, 0.75))
    assert figure(one, "centre of gravity of the core").value == pytest.approx(due, abs=1e-8)


@pytest.mark.parametrize(
    ("move", "words"),
    [(UP, "centre towards the pin, moved"), (DOWN, "centre away from the pin, moved"),
     (ASIDE, "centre, moved")],
    ids=["up", "down", "aside"],
)  # fmt: skip
def test_it_says_which_way_the_core_is_off(move: str, words: str) -> None:
    assert words in fact(points(text(f"{CYLINDER}{move}")), "moved to that centre").sentence


def test_a_core_moved_to_the_centre_against_a_file_with_it_there() -> None:
    one = fact(points(text(f"{CYLINDER}{UP}")), "moved to that centre")
    due = fact(points(text(CYLINDER)), "Its total differential is")
    found = value(one, "total differential with the core at the centre")
    assert found == pytest.approx(value(due, "total differential"), abs=1e-9)


def test_with_the_core_at_the_centre_there_is_no_pin_to_cg() -> None:
    sentence = fact(points(text(f"{CYLINDER}{UP}")), "moved to that centre").sentence
    assert "to 0.00 oz and pin to CG is then undefined" in sentence


def test_a_core_at_the_centre_is_not_moved() -> None:
    said = all_said(points(text(CYLINDER)))
    assert "lies at the ball's centre, to the digits shown (0.000 in)" in said
    assert "moved to that centre" not in said


def test_a_shift_too_small_for_the_digits_is_none() -> None:
    said = all_said(points(text(f"{CYLINDER}, move: [0, 0, 0.0004]")))
    assert "lies at the ball's centre, to the digits shown" in said


def test_what_moving_the_core_does_not_change_is_said_not_to() -> None:
    sentence = fact(points_of_file("turnstone"), "moved to that centre").sentence
    assert (
        "the total differential (0.052 in), the intermediate differential (0.017 in) and the low "
        "RG (2.535 in) do not change to the digits shown" in sentence
    )


def test_a_leaning_core_says_where_its_low_rg_axis_leaves_the_ball() -> None:
    """0.29 in along the surface are 4 degrees of 4.275 in, but for the core's shift along Z."""
    one = fact(points_of_file("turnstone"), "The ball's centre of gravity lies")
    assert "leaves the ball 0.29 in from the +Z point" in one.sentence


def test_an_upright_core_says_nothing_of_where_its_axis_leaves() -> None:
    assert "+Z point" not in all_said(points_of_file("dunlin"))


def test_without_a_pin_there_is_no_pin_to_cg() -> None:
    flat = text("shape: ellipsoid, size: [4.6, 4.6, 3], move: [0, 0, 0.2]")
    assert "pin to CG" not in fact(points(flat), "The ball's centre of gravity lies").sentence


def test_pin_to_cg_of_a_leaning_core() -> None:
    """The centre of gravity is on Z, so the CG mark is the +Z point."""
    one = fact(points_of_file("turnstone"), "The ball's centre of gravity lies")
    along = value(one, "low-RG axis to the +Z point")
    assert value(one, "pin to CG") == pytest.approx(along, abs=1e-6)
