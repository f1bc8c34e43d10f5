"""Balls weighed again, against balls of spheres in closed form and against files of their own."""

from __future__ import annotations

import pytest

from pipeline.ball import Ball, build_ball
from pipeline.load import read_design
from pipeline.shipped import shipped
from pipeline.trials import (
    Trial,
    core_as_sphere,
    core_at_centre,
    fillers,
    of_one_density,
    with_material,
    with_shape,
    without,
)
from pipeline.weigh import weigh
from shapes.box import Box
from shapes.cylinder import Cylinder
from shapes.sphere import Sphere
from tests.pipeline.searched import text
from tests.pipeline.sphere_balls import IN, LB, SPHERES, foam, mass_g, rgs_in, swapped


def ball(source: str) -> Ball:
    return build_ball(read_design(source))


def found_in(trial: Trial) -> tuple[float, float]:
    low, _, high = trial.properties.principal.rg_mm / IN
    return float(low), float(high)


def tried(trial: Trial | None) -> Trial:
    assert trial is not None
    return trial


def test_a_spherical_insert_left_out() -> None:
    """What is left are shells about one centre."""
    light = foam(mass_g(2.0, 2.0), 2.0)
    due = rgs_in([(1.17, 4.275, 0), (light - 1.17, 3.5, 0), (2.0 - light, 2.0, 0)])
    assert found_in(tried(without(ball(SPHERES), ["slug"]))) == pytest.approx(due, abs=1e-9)


def test_the_core_round_an_insert_left_out() -> None:
    """The insert stays where it is, and the outer core flows round it."""
    light = foam(mass_g(3.0, 0.75), 0.75)
    due = rgs_in([(1.17, 4.275, 0), (light - 1.17, 3.5, 0), (3.0 - light, 0.75, 1.0)])
    assert found_in(tried(without(ball(SPHERES), ["inner core"]))) == pytest.approx(due, abs=1e-9)


def test_an_insert_of_what_is_round_it_is_an_insert_left_out() -> None:
    whole = ball(SPHERES)
    one, other = without(whole, ["slug"]), with_material(whole, "slug", "clay")
    assert found_in(tried(one)) == pytest.approx(found_in(tried(other)), abs=1e-12)


def test_a_cylinder_core_as_a_sphere() -> None:
    """Diameter 3 in, height 4 in: a sphere of R^3 = 3/4 r^2 h = 6.75 in3, in its place."""
    radius = 6.75 ** (1.0 / 3.0)
    shell = mass_g(1.17, 4.275) - mass_g(1.17, 3.525)
    core = mass_g(2.3, radius)
    light = (15.0 * LB - core - shell) / (mass_g(1.0, 3.525) - mass_g(1.0, radius))
    due = rgs_in([(1.17, 4.275, 0), (light - 1.17, 3.525, 0), (2.3 - light, radius, 0.3)])
    whole = ball(text("shape: cylinder, diameter: 3, height: 4, move: [0, 0, 0.3]"))
    assert found_in(tried(core_as_sphere(whole))) == pytest.approx(due, abs=1e-9)


def test_a_core_as_a_sphere_keeps_the_balls_centre_of_gravity() -> None:
    whole = ball(shipped("godwit").read_text(encoding="utf-8"))
    after = tried(core_as_sphere(whole)).properties.centre_of_gravity_mm
    assert after == pytest.approx(weigh(whole).centre_of_gravity_mm, abs=1e-9)


def test_a_core_at_the_centre_leaves_no_top_weight() -> None:
    whole = ball(text("shape: cylinder, diameter: 3, height: 4, move: [0.1, 0.2, 0.3]"))
    after = tried(core_at_centre(whole)).properties.static_imbalance_g()
    assert after == pytest.approx(0.0, abs=1e-9)


def test_one_density_for_two_parts_keeps_their_mass() -> None:
    whole = ball(SPHERES)
    trial = tried(of_one_density(whole, ["outer core", "cover"]))
    light = (15.0 * LB - mass_g(2.0, 2.0) - mass_g(1.0, 0.75)) / (
        mass_g(1.0, 4.275) - mass_g(1.0, 2.0)
    )
    due = rgs_in([(light, 4.275, 0), (2.0 - light, 2.0, 0), (1.0, 0.75, 1.0)])
    assert found_in(trial) == pytest.approx(due, abs=1e-9)


def test_another_shape_stands_where_the_old_one_did() -> None:
    source = text("shape: cylinder, diameter: 3, height: 4, move: [0, 0, 0.3]")
    trial = tried(with_shape(ball(source), "inner core", lambda: Cylinder(2.5 * IN, 4.0 * IN)))
    due = weigh(ball(source.replace("diameter: 3, height", "diameter: 2.5, height")))
    assert found_in(trial) == pytest.approx((due.principal.rg_mm / IN)[[0, 2]], abs=1e-12)


def test_the_free_density_keeps_the_weight() -> None:
    trial = tried(without(ball(SPHERES), ["slug"]))
    assert trial.weight == "solved"
    assert trial.properties.mass_g == pytest.approx(15.0 * LB, rel=1e-12)


def test_out_of_its_bounds_the_free_density_stays_what_it_was() -> None:
    """It is 1.189 g/cm3 with the slug, and would be 1.201 without."""
    whole = ball(swapped(SPHERES, ("from: 0.55, to: 1.60", "from: 0.55, to: 1.195")))
    trial = tried(without(whole, ["slug"]))
    assert trial.weight == "out of reach"
    assert trial.ball.parts[1].density_g_cm3 == whole.parts[2].density_g_cm3


def test_without_a_free_density_the_weight_changes_by_what_is_gone() -> None:
    whole = ball(swapped(SPHERES, ("density: free, from: 0.55, to: 1.60", "density: 1.0")))
    trial = tried(without(whole, ["slug"]))
    assert trial.weight == "nothing free"
    off = weigh(whole).mass_g - trial.properties.mass_g
    assert off == pytest.approx(mass_g(3.0 - 2.0, 0.75), rel=1e-9)


def test_where_the_free_material_is_gone_nothing_is_solved() -> None:
    source = swapped(
        SPHERES,
        ("heavy: {density: 3.0}", "heavy: {density: free, from: 1, to: 3.8}"),
        ("density: free, from: 0.55, to: 1.60", "density: 1.1886"),
    )
    assert tried(without(ball(source), ["slug"])).weight == "free part gone"


def test_the_last_part_cannot_be_left_out() -> None:
    assert without(ball(SPHERES), ["cover"]) is None


def test_a_shape_that_cannot_be_is_no_trial() -> None:
    assert with_shape(ball(SPHERES), "slug", lambda: Sphere(-1.0)) is None


def test_a_part_that_leaves_the_ball_is_no_trial() -> None:
    assert with_shape(ball(SPHERES), "slug", lambda: Sphere(500.0)) is None


def test_what_only_solids_could_tell_is_no_trial_where_moments_weighed_the_ball() -> None:
    """A box through the wall of a spherical core: no formula tells what either claims."""
    block = Box((1.0 * IN, 1.0 * IN, 3.0 * IN))
    assert with_shape(ball(SPHERES), "slug", lambda: block) is None


def test_a_ball_of_one_part_has_no_core_to_change() -> None:
    source = (
        SPHERES[: SPHERES.index("  - {name: slug")] + SPHERES[SPHERES.index("  - {name: cov") :]
    )
    whole = ball(source.replace("free, from: 0.55, to: 1.60", "1.0"))
    assert core_at_centre(whole) is None
    assert core_as_sphere(whole) is None


@pytest.mark.parametrize(
    ("gone", "due"),
    [(["slug"], ("inner core",)), (["inner core"], ("outer core",)), (["outer core"], ("cover",))],
)
def test_what_flows_round_a_part_fills_its_space(gone: list[str], due: tuple[str, ...]) -> None:
    whole = ball(SPHERES)
    assert fillers(whole, tried(without(whole, gone)), gone) == due


def test_two_parts_share_the_space_of_one_that_crosses_their_wall() -> None:
    """A sphere of 1.5 in about z = 1.9 in lies mostly in the core of 2 in radius."""
    whole = ball(swapped(SPHERES, ("move: [0, 0, 1.0]", "move: [0, 0, 1.8]")))
    assert fillers(whole, tried(without(whole, ["slug"])), ["slug"]) == ("inner core", "outer core")
