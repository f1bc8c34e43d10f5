"""Spans, bridges, pitches and vents against trigonometry, measured on the holes drilled."""

from __future__ import annotations

from math import acos, cos, hypot, sin

import numpy as np
import pytest
from scipy.optimize import brentq

from pipeline.holes import Hole
from pipeline.sphere import stepped, tangent
from pipeline.units import MM_PER_IN
from tests.reference.laid_balls import (
    DIAMETER,
    LAID,
    RADIUS,
    SYMMETRICAL,
    THUMB,
    Array,
    drilled,
    frame_of,
    hole_of,
    over_and_up_in,
)


@pytest.fixture(params=["right", "left"])
def hand(request: pytest.FixtureRequest) -> str:
    found: str = request.param
    return found


def edge_arc(hole: Hole, towards: Array) -> float:
    """From where its axis meets the surface to its wall, along a great circle, radians."""
    at = hole.entry_mm / RADIUS
    along = towards - (towards @ at) * at
    along /= np.linalg.norm(along)

    def outside(arc: float) -> float:
        x = RADIUS * (cos(arc) * at + sin(arc) * along)
        return float(np.linalg.norm(np.cross(x - hole.entry_mm, hole.way))) - (
            hole.drill.diameter_mm / 2
        )

    return float(brentq(outside, 0.0, 0.5, xtol=1e-15))


def between_edges_in(one: Hole, other: Hole) -> float:
    a, b = one.entry_mm / RADIUS, other.entry_mm / RADIUS
    return (acos(float(a @ b)) - edge_arc(one, b) - edge_arc(other, a)) * DIAMETER / 2


SPANS = {"middle": 4 + 3 / 8, "ring": 4 + 5 / 16}


@pytest.mark.parametrize("finger", SPANS)
def test_spans_edge_to_edge(finger: str, hand: str) -> None:
    found = drilled(SYMMETRICAL, LAID, hand)
    span = between_edges_in(hole_of(found, "thumb"), hole_of(found, finger))
    assert span == pytest.approx(SPANS[finger], abs=1e-9)


@pytest.mark.parametrize("finger", SPANS)
def test_spans_from_the_palm_s_mark(finger: str, hand: str) -> None:
    """Without a thumb hole they start at the grip centre."""
    found = drilled(SYMMETRICAL, LAID, hand, "none")
    hole, centre = hole_of(found, finger), frame_of(found)[:, 0]
    span = (acos(centre @ hole.entry_mm / RADIUS) - edge_arc(hole, centre)) * DIAMETER / 2
    assert span == pytest.approx(SPANS[finger], abs=1e-9)


@pytest.mark.parametrize("thumb", [THUMB, "none"], ids=["with thumb", "without"])
def test_bridge_edge_to_edge(hand: str, thumb: str) -> None:
    found = drilled(SYMMETRICAL, LAID, hand, thumb)
    bridge = between_edges_in(hole_of(found, "middle"), hole_of(found, "ring"))
    assert bridge == pytest.approx(0.25, abs=1e-9)


def test_a_span_ends_at_the_bore_that_is_drilled(hand: str) -> None:
    """The body of the ring finger's hole holds the surface inside its edge, not beyond it."""
    found = drilled(SYMMETRICAL, LAID, hand)
    ring, thumb = hole_of(found, "ring"), hole_of(found, "thumb").entry_mm / RADIUS
    at = ring.entry_mm / RADIUS
    way, edge = tangent(at, thumb), edge_arc(ring, thumb)
    points = np.array([RADIUS * stepped(at, way, edge + d) for d in (-1e-7, 1e-7)])
    assert ring.bore().contains(points).tolist() == [True, False]


def test_the_bridge_s_middle_and_the_thumb_stand_on_the_centreline(hand: str) -> None:
    found = drilled(SYMMETRICAL, LAID, hand)
    middle, ring = hole_of(found, "middle"), hole_of(found, "ring")
    a, b = middle.entry_mm / RADIUS, ring.entry_mm / RADIUS
    half = between_edges_in(middle, ring) / DIAMETER
    bridge = stepped(a, tangent(a, b), edge_arc(middle, b) + half)
    right = frame_of(found)[:, 1]
    assert bridge @ right == pytest.approx(0.0, abs=1e-12)
    assert hole_of(found, "thumb").entry_mm @ right == pytest.approx(0.0, abs=1e-9)


def test_the_grip_centre_is_half_the_mean_span_from_the_thumb_s_edge(hand: str) -> None:
    found = drilled(SYMMETRICAL, LAID, hand)
    thumb, centre = hole_of(found, "thumb"), frame_of(found)[:, 0]
    away = (acos(thumb.entry_mm @ centre / RADIUS) - edge_arc(thumb, centre)) * DIAMETER / 2
    assert away == pytest.approx((SPANS["middle"] + SPANS["ring"]) / 4, abs=1e-9)


def test_fingers_are_up_and_the_ring_finger_to_its_hand_s_side(hand: str) -> None:
    """Seen from outside, fingers up: a right hand's ring finger is to the right of its middle."""
    found = drilled(SYMMETRICAL, LAID, hand)
    out, right, up = frame_of(found).T
    assert np.cross(right, up) == pytest.approx(out)
    middle, ring, thumb = (hole_of(found, n).entry_mm for n in ("middle", "ring", "thumb"))
    assert min(middle @ up, ring @ up) > 0 > thumb @ up
    assert (ring @ right > middle @ right) == (hand == "right")


PITCHES = {"middle": (1 / 4, 1 / 16), "ring": (-1 / 8, 0.0), "thumb": (-3 / 8, -1 / 8)}


@pytest.mark.parametrize("name", PITCHES)
def test_pitches_are_how_far_an_axis_misses_the_centre(name: str, hand: str) -> None:
    hole = hole_of(drilled(SYMMETRICAL, LAID, hand), name)
    foot = hole.entry_mm - (hole.entry_mm @ hole.way) * hole.way
    due = hypot(*PITCHES[name]) * MM_PER_IN
    assert np.linalg.norm(foot) == pytest.approx(due, abs=1e-10)


@pytest.mark.parametrize("name", PITCHES)
def test_forward_leans_the_bottom_to_the_grip_centre(name: str, hand: str) -> None:
    """And right leans it to the right, seen from outside with the fingers up, for either hand."""
    found = drilled(SYMMETRICAL, LAID, hand)
    hole = hole_of(found, name)
    at = hole.entry_mm / RADIUS
    forward = tangent(at, frame_of(found)[:, 0])
    right = np.cross(forward, at)
    right = right * np.sign(right @ frame_of(found)[:, 1])
    bottom = hole.entry_mm + hole.drill.depth_mm * hole.way
    lean = np.array([bottom @ forward, bottom @ right])
    due = np.array(PITCHES[name])
    assert lean / np.linalg.norm(lean) == pytest.approx(due / np.linalg.norm(due), abs=1e-12)


def test_a_vent_runs_to_the_hole_s_axis(hand: str) -> None:
    vent_ = "\n    vents: [{at: {over: 0.5, down: 1}, into: thumb, at_depth: 1.5, diameter: 1/8}]"
    found = drilled(SYMMETRICAL, LAID, hand, vents=vent_)
    vent, thumb = hole_of(found, "vent 1"), hole_of(found, "thumb")
    place = over_and_up_in(found, vent.entry_mm / RADIUS, hand)
    assert place == pytest.approx((0.5, -1.0), abs=1e-9)
    end = vent.entry_mm + vent.drill.depth_mm * vent.way
    assert end == pytest.approx(thumb.entry_mm + 1.5 * MM_PER_IN * thumb.way, abs=1e-9)
