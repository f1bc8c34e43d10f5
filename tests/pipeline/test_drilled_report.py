"""The page on a drilled ball: its lines, beside what the ball was before."""

from __future__ import annotations

import re

import pytest

from pipeline.drilled_report import drilled_report
from pipeline.prove import first_route
from pipeline.prove_drilled import drilled_route
from tests.pipeline.drilled_text import (
    BARE,
    GRIP,
    HOLE,
    MARKED,
    PLAIN,
    ROUND,
    UNEVEN,
    ball,
    drilled,
    holes,
)


def page(drilling: str, core: str = ROUND) -> str:
    before = ball(drilling, core)
    found, route = drilled_route(before)
    return drilled_report(found, [route, first_route(before)])


@pytest.fixture(scope="module")
def marked() -> str:
    return page(MARKED, UNEVEN)


@pytest.fixture(scope="module")
def raw() -> str:
    return page(holes(HOLE), PLAIN)


def line(text: str, start: str) -> str:
    """The one line that begins so."""
    (found,) = (one.strip() for one in text.splitlines() if one.strip().startswith(start))
    return found


def test_it_begins_with_name_and_revision(marked: str) -> None:
    assert marked.splitlines()[0] == "Dunlin, revision A, drilled"


def test_the_mass_before_and_after_in_pounds_and_what_was_taken(marked: str) -> None:
    found = drilled(MARKED, UNEVEN)
    before, after = found.undrilled.mass_g / 453.59237, found.properties.mass_g / 453.59237
    assert line(marked, "mass, lb").split() == [
        "mass,", "lb", f"{before:.4f}", f"{after:.4f}", f"{16.0 * (after - before):+.3f}", "oz",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("name", "k"), [("low RG, in", 0), ("intermediate RG, in", 1), ("high RG, in", 2)]
)
def test_each_rg_before_and_after(marked: str, name: str, k: int) -> None:
    found = drilled(MARKED, UNEVEN)
    before, after = (p.principal.rg_mm[k] / 25.4 for p in (found.undrilled, found.properties))
    places = 6 if found.properties.bound.rg_mm / 25.4 <= 5e-7 else 5  # a digit the bound defends
    assert line(marked, name).removeprefix(name).split() == [
        f"{before:.6f}", f"{after:.{places}f}", f"{after - before:+.{places}f}",
    ]  # fmt: skip


def test_the_total_differential_is_high_less_low(marked: str) -> None:
    low, high, total = (
        float(line(marked, name).removeprefix(name).split()[1])
        for name in ("low RG, in", "high RG, in", "total differential, in")
    )
    assert total == pytest.approx(high - low, abs=2e-6)


def test_the_intermediate_differential_is_high_less_intermediate(marked: str) -> None:
    middle, high, found = (
        float(line(marked, name).removeprefix(name).split()[1])
        for name in ("intermediate RG, in", "high RG, in", "intermediate differential, in")
    )
    assert found == pytest.approx(high - middle, abs=2e-6)


def test_symmetry_before_and_after(raw: str) -> None:
    assert line(raw, "symmetry").split() == ["symmetry", "spherical", "symmetrical"]


def test_where_a_mark_went(marked: str) -> None:
    assert re.fullmatch(
        r"pin +0\.0000 0\.0000 4\.2750 +\S+ \S+ \S+ +"
        r"turned \d+\.\d{1,2} deg, \d\.\d{1,3} in on the ball",
        line(marked, "pin  "),
    )


def test_an_undefined_mark_did_not_move(raw: str) -> None:
    assert line(raw, "pin  ").split() == ["pin", "undefined", "undefined"]


def test_a_mark_from_nowhere_did_not_move(raw: str) -> None:
    assert re.fullmatch(r"PSA +undefined +\S+ \S+ \S+", line(raw, "PSA"))


@pytest.mark.parametrize(
    ("name", "towards"),
    [("top", "the grip centre"), ("side", "the ring finger's side"), ("finger", "the fingers")],
)
def test_static_weights_both_ways(marked: str, name: str, towards: str) -> None:
    assert re.fullmatch(
        rf"{name} +[+-]\d+\.\d{{3}} +[+-]\d+\.\d\d  more than zero towards {towards}",
        line(marked, f"{name}  "),
    )


def test_what_the_two_ways_are(marked: str) -> None:
    assert line(marked, "moment: ") == (
        "moment: first moment of mass about the ball's centre, over the ball's radius"
    )
    assert line(marked, "halves: ").startswith("halves: weight of the half on that side less that")


def test_without_a_grip_static_weights_are_not_determined(raw: str) -> None:
    assert line(raw, "static weights").startswith("static weights: not determined; no grip tells")


@pytest.mark.parametrize(
    ("name", "inches"),
    [
        ("pin to axis point", "4.0000"),
        ("mark to axis point", "4.5000"),
        ("pin to vertical axis line", "2.0000"),
        ("pin to mark", "6.7152"),
    ],
)
def test_the_layout_in_words(marked: str, name: str, inches: str) -> None:
    assert line(marked, name).removeprefix(name).split() == [inches, "in"]


def test_without_a_layout_there_are_no_distances(raw: str) -> None:
    assert "along the surface" not in raw


def test_a_hole_by_its_sizes() -> None:
    found = line(page(GRIP), "thumb ")
    assert found.split() == ["thumb", "thumb", "1.0000", "2.7500", "0.3953", "118", "deg"]


@pytest.mark.parametrize("name", ["middle", "ring", "thumb", "vent 1"])
def test_every_hole_has_its_line(marked: str, name: str) -> None:
    assert line(marked, f"{name} ").startswith(name)


def test_a_bevel_is_told() -> None:
    assert "bevel" in line(page(GRIP), "middle ")


def test_an_insert_is_told_beside_its_hole(marked: str) -> None:
    assert "insert in a bore of 0.9688 in, 1.250 in deep" in line(marked, "middle ")


def test_what_was_taken_of_a_part() -> None:
    found = drilled(MARKED, UNEVEN)
    part, left = found.ball.parts[0], found.left[0]
    gone = part.claimed.volume_mm3 - left.volume_mm3
    assert line(page(MARKED, UNEVEN), "inner core").removeprefix("inner core").split() == [
        f"{gone / 16387.064:.4f}",
        f"{gone * 2.3e-3 / 28.349523125:.4f}",
        f"{left.volume_mm3 * 2.3e-3 / 453.59237:.4f}",
    ]


def test_an_insert_by_its_mass_and_density(marked: str) -> None:
    assert line(marked, "insert of middle").split() == [
        "insert", "of", "middle", "0.0120", "of", "1.1", "g/cm3",
    ]  # fmt: skip


def test_the_flare_index_is_the_first_of_its_steps(marked: str) -> None:
    found = re.fullmatch(
        r"flare index: (\S+) in, the first step of the axis; step by step ((?:\S+, ){7}\S+) in",
        line(marked, "flare index"),
    )
    assert found
    assert float(found[2].split(", ")[0]) == pytest.approx(float(found[1]), abs=6e-4)


def test_the_axis_point_by_its_rg(marked: str) -> None:
    assert re.fullmatch(
        r"axis point: RG \d\.\d{4} in, \d+\.\d deg from the low-RG axis",
        line(marked, "axis point: "),
    )


def test_an_axis_point_without_a_low_axis_is_told_without_an_angle() -> None:
    found = line(page("  hand: right\n  axis_point: {arc: 3, azimuth: 0}\n" + holes(HOLE), PLAIN),
                 "axis point: ")  # fmt: skip
    assert re.fullmatch(r"axis point: RG \d\.\d{4} in", found)


def test_what_the_flare_step_does_not_say(marked: str) -> None:
    assert "does not predict the flare of a ball that is thrown" in marked


def test_without_an_axis_point_there_is_no_flare(raw: str) -> None:
    assert "flare" not in raw


def test_it_ends_with_every_route_and_its_bound(marked: str) -> None:
    assert [one.split(", by ")[1] for one in marked.splitlines()[-2:]] == ["columns", "moments"]


@pytest.mark.parametrize(("drilling", "core"), [(MARKED, UNEVEN), (BARE, ROUND), (GRIP, PLAIN)])
def test_no_line_ends_in_blanks(drilling: str, core: str) -> None:
    assert not [one for one in page(drilling, core).splitlines() if one != one.rstrip()]


def test_no_minus_zero(marked: str) -> None:
    assert not re.search(r"-0\.0+\b(?![1-9])", marked)
