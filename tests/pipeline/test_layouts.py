"""Maps of layouts: each row against the ball that is drilled by itself, and what has no map."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from pipeline.crew import Crew
from pipeline.drilled import Drilled, drill_holes
from pipeline.errors import CorewrightError
from pipeline.layouts import (
    BLOCK,
    FIGURES,
    TWO_MARKS,
    Field,
    LayoutsError,
    Mapped,
    field_of,
    laid_at,
    mapped,
    mapped_block,
    parse_ends,
    parse_steps,
    together,
    within_in,
)
from pipeline.rolling import let_go
from pipeline.statics import statics
from pipeline.units import G_PER_LB, G_PER_OZ, MM_PER_IN
from tests.pipeline.drilled_text import (
    BARE,
    GRIP,
    HOLE,
    MARKED,
    ROUND,
    UNEVEN,
    ball,
    drilled,
    holes,
    swapped,
)

RGS = ("low RG [in]", "intermediate RG [in]", "high RG [in]")
DIFFERENTIALS = ("total differential [in]", "intermediate differential [in]")
WEIGHTS = {"top": "top weight [oz]", "side": "side weight [oz]", "finger": "finger weight [oz]"}
DISTANCES = "pin_to_axis_point: 4, pin_to_val: 2"
LEFT = (("hand: right", "hand: left"), ("left: 1/8", "right: 1/8"))  # the mirror image
BALLS = {
    "right": (GRIP, ROUND),
    "left": (swapped(GRIP, *LEFT), ROUND),
    "right, uneven": (MARKED, UNEVEN),
    "left, uneven": (swapped(MARKED, *LEFT), UNEVEN),
}
SHOWN = 5  # of the 3 x 3 layouts of `grid`: a place that the design itself does not have


@cache
def grid(name: str) -> tuple[Field, Mapped]:
    field = field_of(ball(*BALLS[name]), (3.0, 5.0), (-0.5, 2.5), (3, 3))
    return field, mapped(field, Crew())


@cache
def alone(name: str) -> Drilled:
    """The ball whose design asks for that layout."""
    text, core = BALLS[name]
    to_axis, to_val = (d / MM_PER_IN for d in grid(name)[0].distances(SHOWN))
    return drilled(
        swapped(text, (DISTANCES, f"pin_to_axis_point: {to_axis}, pin_to_val: {to_val}")), core
    )


def row(name: str) -> dict[str, float]:
    return {key: float(values[SHOWN]) for key, values in grid(name)[1].figures.items()}


@cache
def wide() -> tuple[Field, Mapped]:
    """Two blocks of layouts, of which many do not close."""
    field = field_of(ball(BARE), (1.0, 6.5), (-4.0, 4.0), (8, 9))
    return field, mapped(field, Crew())


def test_two_numbers_are_a_range() -> None:
    assert parse_ends("val", "-2.5:4") == (-2.5, 4.0)


@pytest.mark.parametrize("text", ["", "4", "1:", ":4", "1:x", "1-4", "1:2:3", "nan:4", "1:inf"])
def test_what_is_no_range_is_refused_with_its_option(text: str) -> None:
    with pytest.raises(LayoutsError, match=f"^--val: '{text}' is no range in inches"):
        parse_ends("val", text)


@pytest.mark.parametrize(("text", "due"), [("20x30", (20, 30)), ("4X5", (4, 5)), ("7", (7, 7))])
def test_counts_are_read(text: str, due: tuple[int, int]) -> None:
    assert parse_steps(text) == due


@pytest.mark.parametrize("text", ["", "x", "3x", "3x4x5", "2.5x3", "many"])
def test_what_are_no_counts_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(LayoutsError, match="20x30"):
        parse_steps(text)


@pytest.mark.parametrize(
    "drilling",
    [
        "",
        holes(HOLE),
        swapped(BARE, (f"{DISTANCES}, pin: above", "pin_at: {over: 1, up: 2}")),
    ],
    ids=["undrilled", "raw holes", "by places"],
)
def test_a_design_without_a_layout_by_distances_has_no_map(drilling: str) -> None:
    with pytest.raises(LayoutsError, match="a grip and a layout by distances"):
        field_of(ball(drilling), (3.0, 5.0), (0.0, 2.0), (3, 3))


@pytest.mark.parametrize(
    ("pin", "val", "steps", "says"),
    [
        ((5.0, 3.0), (0.0, 2.0), (3, 3), "--pin: from 5 to 3 in is no range"),
        ((3.0, 5.0), (2.0, 2.0), (3, 3), "--val: from 2 to 2 in is no range"),
        ((0.0, 5.0), (0.0, 2.0), (3, 3), "--pin: a pin on the axis point itself"),
        ((3.0, 5.0), (0.0, 2.0), (1, 3), "1 x 3 layouts"),
        ((3.0, 5.0), (0.0, 2.0), (3, -3), "3 x -3 layouts"),
        ((3.0, 5.0), (0.0, 2.0), (1001, 100), "2 x 2 to 100,000"),
    ],
)
def test_what_is_no_grid_is_refused(
    pin: tuple[float, float], val: tuple[float, float], steps: tuple[int, int], says: str
) -> None:
    with pytest.raises(LayoutsError, match=says):
        field_of(ball(BARE), pin, val, steps)


@pytest.mark.parametrize(
    ("drilling", "core", "says"),
    [
        (BARE, UNEVEN, "the ball is asymmetrical"),
        (MARKED, ROUND, "the ball is symmetrical"),
        (swapped(BARE, ("over: 5", "over: 28")), ROUND, "more than half round the ball"),
        (swapped(BARE, ("diameter: 1, depth: 2", "diameter: 1, depth: 0.1, bevel: 1/8")), ROUND,
         "its bevel reaches its bottom"),
    ],
    ids=["no mark", "a mark too much", "axis point", "bevel"],
)  # fmt: skip
def test_a_design_that_can_be_drilled_in_no_layout_has_no_map(
    drilling: str, core: str, says: str
) -> None:
    """It is refused as `drill` does, and not told as triangles that do not close."""
    with pytest.raises(CorewrightError, match=says):
        field_of(ball(drilling, core), (3.0, 5.0), (0.5, 2.0), (3, 3))


def test_raw_holes_beside_a_grip_are_counted_or_refused() -> None:
    text = BARE + holes(swapped(HOLE, ("name: thumb", "name: other")))
    try:
        field = field_of(ball(text), (4.0, 5.0), (2.0, 3.0), (2, 2))
    except LayoutsError:
        return
    due = drilled(text).properties.mass_g / G_PER_LB
    assert mapped(field, Crew()).figures["mass [lb]"][0] == pytest.approx(due, rel=1e-5)


def test_the_second_distance_runs_fastest() -> None:
    field = grid("right")[0]
    found = [tuple(d / MM_PER_IN for d in field.distances(k)) for k in (0, 1, 3)]
    assert found == [
        pytest.approx((3.0, -0.5)), pytest.approx((3.0, 1.0)), pytest.approx((4.0, -0.5)),
    ]  # fmt: skip


@pytest.mark.parametrize("name", BALLS)
def test_a_layout_has_the_rgs_of_the_ball_drilled_so(name: str) -> None:
    due = alone(name).properties.principal.rg_mm / MM_PER_IN
    assert [row(name)[key] for key in RGS] == pytest.approx(list(due), abs=1e-5)


@pytest.mark.parametrize("name", BALLS)
def test_a_layout_has_the_differentials_of_the_ball_drilled_so(name: str) -> None:
    due = alone(name).properties.principal
    assert [row(name)[key] * MM_PER_IN for key in DIFFERENTIALS] == pytest.approx(
        [due.total_differential_mm, due.intermediate_differential_mm], abs=3e-4
    )


@pytest.mark.parametrize("name", BALLS)
def test_a_layout_has_the_mass_of_the_ball_drilled_so(name: str) -> None:
    assert row(name)["mass [lb]"] * G_PER_LB == pytest.approx(
        alone(name).properties.mass_g, rel=1e-5
    )


@pytest.mark.parametrize("name", BALLS)
def test_a_layout_has_the_static_weights_of_the_ball_drilled_so(name: str) -> None:
    due = {one.name: one.moment_g / G_PER_OZ for one in statics(alone(name))}
    assert {key: row(name)[words] for key, words in WEIGHTS.items()} == pytest.approx(due, abs=2e-3)


@pytest.mark.parametrize("name", BALLS)
def test_a_layout_has_the_flare_index_of_the_ball_drilled_so(name: str) -> None:
    flare = let_go(alone(name))
    assert flare is not None
    assert row(name)["flare index [in]"] == pytest.approx(flare.first_step_mm / MM_PER_IN, abs=2e-4)


@pytest.mark.parametrize("name", BALLS)
def test_one_layout_of_a_grid_has_its_holes_where_the_design_puts_them(name: str) -> None:
    found = laid_at(grid(name)[0], SHOWN)
    due = alone(name).laid
    for one, other in zip(found.holes, due.holes, strict=True):
        assert one.entry_mm == pytest.approx(other.entry_mm, abs=1e-6), one.name


@pytest.mark.parametrize("core", ["", ", uneven"])
@pytest.mark.parametrize("key", ["mass [lb]", *RGS, *DIFFERENTIALS, "side weight [oz]"])
def test_a_left_hand_s_map_is_that_of_a_right_hand(core: str, key: str) -> None:
    right, left = (grid(f"{hand}{core}")[1].figures[key] for hand in ("right", "left"))
    assert left == pytest.approx(right, abs=1e-4 if "oz" in key else 1e-5)


def test_a_layout_closes_where_the_pin_is_no_farther_from_the_line_than_from_its_point() -> None:
    field, found = wide()
    due = np.abs(field.to_val_mm)[None, :] <= field.to_axis_mm[:, None] + 1e-9
    assert (found.closes == due.ravel()).all()


@pytest.mark.parametrize("key", FIGURES)
def test_there_is_no_figure_exactly_where_there_is_no_layout(key: str) -> None:
    found = wide()[1]
    assert (np.isnan(found.figures[key]) == ~found.closes).all()


def test_a_mark_that_cannot_be_so_far_away_leaves_no_layout() -> None:
    """Pin and mark are a quarter apart, 6.72 in: with 4.5 in the pin is 2.22 in away or more."""
    field = field_of(ball(MARKED, UNEVEN), (2.0, 2.4), (0.2, 0.5), (2, 2))
    assert mapped(field, Crew()).closes.tolist() == [False, False, True, True]


def test_blocks_one_after_the_other_are_the_whole_map() -> None:
    field, found = wide()
    assert field.blocks == -(-72 // BLOCK)
    again = together([mapped_block(field, k) for k in range(field.blocks)])
    for key in FIGURES:
        assert np.array_equal(again.figures[key], found.figures[key], equal_nan=True), key


def test_a_crew_maps_the_same() -> None:
    field, found = wide()
    again = mapped(field, Crew(workers=2))
    for key in FIGURES:
        assert np.array_equal(again.figures[key], found.figures[key], equal_nan=True), key


def test_it_is_told_how_many_blocks_are_done() -> None:
    told: list[tuple[int, int]] = []
    mapped(wide()[0], Crew(), lambda done, of: told.append((done, of)))
    assert told == [(1, 2), (2, 2)]


def test_a_map_of_which_no_layout_closes_is_refused() -> None:
    field = field_of(ball(BARE), (0.5, 1.0), (3.0, 4.0), (2, 2))
    with pytest.raises(LayoutsError, match="does not close"):
        within_in(field, mapped(field, Crew()))


def test_a_mark_whose_two_places_are_equally_high_is_told_as_such() -> None:
    field = field_of(ball(MARKED, UNEVEN), (3.0, 4.0), (0.0, 1.0), (2, 2))
    assert mapped(field, Crew()).why == (TWO_MARKS, "", TWO_MARKS, "")


def test_the_error_that_is_told_is_that_of_other_layouts_too() -> None:
    """Within ten times: it is measured at five layouts, this is at eight others."""
    field, found = wide()
    told = within_in(field, found)
    for k in np.flatnonzero(found.closes)[3::7]:
        exact = drill_holes(field.ball, field.properties, laid_at(field, int(k)))
        due = exact.properties.principal.rg_mm / MM_PER_IN
        off = np.abs(due - [found.figures[key][k] for key in RGS]).max()
        assert off <= 10.0 * told, field.distances(int(k))
