"""Drilled balls: what is left, what fills a bore, and axes that a symmetrical drilling keeps."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from pipeline.drilled import Drilled, bores_of, drill
from pipeline.errors import BallError
from tests.pipeline.drilled_text import (
    BARE,
    GRIP,
    HOLE,
    MARKED,
    PLAIN,
    RADIUS,
    ROUND,
    UNEVEN,
    ball,
    drilled,
    holes,
    swapped,
)

SMALL = "shape: sphere, diameter: 0.5, move: [0, 0, 3]"
TOP = "name: thumb, use: thumb, at: {arc: 0, azimuth: 0}, diameter: 1, depth: 2.5"
QUARTER = RADIUS * pi / 2.0 / 25.4
R, DEPTH = RADIUS / 10.0, 6.35  # cm


def capped_cm3(radius: float, depth: float) -> float:
    """An upright cylinder from a flat bottom up to the ball's surface."""
    cap = 2.0 * pi / 3.0 * (R**3 - (R**2 - radius**2) ** 1.5)
    return cap - pi * radius**2 * (R - depth)


def round_the_ball(arc: float, *azimuths: float) -> str:
    return holes(
        *(
            f"name: h{a:g}, use: finger, at: {{arc: {arc}, azimuth: {a}}}, diameter: 1, depth: 2.5"
            for a in azimuths
        )
    )


def mass_of_parts(found: Drilled) -> float:
    return sum(part.mass_g for part in found.as_ball().parts)


def test_a_design_without_a_drilling_is_not_drilled() -> None:
    assert drill(ball("")) is None


def test_a_hole_in_a_uniform_ball_takes_its_cylinder_with_a_round_top() -> None:
    found = drilled(holes(TOP), PLAIN)
    assert found.undrilled.mass_g - found.properties.mass_g == pytest.approx(
        1.1 * capped_cm3(1.27, DEPTH), rel=1e-5
    )


def test_a_cone_at_the_bottom_takes_a_third_of_its_height_more() -> None:
    flat, cone = (drilled(holes(TOP + more), PLAIN) for more in ("", ", bottom: {point: 90}"))
    assert flat.properties.mass_g - cone.properties.mass_g == pytest.approx(
        1.1 * pi * 1.27**3 / 3.0, rel=1e-4
    )


def test_what_is_left_of_the_parts_weighs_what_the_ball_does() -> None:
    found = drilled(GRIP)
    left = sum(
        part.density_g_cm3 * moments.volume_mm3 / 1000.0
        for part, moments in zip(found.ball.parts, found.left, strict=True)
    )
    filled = sum(fill.mass_g for fill in found.fills)
    assert left + filled == pytest.approx(found.properties.mass_g, rel=1e-12)


def test_only_parts_that_a_hole_meets_lose_anything() -> None:
    found = drilled(holes(swapped(TOP, ("depth: 2.5", "depth: 0.5"))))
    assert found.left[0].volume_mm3 == found.ball.parts[0].claimed.volume_mm3
    assert found.left[1].volume_mm3 < found.ball.parts[1].claimed.volume_mm3 - 5e3


def test_two_holes_that_share_space_take_it_once() -> None:
    twice = drilled(holes(TOP, swapped(TOP, ("name: thumb", "name: other"))), PLAIN)
    assert twice.properties.mass_g == pytest.approx(
        drilled(holes(TOP), PLAIN).properties.mass_g, rel=1e-9
    )


def test_an_insert_is_what_is_left_of_its_bore() -> None:
    found = drilled(holes(TOP + ", insert: {bore: 1.25, depth: 1.25, density: 1.3}"), PLAIN)
    (fill,) = found.fills
    assert fill.name == "thumb"
    assert fill.mass_g == pytest.approx(
        1.3 * (capped_cm3(1.5875, 3.175) - capped_cm3(1.27, 3.175)), rel=1e-5
    )


def test_an_insert_of_the_ball_s_own_density_changes_nothing() -> None:
    plain = drilled(holes(TOP), PLAIN).properties
    filled = drilled(
        holes(TOP + ", insert: {bore: 1.25, depth: 1.25, density: 1.1}"), PLAIN
    ).properties
    assert filled.mass_g == pytest.approx(plain.mass_g, rel=1e-7)
    assert filled.inertia_g_mm2 == pytest.approx(plain.inertia_g_mm2, rel=1e-6, abs=10.0)


def test_every_hole_has_its_bore_and_every_insert_its_own() -> None:
    found = drilled(GRIP)
    assert (len(found.holes), len(bores_of(found.holes))) == (4, 5)


@pytest.mark.parametrize("arc", [5.5, QUARTER])
def test_four_holes_round_the_pin_keep_a_symmetrical_ball_symmetrical(arc: float) -> None:
    after = drilled(round_the_ball(arc, 0, 90, 180, 270)).properties.principal
    assert after.symmetry == "symmetrical"
    assert after.low == pytest.approx((0.0, 0.0, 1.0), abs=1e-9)


def test_holes_mirrored_in_its_planes_keep_the_axes_of_an_asymmetrical_ball() -> None:
    found = drilled(round_the_ball(6.0, 20, 160, 200, 340), UNEVEN)
    after = found.properties.principal
    assert after.low == pytest.approx((0.0, 0.0, 1.0), abs=1e-6)
    assert after.high == pytest.approx((1.0, 0.0, 0.0), abs=1e-6)


def test_a_hole_on_the_pin_moves_the_centre_of_gravity_away_from_it() -> None:
    x, y, z = drilled(holes(TOP)).properties.centre_of_gravity_mm
    assert (x, y) == pytest.approx((0.0, 0.0), abs=1e-9)
    assert z < -0.3


def test_holes_opposite_one_another_leave_the_centre_of_gravity() -> None:
    found = drilled(round_the_ball(QUARTER, 0, 180))
    assert found.properties.centre_of_gravity_mm == pytest.approx((0, 0, 0), abs=1e-6)


def test_a_part_that_is_drilled_away_is_refused() -> None:
    wide = swapped(TOP, ("diameter: 1,", "diameter: 2,"))
    with pytest.raises(BallError) as told:
        drilled(holes(wide), SMALL)
    assert str(told.value).endswith("part 'inner core' is drilled away: nothing is left of it")


def test_that_refusal_tells_file_and_line_of_the_part() -> None:
    wide = swapped(TOP, ("diameter: 1,", "diameter: 2,"))
    with pytest.raises(BallError) as told:
        drilled(holes(wide), SMALL, "x.yaml")
    assert str(told.value).startswith("x.yaml:8: part 'inner core'")


def test_a_part_of_which_something_is_left_is_not_refused() -> None:
    narrow = swapped(TOP, ("diameter: 1,", "diameter: 0.48,"))
    assert drilled(holes(narrow), SMALL).left[0].volume_mm3 > 0.0


@pytest.mark.parametrize(("drilling", "core"), [(GRIP, ROUND), (MARKED, UNEVEN), (BARE, PLAIN)])
def test_the_ball_that_is_left_weighs_the_same(drilling: str, core: str) -> None:
    found = drilled(drilling, core)
    assert mass_of_parts(found) == pytest.approx(found.properties.mass_g, rel=1e-12)


def test_the_ball_that_is_left_has_its_inserts_first() -> None:
    parts = drilled(GRIP).as_ball().parts
    assert [part.name for part in parts] == ["insert of middle", "inner core", "cover"]
    assert [part.role for part in parts] == ["grip insert", "inner core", "cover"]


def test_the_ball_that_is_left_knows_what_was_drilled_away() -> None:
    found = drilled(holes(TOP))
    points = np.array([[0.0, 0.0, RADIUS - 1.0], [0.0, 0.0, RADIUS - 64.0]])
    left = found.as_ball()
    assert left.route == "columns"
    assert left.in_bores(points).tolist() == [True, False]


def test_what_was_weighed_before_stays() -> None:
    found = drilled(holes(HOLE))
    whole = sum(part.mass_g for part in found.ball.parts)
    assert found.undrilled.mass_g == pytest.approx(whole, rel=1e-12)


def test_the_bounds_are_no_less_than_before() -> None:
    found = drilled(GRIP)
    assert found.properties.bound.rg_mm > found.undrilled.bound.rg_mm
    assert found.properties.bound.mass_g > found.undrilled.bound.mass_g
