"""Numbers as sentences tell them: no digit that is not sure, and no change that is not seen."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pipeline.ball import build_ball
from pipeline.load import read_design
from pipeline.told import (
    Told,
    agreeing,
    change,
    changes_said,
    density,
    joined,
    number,
    pin_to_cg,
    top_weight,
    turned_deg,
)
from pipeline.weigh import weigh
from tests.pipeline.searched import text

LEANING = weigh(
    build_ball(
        read_design(
            text(
                "shape: cylinder, diameter: 3, height: 4, tilt: {by: 10, toward: 90}, "
                "move: [0, 0, 0.3]"
            )
        )
    )
)


def rg(value: float, bound: float = 1e-8) -> Told:
    return number("low RG", value, "in", bound, 3)


@pytest.mark.parametrize(
    ("bound", "within"),
    [(1e-8, "1e-8"), (1.1e-8, "2e-8"), (9.4e-8, "1e-7"), (0.02, "2e-2"), (0, "")],
)
def test_a_bound_is_rounded_up_to_one_digit(bound: float, within: str) -> None:
    assert rg(2.5, bound).within == within


def test_a_figure_rises() -> None:
    assert changes_said([change("it", rg(2.5), rg(2.6))]).words == "it rises from 2.500 to 2.600 in"


def test_a_figure_falls() -> None:
    assert changes_said([change("it", rg(2.5), rg(2.4))]).words == "it falls from 2.500 to 2.400 in"


def test_what_the_digits_do_not_show_is_no_change() -> None:
    said = changes_said([change("it", rg(2.50001), rg(2.50049))])
    assert said.words == "it (2.500 in) does not change to the digits shown"


def test_a_change_is_seen_where_rounding_makes_one() -> None:
    """2.5004999 and 2.5005001 are told as 2.500 and 2.501."""
    said = changes_said([change("it", rg(2.5004999), rg(2.5005001))])
    assert said.words == "it rises from 2.500 to 2.501 in"


def test_figures_that_stay_are_told_together_after_those_that_move() -> None:
    changes = [
        change("a", rg(1.0), rg(1.0)), change("b", rg(1.0), rg(2.0)), change("c", rg(3.0), rg(3.0)),
    ]  # fmt: skip
    assert changes_said(changes).words == (
        "b rises from 1.000 to 2.000 in, and a (1.000 in) and c (3.000 in) do not change to the "
        "digits shown"
    )


def test_every_number_of_a_change_is_among_its_figures() -> None:
    said = changes_said([change("a", rg(1.0), rg(1.0)), change("b", rg(1.0), rg(2.0))])
    assert [told.text for told in said.figures] == ["1.000", "2.000", "1.000", "1.000"]


def test_both_ends_of_a_change_have_the_digits_of_the_less_sure_one() -> None:
    found = change("it", rg(2.5444), rg(2.5544, 0.004))
    assert (found.before.text, found.after.text) == ("2.54", "2.55")


@pytest.mark.parametrize(
    ("value", "again", "text"), [(1.2534, 1.2530, "1.25"), (1.2551, 1.2549, "1.3"), (1.6, 1.4, "2")]
)
def test_what_is_worked_out_of_others_agrees_with_their_digits(
    value: float, again: float, text: str
) -> None:
    """1.4 is told as 1 and 1.6 as 2: there the value stands, with no decimal left to take."""
    assert agreeing("ratio", value, again, 2, 1e-9).text == text


@pytest.mark.parametrize(
    ("pieces", "words"), [(["a"], "a"), (["a", "b"], "a and b"), (["a", "b", "c"], "a, b and c")]
)
def test_pieces_are_joined(pieces: list[str], words: str) -> None:
    assert joined(pieces) == words


def test_pin_to_cg_is_in_doubt_by_axis_and_centre_of_gravity() -> None:
    """Ten times the bound of every figure is ten times the bound of the distance."""
    sure = pin_to_cg(LEANING)
    bound = replace(LEANING.bound, rg_mm=10 * LEANING.bound.rg_mm, mass_g=10 * LEANING.bound.mass_g)
    unsure = pin_to_cg(replace(LEANING, bound=bound))
    assert sure is not None
    assert unsure is not None
    assert unsure.bound == pytest.approx(10.0 * sure.bound)


def test_pin_to_cg_is_not_told_where_the_centre_of_gravity_has_no_sure_direction() -> None:
    near = replace(LEANING, centre_of_gravity_mm=np.array([2e-6, 0.0, 0.0]))
    assert near.pin_to_cg_mm() is not None
    assert pin_to_cg(near) is None


def test_top_weight_is_first_moment_over_radius() -> None:
    due = LEANING.mass_g * LEANING.centre_of_gravity_mm[2] / LEANING.radius_mm / (453.59237 / 16)
    assert top_weight(LEANING).value == pytest.approx(due)


def test_the_angle_between_two_low_rg_axes() -> None:
    upright, leaning = (
        weigh(build_ball(read_design(text(f"shape: cylinder, diameter: 3, height: 4{lean}"))))
        for lean in ("", ", tilt: {by: 10, toward: 90}")
    )
    told = turned_deg(upright, leaning, "angle")
    assert told is not None
    assert told.said == "10.0 deg"


def test_a_given_density_is_not_in_doubt() -> None:
    ball = build_ball(read_design(text("shape: cylinder, diameter: 3, height: 4")))
    assert density("", ball, "clay", weigh(ball)) == Told("", 2.3, "g/cm3", 0.0, "2.300", "given")


def test_a_solved_density_is_in_doubt_by_the_mass_over_its_space() -> None:
    ball = build_ball(read_design(text("shape: cylinder, diameter: 3, height: 4")))
    properties = weigh(ball)
    cm3 = ball.parts[1].claimed.volume_mm3 / 1000.0
    found = density("", ball, "foam", properties)
    assert found.bound == pytest.approx(properties.bound.mass_g / cm3)
