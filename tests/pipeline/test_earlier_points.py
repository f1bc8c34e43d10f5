"""A ball held against an earlier one."""

from __future__ import annotations

import pytest

from pipeline.ball import build_ball
from pipeline.earlier_points import EARLIER
from pipeline.load import read_design
from pipeline.talking_points import as_markdown
from pipeline.weigh import weigh
from tests.pipeline.searched import text
from tests.pipeline.sphere_balls import swapped
from tests.pipeline.spoken import SHIPPED, all_said, fact, points, points_of_file, value

DUNLIN = SHIPPED["dunlin"]
NEXT = swapped(
    DUNLIN, ("revision: A", "revision: B"), ("shell: {density: 1.17}", "shell: {density: 1.15}")
)
BOX = "shape: box, size: [3.55, 4.1, 4.6], round: 0.7"


def test_without_an_earlier_ball_nothing_is_said_of_one() -> None:
    assert [f for f in points_of_file("dunlin").facts if f.about == EARLIER] == []


def test_the_same_core_is_said_to_be_that_of_the_earlier_ball() -> None:
    said = all_said(points(NEXT, DUNLIN))
    assert "The core is that of Dunlin revision A, the same shape and size." in said


def test_the_same_core_is_known_in_another_pose() -> None:
    said = all_said(points(text(f"{BOX}, spin: 30, tilt: {{by: 20, toward: 50}}"), text(BOX)))
    assert "The core is that of Test revision A, the same shape and size." in said


def test_densities_that_changed_are_told() -> None:
    one = fact(points(NEXT, DUNLIN), "the density of the cover")
    assert "the density of the cover falls from 1.170 to 1.150 g/cm3" in one.sentence


def test_densities_that_did_not_change_are_left_out() -> None:
    assert (
        "density of the inner core"
        not in fact(points(NEXT, DUNLIN), "the density of the cover").sentence
    )


def test_where_no_density_changed_it_says_so() -> None:
    source = swapped(DUNLIN, ("revision: A", "revision: B"))
    assert "No density of a part that both balls have changes" in all_said(points(source, DUNLIN))


def test_a_part_of_another_name_is_known_by_its_role() -> None:
    renamed = swapped(NEXT, ("name: cover", "name: skin"))
    renamed = renamed.replace("    cover:\n", "    skin:\n")
    assert "the density of the skin falls from 1.170 to 1.150" in all_said(points(renamed, DUNLIN))


def test_figures_go_from_the_earlier_balls_to_this_ones() -> None:
    one = fact(points(NEXT, DUNLIN), "to this ball the total differential")
    before, after = (weigh(build_ball(read_design(source))) for source in (DUNLIN, NEXT))
    found = [value(one, name) for name in ("low RG of Dunlin revision A", "low RG")]
    due = [float(p.principal.rg_mm[0]) / 25.4 for p in (before, after)]
    assert found == pytest.approx(due, abs=1e-9)
    assert "the low RG falls from 2.545 to 2.540 in" in one.sentence


def test_figures_of_the_earlier_ball_are_marked_as_such() -> None:
    one = fact(points(NEXT, DUNLIN), "to this ball the total differential")
    assert {t.source for t in one.figures if t.name.endswith(" of Dunlin revision A")} == {
        "earlier design"
    }


def test_the_page_names_both_designs_by_their_hashes() -> None:
    page = as_markdown(points(NEXT, DUNLIN))
    assert all(read_design(source).sha256 in page for source in (NEXT, DUNLIN))


def test_a_core_of_another_size_is_told_by_its_factor() -> None:
    found = points(
        text("shape: cylinder, diameter: 2.7, height: 3.6"),
        text("shape: cylinder, diameter: 3, height: 4"),
    )
    assert "has the shape of that of Test revision A, and 0.9000 times its size." in all_said(found)


def test_another_core_is_told_with_what_tells_it_apart() -> None:
    """Cylinders of 4 and 4.04 in: the volume differs by one hundredth."""
    found = points(
        text("shape: cylinder, diameter: 3, height: 4.04"),
        text("shape: cylinder, diameter: 3, height: 4"),
    )
    assert "The core is another than that of Test revision A: the " in all_said(found)
    assert "it takes 28.56 in3, that one 28.27 in3" in all_said(found)


def test_cores_of_other_counts_are_told_apart_by_them() -> None:
    found = points(SHIPPED["godwit"], DUNLIN)
    assert "Dunlin revision A: it has 3 parts, that one 1;" in all_said(found)


def test_a_mirror_image_is_another_core() -> None:
    found = points(text("shape: twisted, twist: -30"), text("shape: twisted, twist: 30"))
    assert "of the space differs" in all_said(found)


def test_a_ball_without_a_core_has_none_to_compare() -> None:
    plain = """\
format: corewright 1
name: Plain
revision: A
units: in
ball: {diameter: 8.55}
materials: {rest: {density: 1.2}}
parts: [{name: cover, material: rest, shape: sphere, diameter: 8.55}]
"""
    assert "only this ball has a core inside an outer core" in all_said(points(DUNLIN, plain))
