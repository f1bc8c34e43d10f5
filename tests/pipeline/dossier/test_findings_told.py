"""A finding as cells: what is printed does not contradict its verdict, nor say too much."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.dossier.findings_told import limit_cells, told
from tests.pipeline.dossier.told_balls import data

MINUS = "\N{MINUS SIGN}"


def row(**more: Any) -> dict[str, Any]:
    """A rule that a low RG of 2.5 in keeps."""
    return {
        "rule": "low RG", "value": 2.5, "unit": "in", "limit": "at least 2.46 in", "least": 2.46,
        "most": None, "margin": 0.04, "verdict": "pass", "source": "", "confidence": "S",
        "note": "", **more,
    }  # fmt: skip


def words(found: dict[str, Any]) -> list[str]:
    return [cell.text for cell in limit_cells(found)]


def read(text: str) -> float:
    """The number that a cell starts with."""
    return float(text.split(" ")[0].replace(MINUS, "-"))


def failing(below: float) -> dict[str, Any]:
    return row(value=2.46 - below, margin=-below, verdict="fail")


def test_value_limit_margin_and_verdict_stand_in_that_order_with_their_units() -> None:
    assert words(row()) == ["2.5000 in", "at least 2.46 in", "0.0400 in", "pass"]


@pytest.mark.parametrize("verdict", ["pass", "fail", "not determined"])
def test_the_verdict_is_a_word_and_a_sign(verdict: str) -> None:
    cells = limit_cells(row(verdict=verdict))
    assert [cell.verdict for cell in cells] == [None, None, None, verdict]
    assert cells[-1].text == verdict


@given(st.floats(1e-3, 0.5))
def test_a_figure_outside_has_a_margin_with_a_true_minus(below: float) -> None:
    margin = words(failing(below))[2]
    assert margin.startswith(MINUS)
    assert read(margin) == pytest.approx(-below, abs=0.6e-4)


@pytest.mark.parametrize("below", [4e-5, 1e-6, 2e-8])
def test_a_figure_that_fails_by_little_is_not_printed_as_on_the_limit(below: float) -> None:
    """Who reads '2.4600 in, at least 2.46 in, fail' is told nothing."""
    value, _, margin, _ = words(failing(below))
    assert read(value) < 2.46
    assert read(margin) < 0.0


def test_a_figure_that_is_undefined_says_so_without_a_unit_or_a_margin() -> None:
    found = words(row(value=None, margin=None, verdict="not determined"))
    assert found == ["undefined", "at least 2.46 in", "", "not determined"]


def test_a_rule_without_a_margin_leaves_its_cell_empty() -> None:
    holes = row(rule="holes end in the ball", value=0.0, unit="holes", margin=None, limit="none")
    assert words(holes) == ["0 holes", "none", "", "pass"]


def test_a_rule_without_a_unit_has_no_space_after_its_value() -> None:
    assert words(row(unit=""))[0] == "2.5000"


@given(st.integers(0, 40), st.sampled_from(["holes", "pairs"]))
def test_what_is_counted_has_no_decimals(count: int, unit: str) -> None:
    found = words(row(value=float(count), margin=5.0, unit=unit))
    assert (found[0], found[2]) == (f"{count} {unit}", f"5 {unit}")


def test_a_count_of_less_than_nothing_has_a_true_minus() -> None:
    found = words(row(value=6.0, margin=-1.0, unit="holes", verdict="fail"))
    assert found[2] == f"{MINUS}1 holes"


@pytest.mark.parametrize(("unit", "places"), [("mm", 1), ("mm2", 0), ("%", 2), ("deg", 3)])
def test_a_check_of_a_casting_is_told_as_finely_as_its_data_are(unit: str, places: int) -> None:
    found = row(casting="core", rule="thinnest wall", unit=unit, value=12.0, margin=-3.0)
    assert read(told(found, 12.0).ljust(1)) == 12.0
    assert len(told(found, 12.0).partition(".")[2]) == places


@pytest.mark.parametrize("name", ["spheres", "gripped", "cast"])
def test_every_finding_of_a_ball_is_told_within_half_of_its_last_digit(name: str) -> None:
    found = data(name)
    for one in [*found["findings"], *found.get("tooling", {}).get("findings", [])]:
        for text, value in zip(
            (words(one)[0], words(one)[2]), (one["value"], one["margin"]), strict=True
        ):
            if value is None:
                assert text in ("", "undefined")
                continue
            last = Decimal(text.split(" ")[0].replace(MINUS, "-")).as_tuple().exponent
            assert abs(read(text) - value) <= 0.5001 * 10.0 ** int(last), one["rule"]


def test_a_static_weight_is_told_no_finer_than_the_halves_are_sure_of() -> None:
    """The halves are good to 0.01 oz, as the page itself says below the static weights."""
    found = data("gripped")
    halves = {
        name.removesuffix("_oz"): one["halves"]
        for name, one in found["figures"]["drilling"]["static_weights"].items()
        if isinstance(one, dict)
    }
    wrong = []
    for one in found["findings"]:
        side = one["rule"].removesuffix(" weight")
        if side in halves and round(one["value"], 2) == abs(halves[side]):
            text = words(one)[0].split(" ")[0]
            if len(text.partition(".")[2]) > 2:
                wrong.append(f"{one['rule']}: {text} oz where {halves[side]} oz is sure")
    assert wrong == []
