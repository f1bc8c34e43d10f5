"""The JSON of a drilled ball: that of any ball, what drilling did, and the ball before it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest

from pipeline.ball import build_ball
from pipeline.drilled import Drilled
from pipeline.drilled_figures import (
    drilled_figures,
    drilling_figures,
    layout_distances_mm,
    removed_figures,
)
from pipeline.figures import figures
from pipeline.load import load
from pipeline.prove import first_route
from pipeline.prove_drilled import drilled_route
from pipeline.shipped import shipped
from pipeline.weigh import weigh
from tests.pipeline.drilled_text import (
    BARE,
    GRIP,
    HOLE,
    MARKED,
    PLAIN,
    ROUND,
    UNEVEN,
    ball,
    drilled,
    holes,
    swapped,
)


def made(drilling: str, core: str = ROUND, *, timed: bool = False) -> dict[str, Any]:
    before = ball(drilling, core)
    found, route = drilled_route(before)
    return drilled_figures(found, [route], [first_route(before)], timed=timed)


@pytest.fixture(scope="module")
def marked() -> dict[str, Any]:
    return made(MARKED, UNEVEN)


@pytest.fixture(scope="module")
def raw() -> dict[str, Any]:
    """One hole, in a ball without any axis."""
    return made(holes(HOLE), PLAIN)


@pytest.fixture(scope="module")
def gripped() -> Drilled:
    return drilled(GRIP)


def numbers(value: object) -> Iterator[float]:
    if isinstance(value, dict):
        for inner in value.values():
            yield from numbers(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from numbers(inner)
    elif isinstance(value, float):
        yield value


def decimals(values: object) -> int:
    """The most that any of the numbers has."""
    return max(len(f"{value:.12f}".rstrip("0").split(".")[1]) for value in numbers(values))


def test_a_drilled_ball_has_the_keys_of_any_other_and_two_more(marked: dict[str, Any]) -> None:
    assert set(marked) == {*marked["undrilled"], "drilling", "undrilled"}


def test_the_ball_before_is_as_it_would_be_without_a_drilling() -> None:
    before = ball(MARKED, UNEVEN)
    route = first_route(before)
    found, own = drilled_route(before)
    assert drilled_figures(found, [own], [route])["undrilled"] == figures(
        before, route.properties, [route]
    )


def test_the_figures_are_those_of_the_ball_as_thrown(marked: dict[str, Any]) -> None:
    found = drilled(MARKED, UNEVEN)
    assert marked["mass_lb"] == pytest.approx(found.properties.mass_g / 453.59237, abs=1e-6)


def test_what_was_removed_is_the_difference(marked: dict[str, Any]) -> None:
    difference = 16.0 * (marked["undrilled"]["mass_lb"] - marked["mass_lb"])
    assert marked["drilling"]["removed_oz"] == pytest.approx(difference, abs=5e-5)


def test_inserts_are_parts(marked: dict[str, Any]) -> None:
    assert [(p["name"], p["material"]) for p in marked["parts"]] == [
        ("inner core", "clay"), ("cover", "shell"), ("insert of middle", "insert"),
    ]  # fmt: skip


def test_parts_add_up_to_the_drilled_ball(marked: dict[str, Any]) -> None:
    assert sum(p["mass_lb"] for p in marked["parts"]) == pytest.approx(marked["mass_lb"], abs=4e-6)


def test_every_name_of_the_drilling_is_there(marked: dict[str, Any]) -> None:
    assert set(marked["drilling"]) == {
        "hand", "holes", "grip_centre_in", "axis_point_in", "layout_in", "removed_oz", "pin_moved",
        "psa_moved", "static_weights", "rg_about_axis_point_in", "flare",
    }  # fmt: skip


def test_a_drilling_of_raw_holes_has_the_same_names(
    marked: dict[str, Any], raw: dict[str, Any]
) -> None:
    assert set(raw["drilling"]) == set(marked["drilling"])


@pytest.mark.parametrize(
    "name",
    [
        "hand", "grip_centre_in", "axis_point_in", "static_weights", "rg_about_axis_point_in",
        "flare",
    ],
)  # fmt: skip
def test_what_raw_holes_do_not_tell_is_null(raw: dict[str, Any], name: str) -> None:
    assert raw["drilling"][name] is None


@pytest.mark.parametrize("name", ["pin_moved", "psa_moved"])
def test_marks_from_nowhere_have_moved_by_null(raw: dict[str, Any], name: str) -> None:
    assert raw["drilling"][name] == {"deg": None, "in": None}


def test_without_grip_and_axis_point_a_layout_has_no_distances(raw: dict[str, Any]) -> None:
    assert raw["drilling"]["layout_in"] == {}


def test_the_psa_of_a_symmetrical_ball_has_moved_by_null() -> None:
    assert made(BARE)["drilling"]["psa_moved"] == {"deg": None, "in": None}


def test_the_layout_is_told_as_it_was_asked(marked: dict[str, Any]) -> None:
    assert marked["drilling"]["layout_in"] == {
        "pin_to_axis_point": 4.0,
        "mark_to_axis_point": 4.5,
        "pin_to_grip_centre": pytest.approx(3.884179, abs=2e-6),
        "pin_to_val": 2.0,
        "pin_to_mark": pytest.approx(6.715154, abs=2e-6),
    }


def test_less_than_zero_is_told_as_less_than_zero() -> None:
    found = drilled(swapped(BARE, ("pin_to_val: 2", "pin_to_val: -2")))
    assert layout_distances_mm(found)["pin_to_val"] == pytest.approx(-50.8)


@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_distance_to_the_line_has_one_sign_for_both_hands(hand: str) -> None:
    found = drilled(swapped(BARE, ("hand: right", f"hand: {hand}")))
    assert layout_distances_mm(found)["pin_to_val"] == pytest.approx(50.8)


def test_a_symmetrical_ball_has_no_distance_to_a_mark(gripped: Drilled) -> None:
    assert set(layout_distances_mm(gripped)) == {
        "pin_to_axis_point", "pin_to_grip_centre", "pin_to_val",
    }  # fmt: skip


def test_a_hole_as_it_was_asked(gripped: Drilled) -> None:
    middle = drilling_figures(gripped)["holes"][0]
    assert {k: v for k, v in middle.items() if k not in ("entry_in", "way", "bevel_in")} == {
        "name": "middle",
        "use": "finger",
        "diameter_in": 0.78125,
        "depth_in": 2.5,
        "bottom": "flat",
        "misses_centre_in": 0.0,
        "insert": {"bore_in": 0.96875, "depth_in": 1.25, "density_g_cm3": 1.1},
    }


def test_a_bevel_is_told(gripped: Drilled) -> None:
    assert drilling_figures(gripped)["holes"][0]["bevel_in"] == 0.0625


def test_a_cone_is_told_by_its_angle(gripped: Drilled) -> None:
    assert drilling_figures(gripped)["holes"][2]["bottom"] == {"point_deg": 118.0}


def test_pitches_are_told_by_how_far_an_axis_misses(gripped: Drilled) -> None:
    found = [hole["misses_centre_in"] for hole in drilling_figures(gripped)["holes"][:3]]
    assert found == [0.0, 0.125, pytest.approx(0.395285)]


def test_points_are_on_the_surface(marked: dict[str, Any]) -> None:
    drilling = marked["drilling"]
    points = [drilling["grip_centre_in"], drilling["axis_point_in"]]
    points += [hole["entry_in"] for hole in drilling["holes"]]
    assert [sum(x * x for x in p) for p in points] == pytest.approx(
        [4.275**2] * len(points), abs=2e-5
    )


def test_static_weights_are_told_both_ways(marked: dict[str, Any]) -> None:
    found = marked["drilling"]["static_weights"]
    assert list(found) == ["moment", "halves", "top_oz", "side_oz", "finger_oz"]
    assert set(found["top_oz"]) == {"towards", "moment", "halves"}


def test_static_weights_of_a_grip_on_its_own_side_are_less_than_zero(
    marked: dict[str, Any],
) -> None:
    top = marked["drilling"]["static_weights"]["top_oz"]
    assert (top["moment"] < -1.0, top["halves"] < -2.0) == (True, True)


def test_the_index_is_the_first_step_of_the_flare(marked: dict[str, Any]) -> None:
    flare = marked["drilling"]["flare"]
    assert flare["index_in"] == flare["steps_in"][0] > 0.0
    assert len(flare["steps_in"]) == 8


@pytest.mark.parametrize("name", ["rg_in", "mass_lb", "total_differential_in", "pin_in"])
def test_no_more_decimals_than_the_bound_defends(marked: dict[str, Any], name: str) -> None:
    bound = marked["error_bound"]["rg_in"]
    assert 1e-8 < bound < 1e-6
    assert decimals(marked[name]) <= decimals(bound)


def test_static_weights_have_no_more_decimals_than_is_sure(marked: dict[str, Any]) -> None:
    found = marked["drilling"]["static_weights"]
    assert decimals([found[f"{n}_oz"]["halves"] for n in ("top", "side", "finger")]) <= 2


def test_no_length_of_the_drilling_has_more_than_six_decimals(marked: dict[str, Any]) -> None:
    drilling = {k: v for k, v in marked["drilling"].items() if k != "holes"}
    assert decimals(drilling) <= 6


def test_a_file_carries_no_time(marked: dict[str, Any]) -> None:
    assert "seconds" not in json.dumps(marked)


def test_a_terminal_is_told_the_time() -> None:
    found = made(holes(HOLE), PLAIN, timed=True)
    assert "seconds" in found["routes"]["columns"]
    assert "seconds" in found["undrilled"]["routes"]["moments"]


def test_no_minus_zero(marked: dict[str, Any], raw: dict[str, Any]) -> None:
    assert "-0.0," not in json.dumps([marked, raw])


def test_all_of_it_is_plain(marked: dict[str, Any], raw: dict[str, Any]) -> None:
    assert json.loads(json.dumps([marked, raw], allow_nan=False)) == [marked, raw]


def test_what_was_taken_of_each_part(gripped: Drilled) -> None:
    found = removed_figures(gripped)
    assert [one["name"] for one in found] == ["inner core", "cover"]
    taken = 16.0 * sum(one["mass_lb"] for one in found)
    filled = sum(fill.mass_g for fill in gripped.fills) / 28.349523125
    assert taken - filled == pytest.approx(
        drilling_figures(gripped)["removed_oz"], abs=8e-5
    )  # to 1e-6 lb a part


def test_the_undrilled_ball_of_a_drilling_file_is_that_of_its_own_file() -> None:
    ball = build_ball(load(shipped("dunlin-drilled")))
    drilled_ball, route = drilled_route(ball)
    alone = build_ball(load(shipped("dunlin")))
    told = drilled_figures(drilled_ball, [route], [first_route(ball)], timed=False)["undrilled"]
    assert told == figures(alone, weigh(alone), [first_route(alone)], timed=False)
