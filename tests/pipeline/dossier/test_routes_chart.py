"""Routes held against the first one on an axis of powers of ten."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.dossier.document import Chart
from pipeline.dossier.routes_chart import differences, routes_chart
from tests.pipeline.dossier.chart_read import Shape, meetings, outside, rooms, shapes
from tests.pipeline.dossier.chart_rows import ROUTES, charts


def of(chart: Chart, rg: str, route: str) -> list[Shape]:
    return [s for s in shapes(chart) if s.hover.startswith(f"{rg} RG by {route}:")]


def scale(chart: Chart) -> tuple[float, float]:
    """From the axis' own words: units a power of ten, and where 1 millionth stands."""
    found = [
        (np.log10(float(s.text)), s.number("x"))
        for s in shapes(chart)
        if s.name == "text" and re.fullmatch(r"[\d.]+", s.text)
    ]
    slope, start = np.polyfit(*np.array(found).T, 1)
    return float(slope), float(start)


def moved(low: float) -> dict[str, Any]:
    """The boundary route's low RG moved."""
    rg = {**ROUTES["boundary"]["rg_in"], "low": 2.53490655 + low}  # type: ignore[dict-item]
    return {**ROUTES, "boundary": {**ROUTES["boundary"], "rg_in": rg}}


@pytest.mark.parametrize("rg", ["low", "intermediate", "high"])
@pytest.mark.parametrize("route", ["boundary", "mesh"])
def test_a_difference_stands_where_the_axis_says(rg: str, route: str) -> None:
    chart = charts()["routes"]
    slope, start = scale(chart)
    diamond = next(s for s in of(chart, rg, route) if s.name == "polygon")
    apart = abs(ROUTES[route]["rg_in"][rg] - ROUTES["moments"]["rg_in"][rg])  # type: ignore[index]
    expected = start + slope * np.log10(apart * 1e6)
    assert diamond.middle()[0] == pytest.approx(expected, abs=0.05)


@pytest.mark.parametrize(
    # the bounds of both routes, and half a unit of each one's last digit
    ("route", "allowed"), [("boundary", 1.015 + 0.5), ("mesh", 4000.01 + 500.005)]
)  # fmt: skip
def test_a_bar_ends_at_what_the_bounds_allow(route: str, allowed: float) -> None:
    chart = charts()["routes"]
    slope, start = scale(chart)
    bar = next(s for s in of(chart, "low", route) if s.name == "rect")
    end = bar.number("x") + bar.number("width")
    assert end == pytest.approx(start + slope * np.log10(allowed), abs=0.05)


def test_no_difference_is_an_arrow_at_the_left_end() -> None:
    chart = routes_chart(moved(0.0))
    arrow = next(s for s in of(chart, "low", "boundary") if s.name == "polygon")
    bar = next(s for s in of(chart, "low", "boundary") if s.name == "rect")
    assert len(arrow.points()) == 3
    assert min(arrow.points())[0] < bar.number("x")


def test_routes_within_their_bounds_agree() -> None:
    assert "Every route agrees with moments within the bounds." in charts()["routes"].alt


def test_a_route_out_of_its_bound_is_told_first() -> None:
    alt = routes_chart(moved(2e-5)).alt
    apart = "20 millionths of an inch from moments; the bounds allow 1.5: differs."
    assert alt.startswith(f"Low RG by boundary: {apart}")


def test_a_route_out_of_its_bound_is_crossed_out() -> None:
    texts = [s.text for s in of(routes_chart(moved(2e-5)), "low", "boundary")]
    assert "✗" in texts
    assert "differs: 20 of 1.5" in texts


def test_rounding_alone_is_no_disagreement() -> None:
    # a route that is off by its bound, and rounded away from the answer by half a millionth
    found = differences(moved(1.5e-6))
    assert all(d.agrees for d in found)


def test_one_route_alone_is_said_so() -> None:
    chart = routes_chart({"moments": ROUTES["moments"]})
    assert chart.alt == "There is one route only, moments."
    assert outside(chart) == []


def test_the_axis_names_its_unit() -> None:
    texts = [r.text for r in rooms(charts()["routes"])]
    assert "difference from moments, millionths of an inch" in texts


ROUTE = st.builds(
    lambda low, rise, power: {
        "rg_in": {"low": low, "intermediate": low, "high": low + rise},
        "error_bound_rg_in": 10.0**power,
    },
    st.floats(2.4, 2.8),
    st.floats(0.0, 0.08),
    st.integers(-9, -2),
)


@settings(max_examples=60, deadline=None)
@given(st.dictionaries(st.text(min_size=1, max_size=30), ROUTE, min_size=1, max_size=4))
def test_any_routes_are_laid_out_clear(routes: dict[str, Any]) -> None:
    chart = routes_chart(routes)
    assert meetings(chart) == []
    assert outside(chart) == []
