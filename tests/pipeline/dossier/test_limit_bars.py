"""Limits as bars: where value and limits stand, what is said, what cannot be drawn."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.check import Figure
from pipeline.check import finding as found
from pipeline.dossier.document import Chart
from pipeline.dossier.limit_bars import LEAST_X, LEFT, MOST_X, RIGHT, limit_bars
from pipeline.limits import Limit
from tests.pipeline.dossier.chart_read import Shape, meetings, outside, root_of, shapes
from tests.pipeline.dossier.chart_rows import FINDINGS, charts, finding

ROWS = {row["rule"]: row for row in FINDINGS}


def of(chart: Chart, rule: str) -> list[Shape]:
    return [s for s in shapes(chart) if s.hover.startswith(f"{rule}:")]


def sign_x(marks: list[Shape]) -> float:
    """Where the value's diamond or arrow stands."""
    return next(s for s in marks if s.name == "polygon").middle()[0]


def limit_xs(marks: list[Shape]) -> list[float]:
    edges = [s for s in marks if s.name == "line" and s.attributes.get("stroke-width") == "2"]
    return [float(s.attributes["x1"]) for s in edges]


def texts(marks: list[Shape]) -> list[str]:
    return [s.text for s in marks if s.name == "text"]


@pytest.mark.parametrize("rule", ["diameter", "weight as asked"])
def test_a_value_stands_between_two_limits_as_far_as_it_is(rule: str) -> None:
    row, marks = ROWS[rule], of(charts()["limits"], rule)
    share = (row["value"] - row["least"]) / (row["most"] - row["least"])
    assert sign_x(marks) == pytest.approx(LEAST_X + share * (MOST_X - LEAST_X), abs=0.02)


def test_limits_stand_in_two_columns() -> None:
    edges = {x for row in FINDINGS for x in limit_xs(of(charts()["limits"], row["rule"]))}
    assert edges == {LEAST_X, MOST_X}


@pytest.mark.parametrize(
    ("rule", "span"),
    # a round span that shows the margin: 1.2 margins or more, 4 outside, none below nothing
    [("weight", 2.0), ("low RG", -0.1), ("total differential", 0.01), ("voids", 1e-7)],
)
def test_a_value_stands_off_its_one_limit_as_far_as_its_margin(rule: str, span: float) -> None:
    row, marks = ROWS[rule], of(charts()["limits"], rule)
    limit = row["least"] if row["most"] is None else row["most"]
    off = (row["value"] - limit) / abs(span) * (MOST_X - LEAST_X)
    assert sign_x(marks) - limit_xs(marks)[0] == pytest.approx(off, abs=0.02)


def test_a_value_outside_stands_outside() -> None:
    marks = of(charts()["limits"], "house ball differential")
    assert sign_x(marks) > MOST_X


def test_a_value_far_outside_is_an_arrow_at_the_end() -> None:
    chart = limit_bars([finding("high RG", 9.0, "in", least=2.4, most=2.8)])
    arrow = next(s for s in of(chart, "high RG") if s.name == "polygon")
    assert len(arrow.points()) == 3
    assert max(arrow.points()) == (RIGHT, pytest.approx(arrow.middle()[1]))


def test_a_value_far_below_is_an_arrow_at_the_other_end() -> None:
    chart = limit_bars([finding("low RG", 1.0, "in", least=2.4, most=2.8)])
    arrow = next(s for s in of(chart, "low RG") if s.name == "polygon")
    assert min(arrow.points()) == (LEFT, pytest.approx(arrow.middle()[1]))


@pytest.mark.parametrize(("rule", "side"), [("weight", "left"), ("low RG", "right")])
def test_a_band_runs_out_on_its_open_side(rule: str, side: str) -> None:
    fading = [s for s in of(charts()["limits"], rule) if "fill-opacity" in s.attributes]
    ordered = sorted(fading, key=lambda s: s.number("x"), reverse=side == "left")
    opacities = [float(s.attributes["fill-opacity"]) for s in ordered]
    assert opacities == sorted(opacities, reverse=True)
    assert all((s.number("x") < LEAST_X) is (side == "left") for s in fading)


def test_a_band_between_two_limits_has_hard_ends() -> None:
    marks = of(charts()["limits"], "diameter")
    assert not [s for s in marks if "fill-opacity" in s.attributes]


@pytest.mark.parametrize(
    ("rule", "said"),
    [
        ("weight", "pass, inside by 1.0000 lb"),
        ("house ball differential", "fail, outside by 0.0271 in"),
        ("mark to high-RG axis", "not determined"),
        ("holes end in the ball", "pass"),
    ],
)
def test_verdict_and_margin_are_said(rule: str, said: str) -> None:
    assert said in texts(of(charts()["limits"], rule))


@pytest.mark.parametrize(
    ("rule", "sign"),
    [("weight", "✓"), ("house ball differential", "✗"), ("mark to high-RG axis", "?")],
)
def test_the_sign_comes_first(rule: str, sign: str) -> None:
    assert texts(of(charts()["limits"], rule))[0] == sign


def test_no_figure_is_said_in_words_without_a_bar() -> None:
    marks = of(charts()["limits"], "mark to high-RG axis")
    assert "no figure: the high-RG axis is undefined" in texts(marks)
    assert {s.name for s in marks} == {"text"}


def test_a_rule_without_numbers_is_said_in_words() -> None:
    marks = of(charts()["limits"], "holes end in the ball")
    assert texts(marks)[-2:] == ["0 holes", "limit: none comes out"]


def test_a_rule_that_does_not_cover_the_ball_has_no_band() -> None:
    row = finding("low RG", 2.5, "in", least=2.46, margin=None, verdict="not determined")
    marks = of(limit_bars([row]), "low RG")
    assert not [s for s in marks if s.attributes.get("class") == "band"]


def test_a_margin_below_the_usual_digits_is_still_seen() -> None:
    chart = limit_bars([finding("total differential", 0.060000123, "in", most=0.06)])
    assert "fail, outside by 0.0000001 in" in texts(of(chart, "total differential"))


def test_a_value_that_no_one_can_tell_from_its_limit_stands_on_it() -> None:
    row = finding("low RG", 2.46000004, "in", least=2.46, verdict="not determined")
    marks = of(limit_bars([row]), "low RG")
    assert sign_x(marks) == pytest.approx(LEAST_X, abs=0.1)
    assert "not determined, at the limit" in texts(marks)


def test_what_breaks_a_rule_is_told_before_what_passes() -> None:
    alt = charts()["limits"].alt
    assert alt.startswith("13 rules: 11 pass, 1 fail, 1 not determined. Broken: house ball")


def test_no_rules_are_said_so() -> None:
    assert limit_bars([]).alt == "There is no rule to hold the ball against."


LIMITS = st.builds(
    Limit,
    rule=st.text(max_size=40),
    figure=st.just("x"),
    unit=st.sampled_from(["in", "lb", "oz", "g/mL", "of the volume", "holes"]),
    source=st.just(""),
    confidence=st.just("M"),
    least=st.none() | st.floats(-50.0, 50.0),
    most=st.none() | st.floats(50.0, 100.0),
    weight_from_lb=st.none() | st.just(13.0),
).filter(lambda limit: limit.least is not None or limit.most is not None)
FIGURES = st.builds(
    Figure, st.none() | st.floats(-200.0, 200.0), st.sampled_from([0.0, 1e-6]), st.text(max_size=60)
)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(LIMITS, FIGURES, st.sampled_from([12.0, 15.0])), max_size=4))
def test_any_findings_are_laid_out_clear(drawn: list[tuple[Limit, Figure, float]]) -> None:
    rows: list[dict[str, Any]] = []
    for limit, figure, weight in drawn:
        one = found(limit, figure, weight)
        rows.append({**vars(one), "least": limit.least, "most": limit.most})
    chart = limit_bars(rows)
    assert meetings(chart) == []
    assert outside(chart) == []
    assert root_of(chart) is not None
