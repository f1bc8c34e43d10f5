"""Layouts: where pin, mark and holes come to stand, and triangles that do not close."""

from __future__ import annotations

from math import asin, pi

import numpy as np
import pytest

from pipeline.drilling import Place
from pipeline.errors import BallError
from pipeline.layout import Laid, lay, marks_of, pin_at
from pipeline.weigh import weigh
from tests.pipeline.drilled_text import (
    BARE,
    GRIP,
    HOLE,
    PLAIN,
    RADIUS,
    ROUND,
    UNEVEN,
    ball,
    holes,
    swapped,
)

DISTANCES = "pin_to_axis_point: 4, pin_to_val: 2, pin: above"
MARK = "mark_to_axis_point: 4.5, mark: below"
ARC = pi / 2.0 * RADIUS / 25.4  # from pin to mark of the uneven ball, inches
Array = np.ndarray


def laid(drilling: str, core: str = ROUND) -> Laid:
    made = ball(drilling, core, "x.yaml")
    asked = made.design.drilling
    assert asked is not None
    return lay(made, weigh(made), asked)


def by(layout: str, core: str = ROUND) -> Laid:
    """A grip laid out like that, in lines 12 to 18."""
    return laid(swapped(BARE, (DISTANCES, layout)), core)


def refused(drilling: str, core: str = ROUND) -> str:
    with pytest.raises(BallError) as told:
        laid(drilling, core)
    return str(told.value)


def refused_layout(layout: str, core: str = ROUND) -> str:
    return refused(swapped(BARE, (DISTANCES, layout)), core)


def inches(a: Array | None, b: Array | None) -> float:
    """Along the surface, by the chord."""
    assert a is not None
    assert b is not None
    return float(2.0 * RADIUS * asin(np.linalg.norm(a - b) / 2.0) / 25.4)


def test_the_pin_is_as_far_from_the_axis_point_as_asked() -> None:
    found = by(DISTANCES)
    assert inches(found.pin, found.axis_point) == pytest.approx(4.0)


def test_a_pin_at_the_middle_of_the_line_stands_straight_above() -> None:
    found = pin_at(Place(0.0, 0.0), 50.0, 0.0, RADIUS, above=True)
    assert found == pytest.approx((np.cos(50.0 / RADIUS), 0.0, np.sin(50.0 / RADIUS)))


def test_a_pin_that_far_from_the_line_as_from_the_point_stands_square_to_it() -> None:
    found = pin_at(Place(0.0, 0.0), 50.0, 50.0, RADIUS, above=True)
    assert found == pytest.approx((np.cos(50.0 / RADIUS), -np.sin(50.0 / RADIUS), 0.0), abs=1e-7)


def test_above_and_below_are_mirrored() -> None:
    above, below = (pin_at(Place(0.0, 0.0), 60.0, 25.0, RADIUS, above=a) for a in (True, False))
    assert below == pytest.approx(above * [1, 1, -1])


def test_less_than_zero_is_away_from_the_grip() -> None:
    near, far = (pin_at(Place(0.0, 0.0), 60.0, v, RADIUS, above=True) for v in (25.0, -25.0))
    assert far == pytest.approx(near * [1, -1, 1])
    assert far[1] > 0.0


@pytest.mark.parametrize("side", ["above", "below"])
def test_the_mark_is_as_far_from_the_axis_point_as_asked(side: str) -> None:
    found = by(f"{DISTANCES}, mark_to_axis_point: 4.5, mark: {side}", UNEVEN)
    assert inches(found.mark, found.axis_point) == pytest.approx(4.5)


def test_above_is_the_higher_of_the_two_places_of_the_mark() -> None:
    above, below = (by(f"{DISTANCES}, mark_to_axis_point: 4.5, mark: {side}", UNEVEN)
                    for side in ("above", "below"))  # fmt: skip
    heights = [
        found.frame[:, 2] @ found.mark
        for found in (above, below)
        if found.frame is not None and found.mark is not None
    ]
    assert heights[0] > heights[1] + 0.1


def test_pin_and_mark_at_their_places_from_the_grip_centre() -> None:
    found = by(f"pin_at: {{over: 0, up: 2}}, mark_at: {{over: 0, down: {ARC - 2.0}}}", UNEVEN)
    assert inches(found.pin, found.grip_centre) == pytest.approx(2.0)
    assert inches(found.mark, found.grip_centre) == pytest.approx(ARC - 2.0)


def test_a_symmetrical_ball_stands_with_its_grip_centre_towards_x() -> None:
    centre = by(DISTANCES).grip_centre
    assert centre is not None
    assert (centre[0] > 0.1, centre[1]) == (True, pytest.approx(0.0, abs=1e-12))


def test_raw_holes_come_before_those_of_the_grip() -> None:
    found = laid(BARE + holes(swapped(HOLE, ("name: thumb", "name: other"))))
    assert [hole.name for hole in found.holes] == ["other", "middle", "ring", "thumb"]


def test_an_axis_point_in_the_ball_frame() -> None:
    arc = RADIUS * pi / 2.0 / 25.4
    found = laid(f"  hand: left\n  axis_point: {{arc: {arc}, azimuth: 90}}\n" + holes(HOLE))
    assert found.axis_point == pytest.approx((0.0, 1.0, 0.0), abs=1e-12)


def test_a_ball_without_a_grip_has_no_grip_centre() -> None:
    assert laid(holes(HOLE)).grip_centre is None


def test_a_ball_without_a_low_axis_has_its_pin_as_drawn() -> None:
    assert marks_of(weigh(ball(holes(HOLE), PLAIN)))[0].tolist() == [0.0, 0.0, 1.0]


def test_a_symmetrical_ball_has_no_mark() -> None:
    assert marks_of(weigh(ball(holes(HOLE), ROUND)))[1] is None


def test_the_mark_of_an_asymmetrical_ball_is_its_high_axis() -> None:
    assert marks_of(weigh(ball(holes(HOLE), UNEVEN)))[1] == pytest.approx((1.0, 0.0, 0.0))


@pytest.mark.parametrize("away", ["4.5", "-4.5", "4.01", "9", "12.5", "30"])
def test_a_pin_farther_from_the_line_than_from_its_point_is_refused(away: str) -> None:
    told = refused_layout(f"pin_to_axis_point: 4, pin_to_val: {away}, pin: above")
    assert (
        "drilling.layout: the triangle of pin, axis point and vertical axis line does not close: "
        "the pin is 4.0000 in from the axis point, so it is at most 4.0000 in from the line" in told
    )
    assert told.endswith(f"not {abs(float(away)):.4f} in")


def test_a_pin_beyond_a_quarter_is_nearer_to_the_line_on_its_far_side() -> None:
    told = refused_layout("pin_to_axis_point: 10, pin_to_val: 3.5, pin: above")
    assert "so it is at most 3.4303 in from the line" in told


def test_a_pin_more_than_half_round_the_ball_is_refused() -> None:
    told = refused_layout("pin_to_axis_point: 13.44, pin_to_val: 0, pin: above")
    assert (
        "drilling.layout.pin_to_axis_point: 13.4400 in is more than half round the ball, "
        "13.4303 in" in told
    )


def test_a_mark_that_is_too_near_is_refused_with_what_can_be() -> None:
    told = refused_layout(f"{DISTANCES}, mark_to_axis_point: 1, mark: below", UNEVEN)
    assert (
        "drilling.layout: the triangle of pin, high-RG mark and axis point does not close: pin to "
        "axis point 4.0000 in, pin to mark 6.7152 in on this ball, mark to axis point 1.0000 in; "
        "with the first two the third can be 2.7152 in to 10.7152 in" in told
    )


@pytest.mark.parametrize("away", [2.70, 10.73])
def test_a_mark_just_out_of_reach_is_refused(away: float) -> None:
    told = refused_layout(f"{DISTANCES}, mark_to_axis_point: {away}, mark: below", UNEVEN)
    assert "does not close" in told


@pytest.mark.parametrize("away", [2.73, 10.70])
def test_a_mark_just_within_reach_is_allowed(away: float) -> None:
    found = by(f"{DISTANCES}, mark_to_axis_point: {away}, mark: below", UNEVEN)
    assert inches(found.mark, found.axis_point) == pytest.approx(away)


@pytest.mark.parametrize("away", [22.36, 31.36])
def test_a_mark_more_than_half_round_the_ball_is_refused(away: float) -> None:
    """Such arcs have the cosines of 4.5 in."""
    assert "mark" in refused_layout(f"{DISTANCES}, mark_to_axis_point: {away}, mark: below", UNEVEN)


@pytest.mark.parametrize(
    "layout", [f"{DISTANCES}, {MARK}", "pin_at: {over: 1}, mark_at: {over: 3}"]
)
def test_a_symmetrical_ball_with_a_mark_is_refused(layout: str) -> None:
    assert "drilling.layout: the ball is symmetrical and has no high-RG mark; leave the mark o" in (
        refused_layout(layout)
    )


@pytest.mark.parametrize("layout", [DISTANCES, "pin_at: {over: 1}"])
def test_an_asymmetrical_ball_without_a_mark_is_refused(layout: str) -> None:
    assert (
        "drilling.layout: the ball is asymmetrical, so the pin alone does not say how it stands; "
        "give mark_to_axis_point and mark, or mark_at beside pin_at"
        in refused_layout(layout, UNEVEN)
    )


@pytest.mark.parametrize("gap", [1 / 31, -1 / 31])
def test_places_apart_from_the_ball_s_own_arc_are_refused(gap: float) -> None:
    told = refused_layout(
        f"pin_at: {{over: 0, up: 2}}, mark_at: {{over: 0, down: {ARC - 2.0 + gap}}}", UNEVEN
    )
    assert f"drilling.layout: pin_at and mark_at are {ARC + gap:.4f} in apart" in told
    assert "but on this ball the high-RG mark is 6.7152 in from the pin" in told
    assert "(1/32 in is allowed)" in told


@pytest.mark.parametrize("gap", [1 / 33, -1 / 33])
def test_places_may_be_apart_by_as_much_as_is_measured(gap: float) -> None:
    found = by(f"pin_at: {{over: 0, up: 2}}, mark_at: {{over: 0, down: {ARC - 2.0 + gap}}}", UNEVEN)
    assert inches(found.mark, found.grip_centre) == pytest.approx(ARC - 2.0)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (DISTANCES, "pin_at: {over: 28}"),
        (DISTANCES, "pin_at: {over: 0, up: 28}"),
        ("{over: 5, up: 0.5}", "{over: 28}"),
    ],
)
def test_a_place_more_than_once_round_the_ball_is_refused(old: str, new: str) -> None:
    assert "round the ball" in refused(swapped(BARE, (old, new)))


@pytest.mark.parametrize(
    ("layout", "core"),
    [
        ("pin_to_axis_point: 4, pin_to_val: 4.5, pin: above", ROUND),
        (DISTANCES, UNEVEN),
        (f"{DISTANCES}, mark_to_axis_point: 1, mark: below", UNEVEN),
        ("pin_at: {over: 1}, mark_at: {over: 3}", UNEVEN),
    ],
)
def test_a_refusal_tells_the_line_of_the_layout(layout: str, core: str) -> None:
    assert refused_layout(layout, core).startswith("x.yaml:18: drilling.layout")


def test_a_hole_more_than_half_round_the_ball_is_refused() -> None:
    assert refused(holes(swapped(HOLE, ("6.75 in", "13.44 in")))) == (
        "x.yaml:12: drilling: hole 'thumb': at.arc is 13.4400 in, more than half round the ball, "
        "13.4303 in"
    )


def test_a_hole_at_the_far_point_is_allowed() -> None:
    (hole,) = laid(holes(swapped(HOLE, ("6.75 in", "13.43 in")))).holes
    assert hole.entry_mm[2] == pytest.approx(-RADIUS, abs=1e-4)


def test_an_axis_point_more_than_half_round_the_ball_is_refused() -> None:
    told = refused("  hand: left\n  axis_point: {arc: 13.44, azimuth: 2}\n" + holes(HOLE))
    assert "drilling.axis_point.arc is 13.4400 in, more than half round the ball, 13.4303 in" in (
        told
    )


@pytest.mark.parametrize("towards", ["[4.275, 0, 0]", "[0, 5, 0]", "[3, 3, 3]"])
def test_a_hole_towards_no_point_inside_is_refused(towards: str) -> None:
    told = refused(holes(f"{HOLE}, towards: {towards}"))
    assert told.startswith("x.yaml:12: drilling: hole 'thumb': 'towards' is no point inside the ba")


def test_a_hole_towards_a_point_just_inside_is_allowed() -> None:
    (hole,) = laid(holes(f"{HOLE}, towards: [4.27, 0, 0]")).holes
    assert hole.misses_mm() > 0.5 * RADIUS


def test_a_bevel_that_reaches_the_bottom_is_refused() -> None:
    shallow = swapped(HOLE, ("depth: 2.5", "depth: 0.17, bevel: 0.125"))
    assert refused(holes(shallow)) == (
        "x.yaml:12: drilling: hole 'thumb': its bevel reaches its bottom; make it deeper, or less "
        "bevelled"
    )


def test_a_bevel_just_above_the_bottom_is_allowed() -> None:
    assert laid(holes(swapped(HOLE, ("depth: 2.5", "depth: 0.175, bevel: 0.125")))).holes


def test_a_bevel_of_a_grip_hole_tells_the_line_of_that_hole() -> None:
    told = refused(
        swapped(GRIP, ("diameter: 3/4, depth: 2.5", "diameter: 1, depth: 0.1, bevel: 1/8"))
    )
    assert told.startswith("x.yaml:14: drilling: hole 'ring': its bevel reaches its bottom")


def test_all_holes_that_cannot_be_are_told_at_once() -> None:
    far = swapped(HOLE, ("6.75 in", "13.44 in"))
    other = swapped(far, ("name: thumb", "name: other"))
    assert [line[:10] for line in refused(holes(far, other)).splitlines()] == [
        "x.yaml:12:", "x.yaml:13:",
    ]  # fmt: skip
