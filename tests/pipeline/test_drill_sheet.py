"""The drill sheet: what it says, that it all stands on the page, and nothing over another."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from itertools import combinations
from typing import Any, Literal

import matplotlib as mpl
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Text
from matplotlib.transforms import Bbox

from pipeline.chart_face import family
from pipeline.check import Finding
from pipeline.drill_check import check_drilled
from pipeline.drill_sheet import CAUTIONS, SIZES_IN, Paper, _page, drill_sheet
from pipeline.drilled import Drilled
from tests.pipeline.drilled_text import (
    BARE,
    GRIP,
    HOLE,
    MARKED,
    ROUND,
    THUMBLESS,
    UNEVEN,
    drilled,
    holes,
)

PAPERS: list[Paper] = ["a4", "letter"]
NAMES = [
    "index finger of the hand that is measured",
    "middle finger of the hand so measured, B",
    "ring finger of that same measured hand, C",
    "little finger of the hand as measured, D",
    "thumb of the hand, measured with care, E",
]
FIVE = holes(
    *(
        f'name: "{name[:40]}", use: {"thumb" if k == 4 else "finger"}, '
        f"at: {{arc: {10 if k == 4 else 6}, azimuth: {15 * k if k < 4 else 22}}}, "
        "diameter: 0.75, depth: 1.5"
        for k, name in enumerate(NAMES)
    ),
    *(
        f"name: vent {k}, use: vent, at: {{arc: 8, azimuth: {20 * k}}}, diameter: 0.12, depth: 1"
        for k in range(3)
    ),
)
BALLS = {
    "plain grip": (BARE, ROUND),
    "grip with a vent and an insert": (GRIP, ROUND),
    "five holes of long names": (FIVE, ROUND),
    "no thumb": (THUMBLESS, ROUND),
    "asymmetrical": (MARKED, UNEVEN),
    "one hole": (holes(HOLE), ROUND),
}
_ROOM = 0.4  # of a line's height: its box has room for letters that go below and above


@cache
def made(name: str) -> tuple[Drilled, tuple[Finding, ...]]:
    found = drilled(*BALLS[name])
    return found, check_drilled(found)


@cache
def page(name: str, paper: Paper) -> Figure:
    """The page as it is drawn, in our own face."""
    look: Any = {"font.family": [family()]}
    with mpl.rc_context(look):
        figure = Figure(figsize=SIZES_IN[paper])
        FigureCanvasAgg(figure)
        _page(figure, *made(name))
        figure.draw_without_rendering()
    return figure


def written(figure: Figure) -> list[Text]:
    """The texts of the page and its tables, without those of the maps."""
    return [text for text in figure.texts if text.get_text().strip()]


def on_maps(figure: Figure) -> Iterator[Text]:
    for axes in figure.axes:
        yield from (text for text in axes.texts if text.get_text().strip())
        legend = axes.get_legend()
        yield from legend.get_texts() if legend else ()


def said(name: str, paper: Paper = "a4") -> list[str]:
    return [text.get_text() for text in written(page(name, paper))]


def box(text: Text) -> Bbox:
    return text.get_window_extent()


def clash(one: Bbox, other: Bbox) -> bool:
    wide = min(one.x1, other.x1) - max(one.x0, other.x0)
    tall = min(one.y1, other.y1) - max(one.y0, other.y0)
    return bool(wide > 1.0 and tall > _ROOM * min(one.height, other.height))


def clashes(name: str, paper: Paper) -> list[tuple[str, str]]:
    """Texts of the tables that lie over one another."""
    boxes = [(text.get_text(), box(text)) for text in written(page(name, paper))]
    return [(a, b) for (a, at), (b, other) in combinations(boxes, 2) if clash(at, other)]


def after(name: str, first: str) -> list[str]:
    """The texts that stand in the row of a first one, to the right of it."""
    texts = written(page(name, "a4"))
    (start,) = (text for text in texts if text.get_text() == first)
    row = [t for t in texts if abs(t.get_position()[1] - start.get_position()[1]) < 1e-9]
    return [t.get_text() for t in row if t.get_position()[0] > start.get_position()[0]]


@pytest.fixture(scope="module", params=["pdf", "svg"])
def twice(request: pytest.FixtureRequest) -> tuple[bytes, bytes]:
    form: Literal["pdf", "svg"] = request.param
    return drill_sheet(*made("plain grip"), form), drill_sheet(*made("plain grip"), form)


def test_the_same_ball_gives_the_same_bytes(twice: tuple[bytes, bytes]) -> None:
    assert twice[0] == twice[1]


def test_a_sheet_holds_no_time(twice: tuple[bytes, bytes]) -> None:
    assert not re.search(rb"CreationDate|<dc:date>", twice[0])


@pytest.mark.parametrize(("form", "start"), [("pdf", b"%PDF-1."), ("svg", b"<?xml")])
def test_a_sheet_is_what_its_name_says(form: Literal["pdf", "svg"], start: bytes) -> None:
    assert drill_sheet(*made("one hole"), form).startswith(start)


@pytest.mark.parametrize(("paper", "due"), [("a4", (595.44, 841.68)), ("letter", (612.0, 792.0))])
def test_a_sheet_has_the_size_of_its_paper(paper: Paper, due: tuple[float, float]) -> None:
    found = re.search(rb"/MediaBox \[ ?0 0 ([\d.]+) ([\d.]+)", drill_sheet(
        *made("one hole"), "pdf", paper,
    ))  # fmt: skip
    assert found is not None
    assert tuple(float(v) for v in found.groups()) == pytest.approx(due, abs=0.01)


def test_a_sheet_is_one_page() -> None:
    assert len(re.findall(rb"/Type /Page\b", drill_sheet(*made("one hole"), "pdf"))) == 1


def test_the_letters_of_a_sheet_can_be_searched_for() -> None:
    assert b"/ToUnicode" in drill_sheet(*made("one hole"), "pdf")


@pytest.mark.parametrize("hole", ["middle", "ring", "thumb", "vent 1"])
def test_every_hole_is_named(hole: str) -> None:
    assert hole in said("grip with a vent and an insert")


@pytest.mark.parametrize("caution", CAUTIONS)
def test_every_caution_is_there(caution: str) -> None:
    assert caution in " ".join(line.strip() for line in said("plain grip"))


def test_it_is_a_design_estimate() -> None:
    assert any(line.startswith("Design estimate") for line in said("plain grip"))


def test_diameter_depth_bevel_and_insert_are_those_that_were_asked() -> None:
    assert after("grip with a vent and an insert", "middle")[2:] == [
        "25/32", "2 1/2", "flat", "1/16", "31/32", "1 1/4", "1.1", "0", "0",
    ]  # fmt: skip


def test_reverse_and_left_stand_in_brackets() -> None:
    assert after("grip with a vent and an insert", "thumb")[2:] == [
        "1", "2 3/4", "118°", "none", "none", "(3/8)", "(1/8)",
    ]  # fmt: skip


def test_a_vent_is_told_by_where_it_enters() -> None:
    assert after("grip with a vent and an insert", "vent 1")[:2] == ["1/2", "(1)"]


def test_a_hole_of_no_grip_tells_by_how_much_it_misses_the_centre() -> None:
    assert after("one hole", "thumb")[-2:] == ["misses centre", "0"]


def test_a_hole_of_no_grip_tells_where_it_enters_in_the_ball_frame() -> None:
    assert after("one hole", "thumb")[:2] == ["arc 6 3/4", "at 30.0°"]


@pytest.mark.parametrize(
    ("words", "due"),
    [
        ("pin to axis point", "4"),
        ("pin to vertical axis line", "2"),
        ("axis point, over from the grip centre", "5"),
        ("axis point, then up", "1/2"),
        ("span, thumb to middle, edge to edge", "4 1/4"),
        ("bridge, middle to ring, edge to edge", "1/4"),
    ],
)
def test_distances_along_the_surface_are_those_that_were_asked(words: str, due: str) -> None:
    assert after("plain grip", words)[0] == due


def test_the_mark_of_an_asymmetrical_ball_has_its_distance() -> None:
    assert after("asymmetrical", "mark to axis point")[0] == "4 1/2"


def test_the_hand_is_told() -> None:
    assert "drill sheet, right hand; revision A" in said("plain grip")


@pytest.mark.parametrize("name", ["plain grip", "one hole"])
def test_every_rule_has_its_verdict(name: str) -> None:
    words = {"pass", "fail", "not determined"}
    for finding in made(name)[1]:
        verdict = next(word for word in after(name, finding.rule) if word in words)
        assert verdict == finding.verdict, finding.rule


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", BALLS)
def test_no_text_leaves_the_page(name: str, paper: Paper) -> None:
    figure = page(name, paper)
    wide, tall = figure.bbox.width, figure.bbox.height
    off = [
        text.get_text()
        for text in (*written(figure), *on_maps(figure))
        if not (0.0 <= box(text).x0 <= box(text).x1 <= wide)
        or not (0.0 <= box(text).y0 <= box(text).y1 <= tall)
    ]
    assert off == []


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", BALLS)
def test_no_text_of_the_tables_lies_over_another(name: str, paper: Paper) -> None:
    assert clashes(name, paper) == []


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", BALLS)
def test_no_name_on_a_map_lies_over_the_text_of_the_page(name: str, paper: Paper) -> None:
    figure = page(name, paper)
    names = [(text.get_text(), box(text)) for text in on_maps(figure)]
    texts = [(text.get_text(), box(text)) for text in written(figure)]
    assert [(a, b) for a, at in names for b, other in texts if clash(at, other)] == []


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", BALLS)
def test_the_maps_are_large_enough_to_read(name: str, paper: Paper) -> None:
    figure = page(name, paper)
    for axes in figure.axes:
        found = axes.get_window_extent()
        assert min(found.width, found.height) / figure.dpi > 1.5


@pytest.mark.parametrize(("name", "maps"), [("plain grip", 2), ("one hole", 1)])
def test_there_is_a_map_about_the_axis_point_where_there_is_one(name: str, maps: int) -> None:
    assert len(page(name, "a4").axes) == maps
