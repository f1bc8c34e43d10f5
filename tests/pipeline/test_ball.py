"""Parts that claim their space, and the density that the weight decides."""

from __future__ import annotations

from math import pi

import pytest

from pipeline.ball import Ball, build_ball
from pipeline.errors import BallError
from pipeline.load import load, read_design
from pipeline.shipped import NAMES, shipped

HEAD = """
format: corewright 1
name: Test
revision: A
units: in
ball: {diameter: 8.55, weight: 15 lb}
materials:
  a: {density: 2}
  b: {density: free, from: %s, to: %s}
parts:
"""
LAST = "  - {name: cover, material: b, shape: sphere, diameter: 8.55}\n"


def ball(*parts: str, lowest: str = "0.5", top: str = "1.6") -> Ball:
    return build_ball(
        read_design(HEAD % (lowest, top) + "".join(f"  - {{{p}}}\n" for p in parts) + LAST)
    )


@pytest.mark.parametrize("name", NAMES)
def test_shipped_balls_are_filled_and_weigh_what_they_should(name: str) -> None:
    found = build_ball(load(shipped(name)))
    volume = sum(part.claimed.volume_mm3 for part in found.parts)
    assert volume == pytest.approx(4 / 3 * pi * found.radius_mm**3, rel=1e-12)
    assert sum(part.mass_g for part in found.parts) == pytest.approx(15 * 453.59237, rel=1e-12)
    assert found.route == "moments"


def test_the_later_part_gives_way() -> None:
    found = ball(
        "name: disc, material: a, shape: cylinder, diameter: 2, height: 1",
        "name: core, material: a, shape: sphere, diameter: 4",
    )
    disc, core, _ = (part.claimed.volume_mm3 for part in found.parts)
    assert disc == pytest.approx(pi * 25.4**3)
    assert core == pytest.approx((4 / 3 * pi * 8 - pi) * 25.4**3)


def test_a_core_through_the_outer_core_into_the_cover() -> None:
    """A rod of radius a, longer than the sphere it pierces, takes from it a cap-ended rod.

    What is left of the sphere has the volume 4/3 pi (R^2 - a^2)^(3/2): the napkin-ring theorem.
    """
    found = ball(
        "name: rod, material: a, shape: cylinder, diameter: 2, height: 7",
        "name: outer, material: a, shape: sphere, diameter: 6",
    )
    assert found.parts[1].claimed.volume_mm3 == pytest.approx(4 / 3 * pi * 8**1.5 * 25.4**3)
    assert found.route == "moments"


def test_bodies_that_share_space_askew_go_by_solids() -> None:
    found = ball(
        "name: bar, material: a, shape: box, size: [1, 1, 5], tilt: {by: 40, toward: 0}",
        "name: core, material: a, shape: sphere, diameter: 4, move: [0.5, 0, 0]",
    )
    assert found.route == "boundary"
    volume = sum(part.claimed.volume_mm3 for part in found.parts)
    assert volume == pytest.approx(4 / 3 * pi * found.radius_mm**3, rel=1e-9)


def test_roles_follow_the_order() -> None:
    found = ball(
        "name: disc, material: a, shape: cylinder, diameter: 1, height: 1",
        "name: core, material: a, shape: cylinder, diameter: 3, height: 4",
        "name: mantle, material: a, shape: sphere, diameter: 6",
        "name: outer, material: a, shape: sphere, diameter: 7",
        lowest="0.1",
    )
    assert [part.role for part in found.parts] == [
        "insert", "inner core", "outer core", "outer core", "cover",
    ]  # fmt: skip


def test_free_density_in_closed_form() -> None:
    found = ball("name: core, material: a, shape: sphere, diameter: 4")
    ball_in3, core_in3 = 4 / 3 * pi * 4.275**3, 4 / 3 * pi * 8
    due = (15 * 453.59237 / 16.387064 - 2 * core_in3) / (ball_in3 - core_in3)
    assert found.parts[-1].density_g_cm3 == pytest.approx(due, rel=1e-12)


@pytest.mark.parametrize(
    ("parts", "says"),
    [
        (
            ["name: core, material: a, shape: sphere, diameter: 9"],
            "'core' leaves the ball by 0.2250 in",
        ),
        (
            ["name: core, material: a, shape: sphere, diameter: 3, move: [0, 3, 0]"],
            "'core' leaves the ball by 0.2250 in",
        ),
        (
            [
                "name: core, material: a, shape: sphere, diameter: 5",
                "name: disc, material: a, shape: cylinder, diameter: 2, height: 1",
            ],
            "'disc' has no volume left: the parts before it .'core'.",
        ),
        (
            [
                "name: one, material: a, shape: sphere, diameter: 3",
                "name: two, material: a, shape: sphere, diameter: 3",
            ],
            "'two' has no volume left",
        ),
        (["name: core, material: a, shape: sphere, diameter: 8.55"], "'cover' has no volume left"),
    ],
)
def test_refused_by_name(parts: list[str], says: str) -> None:
    with pytest.raises(BallError, match=says):
        ball(*parts)


def test_a_weight_out_of_reach_is_told_with_the_range() -> None:
    """Reachable: 2 g/cm3 in the core, 0.5 to 0.6 around it."""
    core, rest = 4 / 3 * pi * 8, 4 / 3 * pi * (4.275**3 - 8)
    low, high = ((2 * core + d * rest) * 16.387064 / 453.59237 for d in (0.5, 0.6))
    with pytest.raises(BallError, match=f"from {low:.3f} to {high:.3f} lb can be reached"):
        ball("name: core, material: a, shape: sphere, diameter: 4", top="0.6")


def test_the_component_limit_caps_the_bounds() -> None:
    text = (HEAD % ("0.5", "9")).replace("15 lb", "46 lb") + LAST
    with pytest.raises(BallError, match=r"limit of 3\.80 g/mL on any component; from 5\.912 to"):
        build_ball(read_design(text.replace("  a: {density: 2}\n", "")))
