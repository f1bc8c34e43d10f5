"""The drilling of a design: grip, layout and axis point, read and refused."""

from __future__ import annotations

import pytest

from pipeline.drilling import (
    ByDistances,
    ByPlaces,
    Drill,
    Grip,
    GripHole,
    GripVent,
    Insert,
    Layout,
    Place,
    SurfacePoint,
)
from tests.pipeline.drilled_text import BARE, GRIP, HOLE, MARKED, asked, holes, refusals, swapped

DISTANCES = "pin_to_axis_point: 4, pin_to_val: 2, pin: above"
THUMB = "{diameter: 1, depth: 2.75, bottom: {point: 118}, reverse: 3/8, left: 1/8}"
AXIS = "  axis_point: {over: 5, up: 1/2}\n"
LENGTH = "a length in in, mm, cm, such as '3.4 in', '4 5/8 in' or '86 mm'"


def grip(*changes: tuple[str, str]) -> Grip:
    found = asked(swapped(GRIP, *changes)).grip
    assert found is not None
    return found


def layout(text: str) -> Layout:
    found = asked(swapped(GRIP, (DISTANCES, text))).layout
    assert found is not None
    return found


def test_a_finger_hole_with_all_that_it_is_drilled_with() -> None:
    assert grip().middle == GripHole(
        Drill(19.84375, 63.5, None, 1.5875, Insert(24.60625, 31.75, 1.1)), 0.0, 0.0, 111.125, 13
    )


def test_reverse_and_left_are_less_than_zero() -> None:
    thumb = grip().thumb
    assert thumb is not None
    assert (thumb.forward_mm, thumb.right_mm) == pytest.approx((-9.525, -3.175))


def test_forward_and_right_are_more_than_zero() -> None:
    thumb = grip(("reverse: 3/8", "forward: 3/8"), ("left: 1/8", "right: 1/8")).thumb
    assert thumb is not None
    assert (thumb.forward_mm, thumb.right_mm) == pytest.approx((9.525, 3.175))


def test_the_bridge() -> None:
    assert grip().bridge_mm == pytest.approx(6.35)


def test_a_grip_without_thumb() -> None:
    assert grip((f"thumb: {THUMB}", "thumb: none"), ("into: thumb", "into: ring")).thumb is None


def test_a_vent() -> None:
    assert grip().vents == (GripVent(Place(12.7, -25.4), "thumb", pytest.approx(38.1), 3.175, 17),)


def test_a_grip_may_have_no_vents() -> None:
    found = asked(BARE).grip
    assert found is not None
    assert found.vents == ()


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("{over: 5, up: 1/2}", Place(127.0, 12.7)),
        ("{over: 5, down: 1/2}", Place(127.0, -12.7)),
        ("{over: -5}", Place(-127.0, 0.0)),
    ],
)
def test_an_axis_point_beside_a_grip(text: str, place: Place) -> None:
    assert asked(swapped(GRIP, ("{over: 5, up: 1/2}", text))).axis_point == place


def test_an_axis_point_beside_raw_holes() -> None:
    found = asked("  hand: left\n  axis_point: {arc: 5, azimuth: 20}\n" + holes(HOLE))
    assert (found.axis_point, found.hand) == (SurfacePoint(127.0, 20.0), "left")


def test_a_layout_by_distances() -> None:
    assert layout(DISTANCES) == ByDistances(101.6, 50.8, True, None, None, 19)


def test_a_layout_by_distances_with_a_mark() -> None:
    assert asked(MARKED).layout == ByDistances(101.6, 50.8, True, 114.3, "below", 19)


def test_a_pin_below_and_beyond_the_line() -> None:
    assert layout("pin_to_axis_point: 4, pin_to_val: -2, pin: below") == ByDistances(
        101.6, -50.8, False, None, None, 19
    )


def test_a_layout_by_places() -> None:
    found = layout("pin_at: {over: 1, up: 2}, mark_at: {over: 3, down: 2}")
    assert found == ByPlaces(Place(25.4, 50.8), Place(76.19999999999999, -50.8), 19)


def test_a_layout_by_places_needs_no_axis_point() -> None:
    text = swapped(GRIP, (AXIS, ""), (DISTANCES, "pin_at: {over: 1}"))
    assert asked(text).axis_point is None


@pytest.mark.parametrize("more", ["", "  house_ball: no\n"])
def test_a_ball_is_no_house_ball_unless_it_says_so(more: str) -> None:
    assert asked(GRIP + more).house_ball is False


def test_a_house_ball() -> None:
    assert asked(GRIP + "  house_ball: yes\n").house_ball


def test_raw_holes_beside_a_grip() -> None:
    found = asked(GRIP + holes(swapped(HOLE, ("name: thumb", "name: other"))))
    assert (found.grip is not None, [hole.name for hole in found.holes]) == (True, ["other"])


def test_raw_holes_need_no_hand() -> None:
    assert asked(holes(HOLE)).hand is None


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (
            "bridge: 0.25",
            "brige: 0.25",
            "15: drilling.grip.brige: read 'brige'; allowed: keys middle, ring, bridge, thumb, "
            "vents; did you mean 'bridge'?",
        ),
        (
            "bridge: 0.25",
            "bridge: 0",
            f"15: drilling.grip.bridge: read '0': it is not greater than 0; allowed: {LENGTH}",
        ),
        ("    bridge: 0.25\n", "", "13: drilling.grip.bridge: nothing is there; allowed: a length"),
        (
            "diameter: 3/4",
            "diameter: 3/4 deg",
            "14: drilling.grip.ring.diameter: read '3/4 deg': 'deg' is no unit of length; allowed",
        ),
        (
            "diameter: 3/4",
            "diameter: -3/4",
            "14: drilling.grip.ring.diameter: read '-3/4': it is not greater than 0; allowed: a l",
        ),
        (
            "span: 4 3/8",
            "span: 0",
            "13: drilling.grip.middle.span: read '0': it is not greater than 0; allowed: a length",
        ),
        ("span: 4 3/8, ", "", "13: drilling.grip.middle.span: nothing is there; allowed: a length"),
        (
            f"thumb: {THUMB}",
            "thumb: {span: 4, diameter: 1, depth: 2}",
            "16: drilling.grip.thumb.span: read 'span'; allowed: keys diameter, depth, bottom, b",
        ),
        (
            f"thumb: {THUMB}",
            "thumb: no",
            "16: drilling.grip.thumb: read 'no'; allowed: none, or keys diameter, depth",
        ),
        (
            "point: 118",
            "point: 50",
            "16: drilling.grip.thumb.bottom.point: read '50': it is less than 60; allowed: ",
        ),
        (
            "bore: 31/32",
            "bore: 25/32",
            "13: drilling.grip.middle.insert.bore: read '25/32'; allowed: wider than the hole's d",
        ),
        (
            "reverse: 1/8",
            "reverse: 1/8, forward: 0",
            "14: drilling.grip.ring.reverse: read '1/8'; allowed: one of forward and reverse",
        ),
        (
            "left: 1/8",
            "left: 1/8, right: 1/8",
            "16: drilling.grip.thumb.left: read '1/8'; allowed: one of right and left",
        ),
        (
            "down: 1}",
            "down: 1, up: 2}",
            "17: drilling.grip.vents[0].at.down: read '1'; allowed: one of up and down",
        ),
        (
            "into: thumb",
            "into: thumbs",
            "17: drilling.grip.vents[0].into: read 'thumbs'; allowed: middle, ring, thumb; did y",
        ),
        (
            "at_depth: 1.5",
            "at_depth: 0",
            "17: drilling.grip.vents[0].at_depth: read '0': it is not greater than 0; allowed",
        ),
        (
            "at_depth: 1.5, diameter: 1/8",
            "at_depth: 1.5, diameter: -1/8",
            "17: drilling.grip.vents[0].diameter: read '-1/8': it is not greater than 0; allowed",
        ),
        (
            f"thumb: {THUMB}",
            "thumb: none",
            "17: drilling.grip.vents: read a list of 1; allowed: vents into holes that there are",
        ),
        (
            "up: 1/2",
            "up: 1/2, down: 1",
            "18: drilling.axis_point.down: read '1'; allowed: one of up and down",
        ),
        (
            "{over: 5, up: 1/2}",
            "{up: 1/2}",
            "18: drilling.axis_point: read keys up; allowed: {over, up or down}, or {arc, azimuth}",
        ),
        (
            "{over: 5, up: 1/2}",
            "{arc: 5}",
            "18: drilling.axis_point: read keys arc; allowed: {over, up or down}, or {arc, azimut",
        ),
        (
            "{over: 5, up: 1/2}",
            "{over: 5, arc: 2, azimuth: 3}",
            "18: drilling.axis_point: read keys over, arc, azimuth; allowed: {over, up or down}, ",
        ),
        (
            "{over: 5, up: 1/2}",
            "{arc: 5, azimuth: 20}",
            "18: drilling.axis_point: read keys arc, azimuth; allowed: {over, up or down} beside ",
        ),
        (AXIS, "", "11: drilling.axis_point: nothing is there; allowed: "),
        (
            "  hand: right\n",
            "",
            "11: drilling.hand: nothing is there; allowed: right, left; a grip needs it",
        ),
        (
            "hand: right",
            "hand: rigt",
            "11: drilling.hand: read 'rigt'; allowed: right, left; did you mean 'right'?",
        ),
        (
            f"  layout: {{{DISTANCES}}}\n",
            "",
            "11: drilling.layout: nothing is there; allowed: keys pin_to_axis_point, pin_to_val,",
        ),
        (
            "pin: above",
            "pin: abov",
            "19: drilling.layout.pin: read 'abov'; allowed: above, below; did you mean 'above'?",
        ),
        (
            "pin_to_axis_point: 4",
            "pin_to_axis_point: 0",
            "19: drilling.layout.pin_to_axis_point: read '0': it is not greater than 0; allowed",
        ),
        (
            "pin: above",
            "pin: above, pin_at: {over: 1, up: 2}",
            "19: drilling.layout.pin_at: read keys over, up; allowed: distances "
            "(pin_to_axis_point, pin_to_val, pin) or places, not both; the two ways do not mix",
        ),
        (
            "pin: above",
            "pin: above, mark_at: {over: 1}",
            "19: drilling.layout.mark_at: read keys over; allowed: distances",
        ),
        (", pin: above", "", "19: drilling.layout.pin: nothing is there; allowed: pin_to_axis_po"),
        (", pin_to_val: 2", "", "19: drilling.layout.pin_to_val: nothing is there; allowed: pin_"),
        (
            "pin_to_axis_point: 4, ",
            "",
            "19: drilling.layout.pin_to_axis_point: nothing is there; allowed: pin_to_axis_point,",
        ),
        (
            DISTANCES,
            "",
            "19: drilling.layout.pin_to_axis_point: nothing is there; allowed: pin_to_axis_point,",
        ),
        (
            "pin: above",
            "pin: above, mark: below",
            "19: drilling.layout.mark_to_axis_point: nothing is there; allowed: mark_to_axis_poin",
        ),
        (
            "pin: above",
            "pin: above, mark_to_axis_point: 4.5",
            "19: drilling.layout.mark: nothing is there; allowed: mark_to_axis_point and mark tog",
        ),
        (
            DISTANCES,
            "mark_at: {over: 1}",
            "19: drilling.layout.pin_at: nothing is there; allowed: the pin's place beside the m",
        ),
        (
            DISTANCES,
            "pin_at: {up: 2}",
            "19: drilling.layout.pin_at.over: nothing is there; allowed: a length",
        ),
    ],
)
def test_refused_with_place_and_what_is_allowed(old: str, new: str, says: str) -> None:
    (told,) = refusals(swapped(GRIP, (old, new)))
    assert told.startswith(f"x.yaml:{says}")


def test_a_wrong_word_for_a_house_ball_is_refused() -> None:
    (told,) = refusals(GRIP + "  house_ball: true\n")
    assert told == "x.yaml:20: drilling.house_ball: read 'true'; allowed: yes, no"


def test_an_unknown_key_of_the_drilling_is_refused_with_the_nearest() -> None:
    (told,) = refusals(GRIP + "  house_bal: yes\n")
    assert told.startswith("x.yaml:20: drilling.house_bal: read 'house_bal'; allowed: keys hand, ")
    assert told.endswith("did you mean 'house_ball'?")


def test_a_drilling_has_holes_or_a_grip() -> None:
    (told,) = refusals("  hand: right\n")
    assert told == "x.yaml:11: drilling.holes: nothing is there; allowed: holes, or a grip; " + (
        "it must be there"
    )


def test_a_list_of_no_holes_is_refused() -> None:
    (told,) = refusals("  holes: []\n")
    assert told.startswith("x.yaml:11: drilling.holes: read a list of 0; allowed: a list of 1 or")


def test_two_raw_holes_of_one_name_are_refused() -> None:
    (told,) = refusals(holes(HOLE, HOLE))
    assert "drilling.holes: read a list of 2; allowed: a name of its own for each hole" in told
    assert "'thumb' names two" in told


@pytest.mark.parametrize("name", ["middle", "ring", "thumb", "vent 1"])
def test_a_raw_hole_with_the_name_of_a_grip_hole_is_refused(name: str) -> None:
    (told,) = refusals(GRIP + holes(swapped(HOLE, ("name: thumb", f"name: {name}"))))
    assert f"'{name}' names two; a grip's holes are middle, ring, thumb, vent 1, ..." in told


def test_a_raw_hole_may_be_called_thumb_beside_a_grip_without_one() -> None:
    changes = (f"thumb: {THUMB}", "thumb: none"), ("into: thumb", "into: ring")
    assert not refusals(swapped(GRIP, *changes) + holes(HOLE))


def test_a_layout_without_a_grip_is_refused() -> None:
    (told,) = refusals("  layout: {pin_at: {over: 1}}\n" + holes(HOLE))
    assert told.startswith(
        "x.yaml:11: drilling.layout: read keys pin_at; allowed: a layout beside a grip; raw holes"
    )


def test_an_axis_point_from_a_grip_centre_without_a_grip_is_refused() -> None:
    (told,) = refusals("  hand: left\n  axis_point: {over: 3}\n" + holes(HOLE))
    assert told.startswith(
        "x.yaml:12: drilling.axis_point: read keys over; allowed: {arc, azimuth} beside raw holes"
    )


def test_an_axis_point_without_a_hand_is_refused() -> None:
    (told,) = refusals("  axis_point: {arc: 3, azimuth: 2}\n" + holes(HOLE))
    assert told == (
        "x.yaml:11: drilling.hand: nothing is there; allowed: right, left; an axis point needs it"
    )
