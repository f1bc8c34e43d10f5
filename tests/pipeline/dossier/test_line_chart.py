"""The line's small charts: where the diamonds stand, what is met, what there is no ball for."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.dossier.document import Chart
from pipeline.dossier.line_chart import line_chart
from tests.pipeline.dossier.chart_read import Shape, meetings, outside, rooms, shapes
from tests.pipeline.dossier.chart_rows import LINE, charts

FIGURES = ["low RG", "total differential", "intermediate differential"]
KEYS = ["low_rg_in", "total_differential_in", "intermediate_differential_in"]
KNOWN = [row for row in LINE["weights"] if row["figures"]]


def row_of(weight: float, values: tuple[float, ...], met: bool = True) -> dict[str, Any]:
    figures = dict(zip(KEYS, values, strict=True)) if values else {}
    return {"weight_lb": weight, "met": met and bool(values), "figures": figures, "why": None}


def diamonds(chart: Chart, figure: str) -> dict[float, Shape]:
    """The last polygon at each weight of a figure's chart: a full one, or an open one's edge."""
    found = {}
    for s in shapes(chart):
        match = re.match(rf"{figure} at ([\d.]+) lb", s.hover)
        if match and s.name == "polygon":
            found[float(match[1])] = s
    return found


def ticks(chart: Chart, panel: int) -> tuple[list[float], list[float]]:
    """Values on an edge and how far down they stand, of the panel-th chart."""
    tops = [r.bottom for r in rooms(chart) if r.text.endswith(", in")]
    ends = [*tops[1:], 1e9]
    found = [
        (float(s.text), s.number("y") - 4.5)
        for s in shapes(chart)
        if s.name == "text"
        and s.attributes.get("text-anchor") == "end"
        and s.attributes["class"] == "faint"
        and tops[panel] < s.number("y") < ends[panel]
    ]
    return [v for v, _ in found], [y for _, y in found]


@pytest.mark.parametrize("panel", [0, 1, 2])
def test_diamonds_stand_where_their_axis_says(panel: int) -> None:
    chart = charts()["line"]
    slope, start = np.polyfit(*reversed(ticks(chart, panel)), 1)
    for weight, diamond in diamonds(chart, FIGURES[panel]).items():
        value = next(r["figures"][KEYS[panel]] for r in KNOWN if r["weight_lb"] == weight)
        assert start + slope * diamond.middle()[1] == pytest.approx(value, abs=abs(slope) * 0.02)


def test_diamonds_stand_across_by_weight() -> None:
    found = diamonds(charts()["line"], "low RG")
    xs = [found[w].middle()[0] for w in (14.0, 15.0, 16.0)]
    assert xs[2] - xs[1] == pytest.approx(xs[1] - xs[0], abs=0.02)


def test_a_weight_that_is_met_has_a_full_diamond() -> None:
    assert diamonds(charts()["line"], "low RG")[15.0].attributes["fill"] != "none"


def test_a_weight_that_is_not_met_has_an_open_diamond() -> None:
    assert diamonds(charts()["line"], "low RG")[14.0].attributes["fill"] == "none"


@pytest.mark.parametrize(
    "said", ["met: 15 and 16 lb", "not met: 14 lb", "no such ball: 12 and 13 lb"]
)
def test_what_is_met_is_said_in_words(said: str) -> None:
    assert said in [r.text for r in rooms(charts()["line"])]


def test_a_weight_without_a_ball_has_no_diamond() -> None:
    assert set(diamonds(charts()["line"], "low RG")) == {14.0, 15.0, 16.0}


def test_no_line_runs_across_a_weight_without_a_ball() -> None:
    rows = [row_of(w, (2.5, 0.04, 0.0) if w != 15.0 else ()) for w in (14.0, 15.0, 16.0)]
    assert not [s for s in shapes(line_chart({"weights": rows})) if s.name == "polyline"]


def test_a_small_intermediate_differential_is_left_out() -> None:
    chart = line_chart({"weights": [row_of(15.0, (2.5, 0.04, 0.0005))]})
    assert not [r for r in rooms(chart) if "intermediate" in r.text]


def test_a_single_weight_stands_in_the_middle() -> None:
    (diamond,) = diamonds(
        line_chart({"weights": [row_of(15.0, (2.5, 0.04, 0.0))]}), "low RG"
    ).values()
    assert diamond.middle()[0] == pytest.approx((84.0 + 704.0) / 2.0)


def test_the_order_of_the_weights_does_not_matter() -> None:
    turned = {"weights": LINE["weights"][::-1]}
    assert line_chart(turned) == line_chart(LINE)


def test_least_and_greatest_are_told() -> None:
    assert "Low RG: least 2.5321 in at 14 lb, greatest 2.5369 in at 16 lb." in charts()["line"].alt


def test_no_weights_are_said_so() -> None:
    assert line_chart({"weights": []}).alt == "The line has no weights."


VALUES = st.tuples(st.floats(2.3, 2.8), st.floats(0.0, 0.08), st.floats(0.0, 0.04))
ROWS = st.builds(
    row_of,
    st.integers(24, 64).map(lambda quarters: quarters / 4.0),
    st.just(()) | VALUES,
    st.booleans(),
)


@settings(max_examples=60, deadline=None)
@given(st.lists(ROWS, max_size=12))
def test_any_line_is_laid_out_clear(rows: list[dict[str, Any]]) -> None:
    chart = line_chart({"weights": rows})
    assert meetings(chart) == []
    assert outside(chart) == []


@settings(max_examples=40, deadline=None)
@given(st.lists(ROWS, max_size=8))
def test_no_label_stands_on_a_line_or_another_weights_diamond(rows: list[dict[str, Any]]) -> None:
    chart = line_chart({"weights": rows})
    labels = [r for r in rooms(chart) if re.fullmatch(r"\d\.\d{4}", r.text)]
    t = np.linspace(0.0, 1.0, 101)[:, None]
    for line in (s.points() for s in shapes(chart) if s.name == "polyline"):
        for a, b in pairwise(np.array(line)):
            x, y = ((1.0 - t) * a + t * b).T
            for r in labels:
                inside = (x > r.left) & (x < r.right) & (y > r.top) & (y < r.bottom)
                assert not inside.any() or r.left < 80.0  # a tick's own words
