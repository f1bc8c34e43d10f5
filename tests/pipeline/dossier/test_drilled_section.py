"""The drilled ball on the page: before and after, holes, layout, static weights."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest

from pipeline.dossier.document import Section, Still, Words
from pipeline.dossier.drilled_section import drilled_section
from tests.pipeline.dossier.block_texts import cells, said, table_of
from tests.pipeline.dossier.told_balls import Data, data

MINUS = "\N{MINUS SIGN}"
RGS = ("low", "intermediate", "high")


def section(told: Data) -> Section:
    found = drilled_section(told)
    assert found is not None
    return found


def read(text: str) -> Decimal:
    assert "-" not in text
    return Decimal(text.replace(MINUS, "-"))


def both(told: Data) -> dict[str, tuple[float, float]]:
    """Before and after by the names of the table's rows."""
    after, before = told["figures"], told["figures"]["undrilled"]
    pairs = {"mass, lb": (before["mass_lb"], after["mass_lb"])}
    pairs |= {f"{n} RG, in": (before["rg_in"][n], after["rg_in"][n]) for n in RGS}
    for key in ("total_differential_in", "intermediate_differential_in"):
        pairs[f"{key.removesuffix('_in').replace('_', ' ')}, in"] = before[key], after[key]
    return pairs


def test_a_ball_without_holes_has_no_such_section() -> None:
    assert drilled_section(data("leaning")) is None


@pytest.mark.parametrize("name", ["gripped", "bored"])
def test_before_and_after_are_those_of_the_json_digit_for_digit(name: str) -> None:
    told = data(name)
    rows = cells(table_of(section(told), "Before and after"))
    assert list(rows) == list(both(told))
    for figure, pair in both(told).items():
        assert [read(text) for text in rows[figure][:2]] == [Decimal(repr(v)) for v in pair]


@pytest.mark.parametrize("name", ["gripped", "bored"])
def test_a_change_is_the_difference_of_the_figures_beside_it(name: str) -> None:
    """On a ball that was symmetrical, too, where the intermediate differential was nought."""
    told = data(name)
    rows = cells(table_of(section(told), "Before and after"))
    wrong = []
    for figure, (before, after) in both(told).items():
        change = read(rows[figure][2])
        if float(change) != pytest.approx(after - before, rel=0.02, abs=2e-6):
            wrong.append(f"{figure}: {before} to {after} is told as {change}")
    assert wrong == []


def test_a_figure_that_stayed_has_a_change_of_nothing_without_a_sign() -> None:
    told = data("gripped")
    told["figures"]["undrilled"]["mass_lb"] = told["figures"]["mass_lb"]
    change = cells(table_of(section(told), "Before and after"))["mass, lb"][2]
    assert change[:1].isdigit()
    assert float(change) == 0.0


def test_every_hole_is_told_with_its_size_and_place() -> None:
    told = data("gripped")
    rows = cells(table_of(section(told), "Holes"))
    holes = told["figures"]["drilling"]["holes"]
    assert list(rows) == [hole["name"] for hole in holes]
    for hole in holes:
        use, _, entry, diameter, depth, misses = rows[hole["name"]]
        assert use == hole["use"]
        assert [float(read(word)) for word in entry.split(", ")] == hole["entry_in"]
        assert (float(diameter), float(depth)) == (hole["diameter_in"], hole["depth_in"])
        assert float(misses) == hole["misses_centre_in"]


def test_an_insert_is_told_with_its_bore() -> None:
    bottom = cells(table_of(section(data("gripped")), "Holes"))["middle"][1]
    assert bottom == "flat, insert in a bore of 0.96875 in, 1.25 in deep"


@pytest.mark.parametrize(
    ("bottom", "bevel", "due"),
    [
        ("flat", 0.0, "flat"),
        ({"point_deg": 118.0}, 0.0, "point of 118 deg"),
        ("flat", 0.0625, "flat, bevel 0.0625 in"),
    ],
)
def test_the_bottom_of_a_hole_is_told_in_words(bottom: object, bevel: float, due: str) -> None:
    told = data("bored")
    told["figures"]["drilling"]["holes"][0] |= {"bottom": bottom, "bevel_in": bevel}
    assert cells(table_of(section(told), "Holes"))["thumb"][1] == due


def test_the_holes_are_counted_and_weighed() -> None:
    told = data("gripped")
    first = section(told).blocks[0]
    assert isinstance(first, Words)
    drilling = told["figures"]["drilling"]
    assert (
        f"with {len(drilling['holes'])} holes, which takes {drilling['removed_oz']} oz"
        in first.text
    )
    assert "right hand" in first.text


def test_one_hole_is_told_of_as_one() -> None:
    assert not re.search(r"\b1 holes\b", said(section(data("bored"))))


def test_a_ball_drilled_for_no_hand_says_nothing_of_one() -> None:
    first = section(data("bored")).blocks[0]
    assert isinstance(first, Words)
    assert "hand" not in first.text


def test_without_a_grip_static_weights_are_not_determined() -> None:
    text = said(section(data("bored")))
    assert "Static weights are not determined" in text
    assert "Layout" not in text
    assert "Flare" not in text


def test_static_weights_are_told_both_ways_with_their_side() -> None:
    told = data("gripped")
    rows = cells(table_of(section(told), "Static weights"))
    statics = told["figures"]["drilling"]["static_weights"]
    assert set(rows) == {"top weight", "side weight", "finger weight"}
    for name, (towards, moment, halves) in rows.items():
        one = statics[f"{name.removesuffix(' weight')}_oz"]
        assert towards == one["towards"]
        assert (float(read(moment)), float(read(halves))) == (one["moment"], one["halves"])


def test_the_layout_names_every_distance() -> None:
    told = data("gripped")
    rows = cells(table_of(section(told), "Layout"))
    layout = told["figures"]["drilling"]["layout_in"]
    assert [float(read(text)) for (text,) in rows.values()] == list(layout.values())
    assert {"pin to axis point", "pin to vertical axis line"} <= set(rows)


def test_an_axis_that_is_undefined_has_not_moved_by_a_number() -> None:
    told = data("bored")  # it was symmetrical before
    rows = cells(table_of(section(told), "How far"))
    assert told["figures"]["drilling"]["psa_moved"] == {"deg": None, "in": None}
    assert rows["PSA"] == ["undefined", "undefined"]


def test_only_pictures_of_this_section_stand_in_it() -> None:
    told = data("gripped")
    found = [block.key for block in section(told).blocks if isinstance(block, Still)]
    assert found == [row["key"] for row in told["pictures"] if row["place"] == "drilled"]
