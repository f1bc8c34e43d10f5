"""What each part does: leaving it out, against closed forms and files of their own."""

from __future__ import annotations

import pytest

from pipeline.effect_points import EFFECTS
from tests.pipeline.searched import text
from tests.pipeline.sphere_balls import LB, SPHERES, foam, mass_g, rgs_in, swapped
from tests.pipeline.spoken import SHIPPED, all_said, fact, figure, points, points_of_file, value

FIXED = swapped(SPHERES, ("free, from: 0.55, to: 1.60", "1.0"))
PLAIN = """\
format: corewright 1
name: Plain
revision: A
units: in
ball: {diameter: 8.55}
materials: {rest: {density: 1.2}}
parts: [{name: cover, material: rest, shape: sphere, diameter: 8.55}]
"""


def test_a_spherical_insert_left_out_weighs_as_spheres_do() -> None:
    one = fact(points(SPHERES), "Without its slug, whose space the inner core fills")
    light = foam(mass_g(2.0, 2.0), 2.0)
    low, _ = rgs_in([(1.17, 4.275, 0), (light - 1.17, 3.5, 0), (2.0 - light, 2.0, 0)])
    assert value(one, "low RG without the slug") == pytest.approx(low, abs=1e-8)


def test_an_insert_left_out_beside_what_the_ball_is_with_it() -> None:
    one = fact(points(SPHERES), "Without its slug")
    light = foam(mass_g(2.0, 2.0) + mass_g(1.0, 0.75), 2.0)
    low, high = rgs_in(
        [(1.17, 4.275, 0), (light - 1.17, 3.5, 0), (2.0 - light, 2.0, 0), (1.0, 0.75, 1.0)]
    )
    assert value(one, "total differential") == pytest.approx(high - low, abs=1e-8)


def test_leaving_a_part_out_says_how_the_ball_keeps_its_weight() -> None:
    one = fact(points(SPHERES), "Without its slug")
    before = foam(mass_g(2.0, 2.0) + mass_g(1.0, 0.75), 2.0)
    after = foam(mass_g(2.0, 2.0), 2.0)
    assert (
        "the ball keeps its weight, since the density of the outer core rises from "
        f"{before:.3f} to {after:.3f} g/cm3." in one.sentence
    )


def test_without_a_free_density_it_says_by_how_much_the_weight_changes() -> None:
    whole = (mass_g(1.17, 4.275) + mass_g(-0.17, 3.5) + mass_g(1.0, 2.0) + mass_g(1.0, 0.75)) / LB
    less = whole - mass_g(1.0, 0.75) / LB
    assert (
        f"the ball's weight falls from {whole:.3f} to {less:.3f} lb, since the design leaves no "
        "density free." in fact(points(FIXED), "Without its slug").sentence
    )


def test_a_weight_that_changes_too_little_for_the_digits_is_said_not_to() -> None:
    """A slug 1e-5 g/cm3 denser than what it stands in makes the ball 3e-4 g heavier."""
    source = swapped(FIXED, ("heavy: {density: 3.0}", "heavy: {density: 2.00001}"))
    due = (mass_g(1.17, 4.275) + mass_g(-0.17, 3.5) + mass_g(1.0, 2.0)) / LB
    assert (
        f"the ball's weight ({due:.3f} lb) does not change to the digits shown."
        in fact(points(source), "Without its slug").sentence
    )


def test_a_density_that_would_leave_its_bounds_is_said_to() -> None:
    source = swapped(SPHERES, ("to: 1.60", "to: 1.195"))
    sentence = fact(points(source), "Without its slug").sentence
    assert sentence.endswith("lb, since the free density would leave the design's bounds.")


def test_a_free_density_that_is_gone_with_its_part_is_said_to_be() -> None:
    source = swapped(
        SPHERES,
        ("heavy: {density: 3.0}", "heavy: {density: free, from: 1, to: 3.8}"),
        ("density: free, from: 0.55, to: 1.60", "density: 1.1886"),
    )
    sentence = fact(points(source), "Without its slug").sentence
    assert sentence.endswith("since no part of the material with the free density is left.")


def test_the_godwits_lower_disc_against_a_file_without_it() -> None:
    one = fact(points_of_file("godwit"), "Without its lower disc")
    line = next(k for k in SHIPPED["godwit"].splitlines() if "name: lower disc" in k)
    due = fact(points(swapped(SHIPPED["godwit"], (f"{line}\n", ""))), "Its total differential is")
    found = value(one, "total differential without the lower disc")
    assert found == pytest.approx(value(due, "total differential"), abs=1e-9)


def test_all_inserts_left_out_against_a_file_without_any() -> None:
    one = fact(points_of_file("godwit"), "Without all of its inserts, the upper disc and the lower")
    source = "\n".join(k for k in SHIPPED["godwit"].splitlines() if "disc, material" not in k)
    due = fact(points(source), "Its total differential is")
    found = value(one, "total differential without all inserts")
    assert found == pytest.approx(value(due, "total differential"), abs=1e-9)


def test_one_insert_is_not_left_out_twice() -> None:
    assert "all of its inserts" not in all_said(points(SPHERES))


def test_where_no_low_rg_axis_is_left_it_says_so() -> None:
    assert (
        "the ball then turns alike about every axis"
        in fact(points(SPHERES), "Without its slug").sentence
    )


def test_a_part_is_held_against_what_flows_round_it() -> None:
    one = fact(points(SPHERES), "The slug is 1.50 times as dense as the inner core round it")
    more = figure(one, "mass of the slug over")
    assert more.value == pytest.approx(mass_g(1.0, 0.75) / LB, abs=1e-9)


def test_a_lighter_part_holds_less() -> None:
    source = swapped(SPHERES, ("heavy: {density: 3.0}", "heavy: {density: 1.5}"))
    assert "0.75 times as dense as the inner core round it" in all_said(points(source))
    assert "less than its space would hold" in all_said(points(source))


def test_parts_of_one_density_are_not_held_against_one_another() -> None:
    source = swapped(SPHERES, ("heavy: {density: 3.0}", "heavy: {density: 2.0}"))
    assert "times as dense as the inner core" not in all_said(points(source))


def test_a_part_in_two_others_is_weighed_again_of_the_one_that_holds_most_of_it() -> None:
    """Half in the core, half in the outer core: what fills its space is of two densities."""
    source = swapped(SPHERES, ("move: [0, 0, 1.0]", "move: [0, 0, 1.8]"))
    found = points(source)
    one = fact(found, "With its slug of clay, as the inner core is")
    due = fact(points(swapped(source, ("material: heavy", "material: clay"))), "Its low RG is")
    found_rg = value(one, "low RG with the slug of clay")
    assert found_rg == pytest.approx(value(due, "low RG"), abs=1e-9)


def test_cover_and_outer_core_of_one_density_weigh_as_spheres_do() -> None:
    one = fact(points(SPHERES), "With its outer core and its cover of one density")
    light = (15.0 * LB - mass_g(2.0, 2.0) - mass_g(1.0, 0.75)) / (
        mass_g(1.0, 4.275) - mass_g(1.0, 2.0)
    )
    low, _ = rgs_in([(light, 4.275, 0), (2.0 - light, 2.0, 0), (1.0, 0.75, 1.0)])
    assert figure(one, "low RG with").value == pytest.approx(low, abs=1e-8)


def test_an_outer_core_inside_another_is_left_out() -> None:
    mantle = "  - {name: mantle, material: heavy, shape: sphere, diameter: 5}\n"
    source = swapped(SPHERES, ("  - {name: outer core", f"{mantle}  - {{name: outer core"))
    assert "Without its mantle, whose space the outer core fills" in all_said(points(source))


def test_the_outer_core_under_the_cover_is_not_left_out() -> None:
    assert "Without its outer core" not in all_said(points(SPHERES))


def test_the_cover_is_not_left_out() -> None:
    assert "Without its cover" not in all_said(points(SPHERES))


def test_a_ball_of_one_part_has_no_part_to_leave_out() -> None:
    assert [f for f in points(PLAIN).facts if f.about == EFFECTS] == []


def test_a_core_right_under_the_cover_is_filled_by_it() -> None:
    source = text("shape: sphere, diameter: 4, move: [0, 0, 0.3]")
    line = next(k for k in source.splitlines() if "name: outer core" in k)
    bare = swapped(
        source, (f"{line}\n", ""), ("  foam: {density: free, from: 0.55, to: 1.60}\n", "")
    )
    assert "Without its inner core, whose space the cover fills" in all_said(points(bare))
