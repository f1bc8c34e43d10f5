"""A drilled ball let go about its axis point: where it starts, which way it wanders, its mirror."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pipeline.drilled import Drilled
from pipeline.rolling import REVOLUTIONS, let_go, same_rg
from pipeline.shift import rg_about_mm
from tests.pipeline.drilled_text import (
    BARE,
    GRIP,
    HOLE,
    MARKED,
    RADIUS,
    ROUND,
    UNEVEN,
    drilled,
    holes,
    swapped,
)

MIRROR = np.array([1.0, -1.0, 1.0])


def left(drilling: str) -> str:
    return swapped(drilling, ("hand: right", "hand: left"))


@pytest.fixture(scope="module")
def right_hand() -> Drilled:
    return drilled(GRIP)


def test_a_ball_without_an_axis_point_is_not_let_go() -> None:
    assert let_go(drilled(holes(HOLE))) is None


def test_a_ball_without_a_hand_is_not_let_go(right_hand: Drilled) -> None:
    found = replace(right_hand, laid=replace(right_hand.laid, hand=None))
    assert let_go(found) is None


@pytest.mark.parametrize(
    ("drilling", "core"),
    [(GRIP, ROUND), (left(GRIP), ROUND), (MARKED, UNEVEN), (left(MARKED), UNEVEN)],
)
def test_it_starts_at_the_axis_point(drilling: str, core: str) -> None:
    found = drilled(drilling, core)
    flare, axis = let_go(found), found.laid.axis_point
    assert flare is not None
    assert axis is not None
    assert flare.axis_points_mm[0] == pytest.approx(RADIUS * axis)
    assert flare.path_mm[0] == pytest.approx(RADIUS * axis)


@pytest.mark.parametrize("hand", ["right", "left"])
def test_it_first_goes_where_euler_s_equations_send_it(hand: str) -> None:
    """A right hand's ball is seen to turn counter-clockwise about its axis point n: w = n."""
    found = drilled(swapped(MARKED, ("hand: right", f"hand: {hand}")), UNEVEN)
    flare, axis = let_go(found), found.laid.axis_point
    assert flare is not None
    assert axis is not None
    inertia = found.properties.inertia_g_mm2
    w = axis if hand == "right" else -axis
    change = np.linalg.solve(inertia, np.cross(inertia @ w, w))
    due = change if hand == "right" else -change
    due -= (due @ axis) * axis
    step = flare.path_mm[1] - flare.path_mm[0]
    assert step @ due / np.linalg.norm(step) / np.linalg.norm(due) > 0.99


def test_the_track_leaves_the_grip_as_the_axis_comes_nearer(right_hand: Drilled) -> None:
    """Rings fan out away from the holes (common practice, no source)."""
    flare, centre = let_go(right_hand), right_hand.laid.grip_centre
    assert flare is not None
    away = np.arccos(flare.axis_points_mm @ centre / RADIUS)
    assert (np.diff(away) < 0.0).all()


def test_a_left_hand_s_ball_wanders_in_the_mirror() -> None:
    flare, other = let_go(drilled(BARE)), let_go(drilled(left(BARE)))
    assert flare is not None
    assert other is not None
    assert other.axis_points_mm == pytest.approx(flare.axis_points_mm * MIRROR, abs=1e-6)


def test_a_left_hand_s_flare_is_as_wide() -> None:
    flare, other = let_go(drilled(BARE)), let_go(drilled(left(BARE)))
    assert flare is not None
    assert other is not None
    assert other.first_step_mm == pytest.approx(flare.first_step_mm, rel=1e-8)


def test_the_first_ring_lies_about_the_axis_point(right_hand: Drilled) -> None:
    flare, axis = let_go(right_hand), right_hand.laid.axis_point
    assert flare is not None
    assert axis is not None
    assert flare.rings_mm[0] @ axis == pytest.approx(
        np.full(len(flare.rings_mm[0]), RADIUS * np.cos(flare.track_rad))
    )


def test_it_is_followed_for_the_usual_revolutions(right_hand: Drilled) -> None:
    flare = let_go(right_hand)
    assert flare is not None
    assert len(flare.steps_mm) == REVOLUTIONS == 8


def test_it_may_be_followed_for_fewer(right_hand: Drilled) -> None:
    flare = let_go(right_hand, 3)
    assert flare is not None
    assert len(flare.steps_mm) == 3


def test_curves_of_the_same_rg_have_that_of_the_axis_point(right_hand: Drilled) -> None:
    axis = right_hand.laid.axis_point
    assert axis is not None
    curves = same_rg(right_hand)
    assert curves
    found = [rg_about_mm(right_hand, p / RADIUS) for curve in curves for p in curve[::7]]
    assert found == pytest.approx([rg_about_mm(right_hand, axis)] * len(found), rel=1e-9)


def test_one_of_those_curves_goes_through_the_axis_point(right_hand: Drilled) -> None:
    axis = right_hand.laid.axis_point
    assert axis is not None
    apart = [np.linalg.norm(curve - RADIUS * axis, axis=1).min() for curve in same_rg(right_hand)]
    assert min(apart) < 3.0


def test_without_an_axis_point_there_are_no_curves() -> None:
    assert same_rg(drilled(holes(HOLE))) == ()


def test_a_grip_laid_out_by_places_without_axis_point_is_not_let_go() -> None:
    text = swapped(
        BARE,
        ("  axis_point: {over: 5, up: 0.5}\n", ""),
        ("pin_to_axis_point: 4, pin_to_val: 2, pin: above", "pin_at: {over: 1, up: 2}"),
    )
    assert let_go(drilled(text)) is None
