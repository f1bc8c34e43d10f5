"""What a driller reads off the placed holes is what was asked: pitches, spans, bridge."""

from __future__ import annotations

from dataclasses import replace
from math import asin, pi

import numpy as np
import pytest

from pipeline.drilled import Drilled
from pipeline.driller import Gap, bridges_of, gap_mm, pitch_of, spans_of
from pipeline.drilling import Drill, Hand
from pipeline.holes import Hole
from pipeline.sphere import rotation_to
from tests.pipeline.drilled_text import (
    BARE,
    GRIP,
    HOLE,
    PLAIN,
    RADIUS,
    THUMBLESS,
    drilled,
    holes,
    swapped,
)

HANDS: list[Hand] = ["right", "left"]
NAMES = ["middle", "ring", "thumb"]
ASKED = {  # forward and right, inches; less than zero is reverse and left
    "forward": (0.25, 0.0),
    "reverse": (-0.375, 0.0),
    "right": (0.0, 0.125),
    "left": (0.0, -0.3125),
    "forward and left": (0.5, -0.25),
    "reverse and right": (-0.125, 0.4375),
    "none": (0.0, 0.0),
}
LINES = {
    "middle": "middle: {span: 4.25, diameter: 0.8, depth: 2",
    "ring": "ring: {span: 4.25, diameter: 0.8, depth: 2",
    "thumb": "thumb: {diameter: 1, depth: 2",
}


def pitched(name: str, hand: Hand, forward: float, right: float) -> Drilled:
    """A grip of which one hole is pitched by so many inches."""
    words = [f"forward: {forward}" if forward >= 0.0 else f"reverse: {-forward}"]
    words.append(f"right: {right}" if right >= 0.0 else f"left: {-right}")
    line = LINES[name]
    return drilled(
        swapped(BARE, ("hand: right", f"hand: {hand}"), (line, f"{line}, {', '.join(words)}")),
        PLAIN,
    )


def handed(text: str, hand: Hand) -> Drilled:
    return drilled(swapped(text, ("hand: right", f"hand: {hand}")), PLAIN)


def along(gaps: list[Gap]) -> dict[tuple[str, str], float]:
    return {(g.first, g.second): g.along_mm for g in gaps}


@pytest.mark.parametrize("hand", HANDS)
@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("asked", ASKED)
def test_the_pitch_that_is_measured_is_the_one_that_was_asked(
    asked: str, name: str, hand: Hand
) -> None:
    found = pitched(name, hand, *ASKED[asked])
    (hole,) = (h for h in found.holes if h.name == name)
    assert found.laid.frame is not None
    pitch = pitch_of(hole, found.laid.frame)
    due = [25.4 * d for d in ASKED[asked]]
    assert [pitch.forward_mm, pitch.right_mm] == pytest.approx(due, abs=1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_a_pitch_does_not_depend_on_how_the_ball_is_turned(name: str) -> None:
    found = drilled(GRIP)
    assert found.laid.frame is not None
    (hole,) = (h for h in found.holes if h.name == name)
    x, y, _ = np.eye(3)
    turn = rotation_to(x, y, np.array([0.6, 0.0, 0.8]), np.array([0.0, -1.0, 0.0]))
    turned = pitch_of(hole.turned(turn), turn @ found.laid.frame)
    due = pitch_of(hole, found.laid.frame)
    assert (turned.forward_mm, turned.right_mm) == pytest.approx(
        (due.forward_mm, due.right_mm), abs=1e-9
    )


@pytest.mark.parametrize("hand", HANDS)
def test_spans_are_those_that_were_asked(hand: Hand) -> None:
    assert along(spans_of(handed(GRIP, hand))) == {
        ("thumb", "middle"): pytest.approx(4.375 * 25.4, abs=1e-9),
        ("thumb", "ring"): pytest.approx(4.3125 * 25.4, abs=1e-9),
    }


@pytest.mark.parametrize("hand", HANDS)
def test_the_bridge_is_the_one_that_was_asked(hand: Hand) -> None:
    (found,) = bridges_of(handed(GRIP, hand))
    assert found.along_mm == pytest.approx(6.35, abs=1e-9)
    assert {found.first, found.second} == {"middle", "ring"}


def test_a_grip_without_a_thumb_hole_has_no_span_between_holes() -> None:
    assert spans_of(drilled(THUMBLESS, PLAIN)) == []


def test_a_grip_without_a_thumb_hole_has_its_bridge() -> None:
    (found,) = bridges_of(drilled(THUMBLESS, PLAIN))
    assert found.along_mm == pytest.approx(6.35, abs=1e-9)


def test_fingers_that_stand_next_to_each_other_have_a_bridge_between_them() -> None:
    """Of four raw holes in the order of their names: not that of the file."""
    thumb = swapped(HOLE, ("6.75 in, azimuth: 30 deg", "10, azimuth: 0"))
    fingers = [
        f"name: f{a}, use: finger, at: {{arc: 6, azimuth: {a}}}, diameter: 0.5, depth: 1"
        for a in (15, 315, 45, 345)
    ]
    found = bridges_of(drilled(holes(thumb, *fingers), PLAIN))
    pairs = [(g.first, g.second) for g in found]
    assert pairs in (
        [("f315", "f345"), ("f345", "f15"), ("f15", "f45")],
        [("f45", "f15"), ("f15", "f345"), ("f345", "f315")],
    )


def test_two_thumb_holes_leave_no_one_span() -> None:
    finger = swapped(HOLE, ("name: thumb, use: thumb", "name: f, use: finger"), ("30", "90"))
    other = swapped(HOLE, ("name: thumb", "name: other"), ("30", "150"))
    assert spans_of(drilled(holes(HOLE, finger, other), PLAIN)) == []


def test_a_gap_between_upright_holes_is_the_arc_less_both_edges() -> None:
    a, b = np.array([RADIUS, 0.0, 0.0]), np.array([0.0, RADIUS, 0.0])
    one, other = (Hole(n, "finger", p, -p / RADIUS, Drill(d, 50.0)) for n, p, d in (
        ("a", a, 20.0), ("b", b, 30.0),
    ))  # fmt: skip
    due = RADIUS * (pi / 2.0 - asin(10.0 / RADIUS) - asin(15.0 / RADIUS))
    assert gap_mm(one, other) == pytest.approx(due, abs=1e-9)


def test_a_gap_is_the_same_from_either_side() -> None:
    found = {h.name: h for h in drilled(GRIP, PLAIN).holes}
    assert gap_mm(found["thumb"], found["ring"]) == pytest.approx(
        gap_mm(found["ring"], found["thumb"]), abs=1e-9
    )


def test_a_gap_ends_on_the_wall_of_the_bore() -> None:
    """Where the span ends, that point is as far from the finger's axis as its bore is wide."""
    found = {h.name: h for h in drilled(GRIP, PLAIN).holes}
    ring, thumb = found["ring"], replace(found["thumb"], drill=Drill(1e-6, 50.0))
    at = thumb.entry_mm / RADIUS
    towards = ring.entry_mm / RADIUS - (ring.entry_mm / RADIUS @ at) * at
    arc = gap_mm(thumb, ring) / RADIUS
    end = RADIUS * (np.cos(arc) * at + np.sin(arc) * towards / np.linalg.norm(towards))
    off = np.linalg.norm(np.cross(end - ring.entry_mm, ring.way))
    assert off == pytest.approx(ring.drill.diameter_mm / 2.0, abs=1e-5)
