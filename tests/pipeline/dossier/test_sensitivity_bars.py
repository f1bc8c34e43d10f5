"""Sensitivities as bars: lengths, order, what is left to the table, hostile names."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.dossier.document import Chart
from pipeline.dossier.sensitivity_bars import sensitivity_bars
from tests.pipeline.dossier.chart_read import Shape, meetings, outside, rooms, root_of, shapes
from tests.pipeline.dossier.chart_rows import charts


def row_of(name: str, low: float, total: float, middle: float = 0.0) -> dict[str, Any]:
    return {
        "name": name, "step": "0.01 in", "low_rg_in": low, "total_differential_in": total,
        "intermediate_differential_in": middle,
    }  # fmt: skip


def bars(chart: Chart) -> list[tuple[Shape, float, float]]:
    """Every bar with its two ends, a frame's outer ones."""
    found = []
    for s in shapes(chart):
        if s.name == "rect" and s.hover:
            edge = float(s.attributes.get("stroke-width", "0")) / 2.0
            start, wide = s.number("x") - edge, s.number("width") + 2.0 * edge
            found.append((s, start, start + wide))
    return found


def told(shape: Shape) -> float:
    """The change that a bar's hover words tell."""
    match = re.search(r"([+\u2212]?[\d.]+) in$", shape.hover)
    assert match is not None
    return float(match[1].replace("\u2212", "-"))


def test_bars_are_as_long_as_their_changes() -> None:
    chart = charts()["sensitivity"]
    (axis,) = (s for s in shapes(chart) if s.name == "line")
    zero = float(axis.attributes["x1"])
    found = [
        (told(s), end - zero if told(s) > 0.0 else start - zero) for s, start, end in bars(chart)
    ]
    changes, lengths = np.array(found).T
    slope = float(changes @ lengths / (changes @ changes))
    assert lengths == pytest.approx(slope * changes, abs=0.03)


def test_bars_start_at_nothing() -> None:
    chart = charts()["sensitivity"]
    (axis,) = (s for s in shapes(chart) if s.name == "line")
    zero = float(axis.attributes["x1"])
    for s, start, end in bars(chart):
        assert (start if told(s) > 0.0 else end) == pytest.approx(zero, abs=0.02)


def test_no_change_has_no_bar_but_its_figure() -> None:
    chart = charts()["sensitivity"]
    one = [s for s in shapes(chart) if s.hover.startswith("outer core") and "total" in s.hover]
    assert [(s.name, s.text) for s in one] == [("text", "0.000000")]


def test_the_strongest_number_comes_first() -> None:
    names = [s.text for s in shapes(charts()["sensitivity"]) if s.attributes.get("font-weight")]
    assert names == [
        "inner core: size z", "inner core: size x", "density of clay", "outer core: diameter",
    ]  # fmt: skip


def test_a_tiny_intermediate_differential_is_left_out() -> None:
    assert not [r for r in rooms(charts()["sensitivity"]) if "intermediate" in r.text]


def test_an_intermediate_differential_that_matters_is_shown() -> None:
    chart = sensitivity_bars([row_of("a", 1e-4, 1e-4, 2e-5)])
    assert [r for r in rooms(chart) if r.text == "intermediate differential"]


def test_no_more_than_twelve_are_shown_and_the_rest_counted() -> None:
    chart = sensitivity_bars([row_of(f"number {k}", 1e-5 * k, 0.0) for k in range(1, 16)])
    assert len([r for r in rooms(chart) if r.text.startswith("number ")]) == 12
    assert any("3 weaker numbers in the table" in r.text for r in rooms(chart))
    assert chart.alt.endswith("The table has 3 weaker numbers besides.")


def test_what_moves_a_figure_most_is_told() -> None:
    assert (
        "Total differential is moved most by inner core: size z: +0.000733 in for a step of "
        "0.01 in." in charts()["sensitivity"].alt
    )


def test_figures_say_their_unit() -> None:
    texts = [r.text for r in rooms(charts()["sensitivity"])]
    assert "change for a step of each number, in" in texts


def test_no_numbers_are_said_so() -> None:
    chart = sensitivity_bars([])
    assert chart.alt == "No number of the design changes low RG or differential."
    assert outside(chart) == []


def test_a_hostile_name_makes_no_element() -> None:
    name = "</text><script>alert('\"')</script>"
    chart = sensitivity_bars([row_of(name, 1e-4, 1e-4)])
    assert not [e for e in root_of(chart).iter() if "script" in e.tag]
    assert any(name in s.hover for s in shapes(chart))


CHANGES = st.floats(-0.05, 0.05) | st.just(0.0) | st.floats(-1e-5, 1e-5)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.builds(row_of, st.text(max_size=80), CHANGES, CHANGES, CHANGES), max_size=14))
def test_any_sensitivities_are_laid_out_clear(rows: list[dict[str, Any]]) -> None:
    chart = sensitivity_bars(rows)
    assert meetings(chart) == []
    assert outside(chart) == []
