"""Static weights: signs, sizes, and closed forms for a uniform ball with one upright hole."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import numpy as np
import pytest

from pipeline.drilled import Drilled
from pipeline.statics import HALVES_OZ, Static, moment_g, statics
from pipeline.units import G_PER_OZ
from tests.pipeline.drilled_text import BARE, PLAIN, RADIUS, ROUND, drilled, holes, swapped

QUARTER = RADIUS * pi / 2.0 / 25.4
X = f"name: h, use: finger, at: {{arc: {QUARTER}, azimuth: 0}}, diameter: 1, depth: 2.5"
Y = swapped(X, ("azimuth: 0", "azimuth: 90"))
Z = swapped(X, (f"arc: {QUARTER}", "arc: 0"))
GONE_G = 1.1 * 1e-3 * (
    2.0 * pi / 3.0 * (RADIUS**3 - (RADIUS**2 - 12.7**2) ** 1.5)
    - pi * 12.7**2 * (RADIUS - 63.5)
)  # fmt: skip
MOMENT_G = (
    1.1 * 1e-3 * pi
    * ((RADIUS**2 - (RADIUS - 63.5) ** 2) * 12.7**2 / 2.0 - 12.7**4 / 4.0) / RADIUS
)  # fmt: skip


def with_frame(found: Drilled) -> Drilled:
    """The ball with its grip centre at +X, its fingers towards +Z, and +Y to the right."""
    return replace(found, laid=replace(found.laid, frame=np.eye(3)))


def weights(found: Drilled) -> dict[str, Static]:
    return {one.name: one for one in statics(found)}


@pytest.fixture(scope="module")
def one_hole() -> dict[str, Static]:
    """Of a uniform ball with a hole at the grip centre."""
    return weights(with_frame(drilled(holes(X), PLAIN)))


def test_a_ball_without_a_grip_has_none() -> None:
    assert statics(drilled(holes(X), PLAIN)) == ()


def test_top_side_and_finger_in_their_order() -> None:
    assert [one.name for one in statics(drilled(BARE))] == ["top", "side", "finger"]


def test_the_moment_of_one_hole_is_that_of_what_is_gone(one_hole: dict[str, Static]) -> None:
    assert one_hole["top"].moment_g == pytest.approx(-MOMENT_G, rel=1e-5)


def test_the_halves_differ_by_what_is_gone(one_hole: dict[str, Static]) -> None:
    assert one_hole["top"].halves_g == pytest.approx(-GONE_G, abs=HALVES_OZ * G_PER_OZ)


@pytest.mark.parametrize("name", ["side", "finger"])
def test_a_hole_in_the_plane_between_has_no_moment(one_hole: dict[str, Static], name: str) -> None:
    assert one_hole[name].moment_g == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize("name", ["side", "finger"])
def test_a_hole_cut_by_the_plane_leaves_the_halves_alike(
    one_hole: dict[str, Static], name: str
) -> None:
    assert one_hole[name].halves_g == pytest.approx(0.0, abs=HALVES_OZ * G_PER_OZ)


@pytest.mark.parametrize(("hole", "name"), [(X, "top"), (Y, "side"), (Z, "finger")])
def test_a_hole_makes_its_own_side_lighter(hole: str, name: str) -> None:
    found = weights(with_frame(drilled(holes(hole), PLAIN)))[name]
    assert found.moment_g < -MOMENT_G / 2.0
    assert found.halves_g < -GONE_G / 2.0


@pytest.mark.parametrize(("hole", "name"), [(X, "top"), (Y, "side"), (Z, "finger")])
def test_a_heavy_insert_makes_its_own_side_heavier(hole: str, name: str) -> None:
    heavy = swapped(hole, ("depth: 2.5", "depth: 0.5")) + (
        ", insert: {bore: 2, depth: 2.5, density: 3.5}"
    )
    found = weights(with_frame(drilled(holes(heavy), PLAIN)))[name]
    assert found.moment_g > 100.0
    assert found.halves_g > 100.0


def test_the_insert_counts_in_the_halves() -> None:
    filled = X + ", insert: {bore: 1.25, depth: 2.5, density: 1.1}"
    found = weights(with_frame(drilled(holes(filled), PLAIN)))["top"]
    assert found.halves_g == pytest.approx(-GONE_G, abs=HALVES_OZ * G_PER_OZ)


def test_a_heavy_core_counts_in_the_halves() -> None:
    """A core that stands off the plane, of 4/3 pi r^3 at 1.2 g/cm3 more than the cover."""
    core = "shape: sphere, diameter: 2, move: [2, 0, 0]"
    found = weights(with_frame(drilled(holes(Z), core)))["top"]
    more = 1.2 * 4.0 / 3.0 * pi * 2.54**3
    assert found.halves_g == pytest.approx(more, abs=HALVES_OZ * G_PER_OZ)


def test_moments_of_opposite_ways_are_opposite() -> None:
    found, way = drilled(holes(X), PLAIN), np.array([0.6, 0.0, 0.8])
    assert moment_g(found, way) == pytest.approx(-moment_g(found, -way))


def test_the_moment_along_a_way_is_its_share() -> None:
    found = drilled(holes(X), PLAIN)
    assert moment_g(found, np.array([0.6, 0.0, 0.8])) == pytest.approx(-0.6 * MOMENT_G, rel=1e-5)


def test_a_grip_takes_weight_from_its_own_half() -> None:
    top = weights(drilled(BARE))["top"]
    assert (top.moment_g < -30.0, top.halves_g < -60.0) == (True, True)


def test_side_weight_is_towards_the_ring_finger_of_either_hand() -> None:
    """A wide ring finger makes its own side lighter, whatever hand it is of."""
    wide = swapped(BARE, ("ring: {span: 4.25, diameter: 0.8", "ring: {span: 4.25, diameter: 1.1"))
    right = weights(drilled(wide))["side"]
    left = weights(drilled(swapped(wide, ("hand: right", "hand: left"))))["side"]
    assert right.moment_g < -1.0
    assert left.moment_g == pytest.approx(right.moment_g, rel=1e-5)


@pytest.mark.parametrize(
    ("hand", "towards"),
    [
        (None, "the right, seen with the fingers up"),
        ("right", "the ring finger's side"),
        ("left", "the ring finger's side"),
    ],
)
def test_what_side_weight_is_towards(hand: str | None, towards: str) -> None:
    found = with_frame(drilled(holes(X), ROUND))
    found = replace(found, laid=replace(found.laid, hand=hand))  # type: ignore[arg-type]
    assert weights(found)["side"].towards == towards


def test_thumb_and_finger_holes_are_grip_enough() -> None:
    thumb = swapped(Z, ("name: h, use: finger", "name: t, use: thumb"))
    assert weights(drilled(holes(thumb, X), PLAIN))["top"].moment_g < -MOMENT_G
