"""What the core's shape does, against closed forms and files of their own."""

from __future__ import annotations

import pytest

from tests.pipeline.searched import text
from tests.pipeline.sphere_balls import LB, SPHERES, mass_g, rgs_in, swapped
from tests.pipeline.spoken import SHIPPED, all_said, fact, figure, points, points_of_file, value

FLATS = text("shape: flats, end_diameter: 3.2, middle_diameter: 4, height: 4.6, round: 0.2")


def test_a_cylinder_as_a_sphere_in_closed_form() -> None:
    """Diameter 3 in, height 4 in: a sphere of R^3 = 3/4 r^2 h = 6.75 in3, in its place."""
    found = points(text("shape: cylinder, diameter: 3, height: 4, move: [0, 0, 0.3]"))
    one = fact(found, "With its inner core as a sphere")
    radius = 6.75 ** (1.0 / 3.0)
    core = mass_g(2.3, radius)
    shell = mass_g(1.17, 4.275) - mass_g(1.17, 3.525)
    light = (15.0 * LB - core - shell) / (mass_g(1.0, 3.525) - mass_g(1.0, radius))
    low, high = rgs_in([(1.17, 4.275, 0), (light - 1.17, 3.525, 0), (2.3 - light, radius, 0.3)])
    assert figure(one, "diameter").value == pytest.approx(2.0 * radius)
    assert figure(one, "low RG with").value == pytest.approx(low, abs=1e-8)
    assert figure(one, "total differential with").value == pytest.approx(high - low, abs=1e-8)


def test_a_core_as_a_sphere_leaves_the_weight() -> None:
    one = fact(points_of_file("dunlin"), "With its inner core as a sphere")
    assert one.sentence.endswith("; the ball keeps its weight.")


def test_a_core_that_is_a_sphere_is_not_made_one() -> None:
    assert "as a sphere" not in all_said(points(text("shape: sphere, diameter: 4")))


def test_a_round_core_tells_length_and_width() -> None:
    """The Dunlin's half-section runs from -2.635 to 2.88 in, and 2.2 in from the axis."""
    one = fact(points_of_file("dunlin"), "times as long as wide")
    assert figure(one, "length of").value == pytest.approx(2.88 + 2.635)
    assert figure(one, "width").value == pytest.approx(4.4)


def test_a_core_of_several_parts_is_as_long_as_all_of_them() -> None:
    """The discs end flush with the body, from -2.7 to 2.9 in."""
    one = fact(points_of_file("godwit"), "times as long as wide")
    assert figure(one, "length of").value == pytest.approx(5.6)


@pytest.mark.parametrize("lean", ["", ", tilt: {by: 30, toward: 50}"])
def test_length_and_width_are_those_of_the_core_as_it_stands(lean: str) -> None:
    one = fact(points(text(f"shape: cylinder, diameter: 3, height: 4{lean}")), "as long as wide")
    assert (figure(one, "length of").value, figure(one, "width").value) == pytest.approx((4, 3))


def test_an_uneven_core_tells_its_size_along_each_axis() -> None:
    """The Turnstone's block is 3.55 by 4.115 by 5.05 in; the longest way has the least RG."""
    one = fact(points_of_file("turnstone"), "measures")
    assert [t.value for t in one.figures] == pytest.approx([5.05, 4.115, 3.55])


@pytest.mark.parametrize(
    "core",
    ["shape: scallops", "shape: sphere, diameter: 4", "shape: cut, body: {shape: sphere, "
     "diameter: 4}, away: [{shape: sphere, diameter: 2, move: [0, 0, 2]}]"],
    ids=["three-sided", "sphere", "cut"],
)  # fmt: skip
def test_no_length_is_told_where_there_is_no_one_width_or_only_a_bound(core: str) -> None:
    assert "times as long as wide" not in all_said(points(text(core)))


def test_parts_beside_one_another_have_no_common_length() -> None:
    """The slug stands off the core's axis, so the core is not round about one."""
    source = swapped(SPHERES, ("move: [0, 0, 1.0]", "move: [0.5, 0, 1.0]"))
    source = swapped(
        source, ("shape: sphere, diameter: 4}", "shape: cylinder, diameter: 3, height: 4}")
    )
    assert "times as long as wide" not in all_said(points(source))


@pytest.mark.parametrize("name", ["low RG", "intermediate differential"])
def test_flats_filled_up_against_a_file_with_the_barrel(name: str) -> None:
    one = fact(points(FLATS), "With the 2 flats of its inner core filled up")
    due = points(FLATS.replace("shape: flats", "shape: barrel"))
    found = value(one, f"{name} with the inner core made even")
    if name == "low RG":
        assert found == pytest.approx(value(fact(due, f"Its {name} is"), name), abs=1e-9)
    else:
        assert found == pytest.approx(0.0, abs=1e-9)


def test_an_uneven_block_made_even_against_a_file_with_a_square_one() -> None:
    even = (3.55 * 4.115) ** 0.5
    source = swapped(SHIPPED["turnstone"], ("[3.55, 4.115, 5.05]", f"[{even}, {even}, 5.05]"))
    one = fact(points_of_file("turnstone"), "With the two lesser sizes of its inner core")
    due = fact(points(source), "Its total differential is")
    found = value(one, "total differential with the inner core made even")
    assert found == pytest.approx(value(due, "total differential"), abs=1e-9)


def test_a_symmetrical_ball_has_nothing_to_make_even() -> None:
    assert "made even" not in "".join(
        t.name for f in points_of_file("dunlin").facts for t in f.figures
    )
