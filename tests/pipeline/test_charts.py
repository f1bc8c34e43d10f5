"""Charts: the same bytes for the same figures, our own face, labels that stay apart."""

from __future__ import annotations

import io

import numpy as np
import pytest
from PIL import Image

from pipeline.bands import BANDS
from pipeline.charts import Spot, _gathered, curve_chart, line_chart, rg_map
from pipeline.contours import Layer, _label_places, contour_map, contours
from pipeline.limits import limits_on_rg

LB = 453.59237
G = np.random.default_rng(1)
LOW, TOTAL = 2.5 + 0.1 * G.random(50), 0.02 + 0.03 * G.random(50)
X, Y = np.linspace(2.0, 3.0, 11), np.linspace(4.0, 5.0, 9)
FIELD = 2.5 + 0.01 * X[:, None] + 0.05 * Y[None, :]


def draw(name: str) -> bytes:
    if name == "map":
        return rg_map(LOW, TOTAL, "Grèbe", 15.0 * LB, [Spot(2.55, 0.03, "one")])
    if name == "contours":
        hole = np.where(X[:, None] > 2.8, np.nan, FIELD)
        return contour_map(X, Y, hole, 0.02 + 0.1 * (hole - 2.5), ("a, in", "b, in"), "B")
    if name == "curves":
        return curve_chart(X, {"low RG": FIELD[:, 0], "flat": np.zeros(11)}, "a, in", "C")
    window = np.array([2.5, 2.6])
    return line_chart(np.array([15.0, 16.0]), {"low RG, in": (LOW[:2], window)}, "D")


@pytest.mark.parametrize("name", ["map", "contours", "curves", "line"])
def test_the_same_figures_give_the_same_picture(
    name: str, capfd: pytest.CaptureFixture[str]
) -> None:
    first = draw(name)
    assert draw(name) == first
    picture = np.asarray(Image.open(io.BytesIO(first)).convert("L"))
    assert picture.std() > 4.0  # not blank
    assert capfd.readouterr().err == ""  # no word about fonts


def test_our_face_is_the_one_that_is_used() -> None:
    from matplotlib import font_manager

    draw("line")
    for weight in ("normal", "bold"):
        found = font_manager.findfont(
            font_manager.FontProperties(family="corewright charts", weight=weight),
            fallback_to_default=False,
        )
        assert "corewright-" in str(found)


def test_balls_that_lie_on_one_another_share_a_label() -> None:
    spots = [Spot(2.55, 0.03, "1"), Spot(2.5501, 0.03001, "2"), Spot(2.6, 0.04, "before")]
    found = _gathered(spots, ((2.5, 2.7), (0.0, 0.06)))
    assert [spot.name for spot in found] == ["1, 2", "before"]


def test_labels_stand_where_lines_pass_a_column() -> None:
    found = _label_places(X, Y, FIELD, np.array([2.73, 2.75, 2.77]), 0.5)
    assert [x for x, _ in found] == [2.5, 2.5, 2.5]
    assert [y for _, y in found] == pytest.approx([4.1, 4.5, 4.9])


def test_limits_are_drawn_only_where_they_are_known() -> None:
    assert {limit.rule for limit in limits_on_rg(15.0 * LB)} >= {"low RG", "total differential"}
    assert limits_on_rg(10.0 * LB) == []


def test_the_words_of_the_trade_say_where_they_come_from() -> None:
    assert [b.word for b in BANDS["low_rg"].bands] == ["low", "medium", "high"]
    assert BANDS["low_rg"].word(2.50) == "medium"
    assert "unofficial" in BANDS["total_differential"].source


def gone(where: str) -> np.ndarray:
    """The field without some of its columns, X; labels stand in the middle one."""
    found = FIELD.copy()
    if where == "left":
        found[4] = np.nan
    elif where == "right":
        found[6] = np.nan
    elif where == "both":
        found[[4, 6]] = np.nan
    elif where == "all others":
        found[np.arange(11) != 5] = np.nan
    elif where == "it":
        found[5] = np.nan
    elif where == "every other cell":
        found[np.add.outer(np.arange(11), np.arange(9)) % 2 == 0] = np.nan
    else:
        found[:] = np.nan
    return found


@pytest.mark.parametrize(
    "where", ["left", "right", "both", "all others", "it", "every other cell", "everywhere"]
)
def test_no_values_beside_the_column_of_labels_are_no_hindrance(where: str) -> None:
    layer = Layer(gone(where), "a field, in", "%.3f", "#112233", "solid", 0.5)
    picture = contours(X, Y, (layer,), ("a, in", "b, in"), "D", "no such ball")
    assert np.asarray(Image.open(io.BytesIO(picture)).convert("L")).std() > 4.0


@pytest.mark.parametrize("values", [FIELD, gone("it")], ids=["values", "gaps"])
def test_a_place_on_a_chart_is_named(values: np.ndarray) -> None:
    layer = Layer(values, "a field, in", "%.3f", "#112233", "solid", 0.5)
    words = ("a, in", "b, in"), "D", "no such ball"
    plain = contours(X, Y, (layer,), *words)
    assert contours(X, Y, (layer,), *words, (2.5, 4.5, "here")) != plain
