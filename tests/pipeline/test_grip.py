"""Grips: where spans and bridge put the holes, which way pitches lean, and grips that cannot be."""

from __future__ import annotations

from dataclasses import replace
from math import asin, atan2, cos, pi, sin

import numpy as np
import pytest

from pipeline.drilling import Drill, Grip, GripHole, GripVent, Hand, Place
from pipeline.errors import BallError
from pipeline.grip import (
    CENTRE,
    edge_rad,
    frame_of_holes,
    mirrored,
    on_surface,
    placed_grip,
)
from pipeline.holes import Hole
from tests.pipeline.drilled_text import GRIP, RADIUS, drilled, swapped

Array = np.ndarray
FINGER = GripHole(Drill(20.0, 50.0), span_mm=108.0)
THUMB = GripHole(Drill(26.0, 55.0))
PLAIN = Grip(FINGER, FINGER, 7.0, THUMB)
HANDS: list[Hand] = ["right", "left"]


def pitched(name: str, forward: float = 0.0, right: float = 0.0) -> Grip:
    """A grip with one pitched hole."""
    if name == "thumb":
        return replace(PLAIN, thumb=replace(THUMB, forward_mm=forward, right_mm=right))
    finger = replace(FINGER, forward_mm=forward, right_mm=right)
    return replace(PLAIN, middle=finger) if name == "middle" else replace(PLAIN, ring=finger)


def arc(a: Array, b: Array) -> float:
    """Of two points of the surface, by the chord."""
    return float(2.0 * RADIUS * asin(np.linalg.norm(a - b) / 2.0 / RADIUS))


def share(diameter_mm: float) -> float:
    """From where an upright hole's axis meets the surface to its edge."""
    return RADIUS * asin(diameter_mm / 2.0 / RADIUS)


def placed(grip: Grip, hand: Hand = "right") -> dict[str, Hole]:
    return {hole.name: hole for hole in placed_grip(grip, hand, RADIUS, "x.yaml:{}".format).holes}


def refused(grip: Grip) -> str:
    with pytest.raises(BallError) as told:
        placed(grip)
    return str(told.value)


def nearest(hole: Hole) -> Array:
    """The point of its axis that is nearest to the ball's centre."""
    return np.asarray(hole.entry_mm - (hole.entry_mm @ hole.way) * hole.way)


def test_over_then_up() -> None:
    over, up = 20.0 / RADIUS, 30.0 / RADIUS
    due = cos(up) * cos(over), cos(up) * sin(over), sin(up)
    assert on_surface(Place(20.0, 30.0), RADIUS) == pytest.approx(due)


def test_a_right_hand_is_not_mirrored() -> None:
    assert mirrored(np.array([1.0, 2.0, 3.0]), "right").tolist() == [1.0, 2.0, 3.0]


def test_a_left_hand_is_mirrored_in_its_centreline() -> None:
    assert mirrored(np.array([1.0, 2.0, 3.0]), "left").tolist() == [1.0, -2.0, 3.0]


def test_holes_come_in_their_order_with_their_uses() -> None:
    vent = GripVent(Place(10.0, 0.0), "thumb", 20.0, 3.0)
    found = placed(replace(PLAIN, vents=(vent, vent)))
    assert {name: hole.use for name, hole in found.items()} == {
        "middle": "finger", "ring": "finger", "thumb": "thumb", "vent 1": "vent", "vent 2": "vent",
    }  # fmt: skip


@pytest.mark.parametrize("name", ["middle", "ring"])
def test_spans_run_from_edge_to_edge(name: str) -> None:
    found = placed(replace(PLAIN, ring=GripHole(Drill(22.0, 50.0), span_mm=104.0)))
    finger, span = found[name], {"middle": 108.0, "ring": 104.0}[name]
    edges = share(26.0) + share(finger.drill.diameter_mm)
    assert arc(found["thumb"].entry_mm, finger.entry_mm) - edges == pytest.approx(span)


def test_the_bridge_runs_from_edge_to_edge() -> None:
    found = placed(PLAIN)
    apart = arc(found["middle"].entry_mm, found["ring"].entry_mm)
    assert apart - 2.0 * share(20.0) == pytest.approx(7.0)


def test_the_thumb_stands_on_the_centreline_half_a_mean_span_from_the_centre() -> None:
    entry = placed(PLAIN)["thumb"].entry_mm
    assert entry[1] == 0.0
    assert -RADIUS * atan2(entry[2], entry[0]) - share(26.0) == pytest.approx(54.0)


def test_equal_fingers_stand_mirrored_in_the_centreline() -> None:
    found = placed(PLAIN)
    assert found["middle"].entry_mm * [1, -1, 1] == pytest.approx(found["ring"].entry_mm)


@pytest.mark.parametrize(("hand", "sign"), [("right", 1.0), ("left", -1.0)])
def test_the_ring_finger_is_on_its_own_side(hand: Hand, sign: float) -> None:
    found = placed(PLAIN, hand)
    assert sign * found["ring"].entry_mm[1] > 5.0
    assert sign * found["middle"].entry_mm[1] < -5.0


def test_without_pitches_every_axis_goes_through_the_centre() -> None:
    assert max(hole.misses_mm() for hole in placed(PLAIN).values()) < 1e-12 * RADIUS


@pytest.mark.parametrize("forward", [6.0, -6.0])
@pytest.mark.parametrize("name", ["middle", "thumb"])
def test_a_forward_pitch_leans_towards_the_grip_centre(name: str, forward: float) -> None:
    found = placed(pitched(name, forward=forward))[name]
    at = found.entry_mm / RADIUS
    towards = CENTRE - (CENTRE @ at) * at
    assert nearest(found) @ towards / np.linalg.norm(towards) == pytest.approx(
        forward * found.way @ -at
    )


@pytest.mark.parametrize("hand", HANDS)
@pytest.mark.parametrize("name", ["ring", "thumb"])
def test_a_pitch_to_the_right_is_to_the_right_for_either_hand(name: str, hand: Hand) -> None:
    found = placed(pitched(name, right=5.0), hand)[name]
    assert found.misses_mm() == pytest.approx(5.0)
    assert nearest(found)[1] > 4.5


def test_both_pitches_together_miss_by_their_hypotenuse() -> None:
    grip = replace(PLAIN, thumb=replace(THUMB, forward_mm=3.0, right_mm=-4.0))
    assert placed(grip)["thumb"].misses_mm() == pytest.approx(5.0)


def test_a_grip_without_thumb_has_none() -> None:
    assert list(placed(replace(PLAIN, thumb=None))) == ["middle", "ring"]


@pytest.mark.parametrize(("name", "span"), [("middle", 108.0), ("ring", 104.0)])
def test_spans_without_a_thumb_start_at_the_grip_centre(name: str, span: float) -> None:
    grip = replace(PLAIN, ring=replace(FINGER, span_mm=104.0), thumb=None)
    entry = placed(grip)[name].entry_mm
    assert arc(RADIUS * CENTRE, entry) - share(20.0) == pytest.approx(span)


@pytest.mark.parametrize(("hand", "sign"), [("right", 1.0), ("left", -1.0)])
def test_a_vent_enters_where_it_is_asked_to(hand: Hand, sign: float) -> None:
    grip = replace(PLAIN, vents=(GripVent(Place(12.0, -25.0), "thumb", 30.0, 3.0),))
    entry = placed(grip, hand)["vent 1"].entry_mm
    over, up = 12.0 / RADIUS, -25.0 / RADIUS
    due = cos(up) * cos(over), sign * cos(up) * sin(over), sin(up)
    assert entry / RADIUS == pytest.approx(due)


@pytest.mark.parametrize("into", ["middle", "ring", "thumb"])
@pytest.mark.parametrize("hand", HANDS)
def test_a_vent_ends_on_the_axis_of_its_hole(into: str, hand: Hand) -> None:
    grip = replace(
        PLAIN,
        middle=replace(FINGER, right_mm=4.0),
        vents=(GripVent(Place(12.0, -5.0), into, 30.0, 3.0),),
    )
    found = placed(grip, hand)
    assert found["vent 1"].bottom_mm() == pytest.approx(
        found[into].entry_mm + 30.0 * found[into].way
    )


def test_a_vent_has_its_own_diameter() -> None:
    grip = replace(PLAIN, vents=(GripVent(Place(12.0, -5.0), "ring", 30.0, 3.0),))
    assert placed(grip)["vent 1"].drill.diameter_mm == 3.0


@pytest.mark.parametrize("depth", [50.0, 60.0])
def test_a_vent_no_deeper_than_its_hole_is_refused(depth: float) -> None:
    told = refused(replace(PLAIN, vents=(GripVent(Place(12.0, -5.0), "ring", depth, 3.0),)))
    assert told.startswith("x.yaml:")
    assert f"vents: vent 1 meets ring {depth / 25.4:.3f} in deep, but that is only 1.969 in" in told


@pytest.mark.parametrize("name", ["middle", "ring", "thumb"])
def test_a_pitch_of_more_than_half_the_radius_is_refused(name: str) -> None:
    told = refused(pitched(name, right=0.51 * RADIUS))
    assert f"drilling.grip.{name}: its axis misses the ball's centre by 2.180 in; at most" in told
    assert "2.138 in, half the radius" in told


def test_pitches_count_together() -> None:
    hole = replace(THUMB, forward_mm=-0.4 * RADIUS, right_mm=0.4 * RADIUS)
    assert "misses the ball's centre by 2.418 in" in refused(replace(PLAIN, thumb=hole))


def test_a_pitch_of_half_the_radius_is_allowed() -> None:
    hole = replace(THUMB, right_mm=0.5 * RADIUS)
    assert placed(replace(PLAIN, thumb=hole))["thumb"].misses_mm() == pytest.approx(RADIUS / 2.0)


@pytest.mark.parametrize(
    ("grip", "longest"),
    [
        (replace(PLAIN, bridge_mm=300.0), "middle to ring"),
        (replace(PLAIN, ring=replace(FINGER, span_mm=140.0)), "thumb to ring"),
        (replace(PLAIN, middle=replace(FINGER, span_mm=140.0)), "thumb to middle"),
        (replace(PLAIN, middle=replace(FINGER, span_mm=140.0), thumb=None), "thumb to middle"),
    ],
)
def test_spans_and_bridge_that_make_no_triangle_are_refused(grip: Grip, longest: str) -> None:
    told = refused(grip)
    assert "drilling.grip: the triangle of thumb, middle and ring does not close" in told
    assert f"and {longest} is no less than the other two together" in told


def test_the_sides_of_that_triangle_are_told() -> None:
    told = refused(replace(PLAIN, bridge_mm=300.0))
    assert "thumb to middle 5.157 in, thumb to ring 5.157 in, middle to ring 12.598 in" in told


def test_a_span_of_a_quarter_round_the_ball_is_refused() -> None:
    far = replace(FINGER, span_mm=pi / 2.0 * RADIUS)
    told = refused(replace(PLAIN, middle=far, ring=far))
    assert "more than a quarter round the ball" in told


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        ("left: 1/8", "left: 3", 16),
        ("reverse: 1/8", "reverse: 3", 14),
        ("at_depth: 1.5", "at_depth: 3", 17),
    ],
)
def test_a_refusal_tells_the_line_of_the_hole(old: str, new: str, line: int) -> None:
    with pytest.raises(BallError) as told:
        drilled(swapped(GRIP, (old, new)), file="x.yaml")
    assert str(told.value).startswith(f"x.yaml:{line}: ")


def upright(name: str, up_rad: float, diameter: float = 20.0) -> Hole:
    """A hole on the centreline y = 0, so far above +X."""
    at = np.array([cos(up_rad), 0.0, sin(up_rad)])
    use = "thumb" if name == "thumb" else "finger"
    return Hole(name, use, RADIUS * at, -at, Drill(diameter, 50.0))  # type: ignore[arg-type]


def test_thumb_and_finger_of_one_size_have_their_centre_halfway() -> None:
    frame = frame_of_holes([upright("thumb", -0.5), upright("middle", 0.5)], RADIUS)
    assert frame == pytest.approx(np.eye(3), abs=1e-9)


def test_a_wider_thumb_moves_the_centre_up_by_half_of_what_it_is_wider() -> None:
    frame = frame_of_holes([upright("thumb", -0.5, 30.0), upright("middle", 0.5)], RADIUS)
    assert frame is not None
    due = (asin(15.0 / RADIUS) - asin(10.0 / RADIUS)) / 2.0
    assert atan2(frame[2, 0], frame[0, 0]) == pytest.approx(due)


def test_the_right_is_to_the_right_of_up_seen_from_outside() -> None:
    frame = frame_of_holes([upright("thumb", 0.5), upright("middle", -0.5)], RADIUS)
    assert frame == pytest.approx(np.diag([1.0, -1.0, -1.0]), abs=1e-9)


def test_the_holes_of_a_grip_make_its_own_frame() -> None:
    found = placed_grip(PLAIN, "right", RADIUS, "x:{}".format)
    assert frame_of_holes(found.holes, RADIUS) == pytest.approx(np.eye(3), abs=1e-3)


@pytest.mark.parametrize(
    "holes",
    [
        [],
        [upright("middle", 0.5), upright("ring", 0.6)],
        [upright("thumb", -0.5)],
        [upright("thumb", -0.5), upright("thumb", -0.7), upright("middle", 0.5)],
        [upright("thumb", 0.5), upright("middle", 0.5)],
    ],
    ids=["none", "no thumb", "no finger", "two thumbs", "on top of one another"],
)
def test_other_holes_make_no_frame(holes: list[Hole]) -> None:
    assert frame_of_holes(holes, RADIUS) is None


def test_the_edge_of_an_upright_hole() -> None:
    found = edge_rad(CENTRE, -CENTRE, 0.1, np.array([0.0, 0.6, 0.8]))
    assert found == pytest.approx(asin(0.1))
