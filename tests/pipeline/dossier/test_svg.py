"""The writer of SVG: well formed, escaped, in a few elements, coloured by class."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline import fonts
from pipeline.dossier.svg import COLOURS, LEAST_SIZE, drawn, foreign, number, reach, words
from tests.pipeline.dossier.chart_read import SVG, meetings, outside, root_of, shapes
from tests.pipeline.dossier.chart_rows import charts

ELEMENTS = {
    "svg", "title", "desc", "g", "rect", "line", "path", "polyline", "polygon", "circle", "text",
}  # fmt: skip
NAMES = ["limits", "line", "routes", "sensitivity", "dunlin", "turnstone"]
HOSTILE = [
    "<script>alert(1)</script>",
    "\"quoted\" & 'quoted' ]]>",
    "\u202ereversed",
    "\u05e9\u05dc\u05d5\u05dd",
    "\x00\x0b\ufffe\U000e0001",
    "core" * 200,
]


@pytest.mark.parametrize("name", NAMES)
def test_a_chart_is_made_of_basic_elements(name: str) -> None:
    found = {e.tag.removeprefix(SVG) for e in root_of(charts()[name]).iter()}
    assert found <= ELEMENTS


@pytest.mark.parametrize("name", NAMES)
def test_no_element_has_a_style(name: str) -> None:
    assert not [e for e in root_of(charts()[name]).iter() if "style" in e.attrib]


@pytest.mark.parametrize("name", NAMES)
def test_every_class_is_on_the_list(name: str) -> None:
    found = {e.get("class") for e in root_of(charts()[name]).iter()} - {None}
    assert found <= set(COLOURS)


@pytest.mark.parametrize("name", NAMES)
def test_what_has_a_class_has_its_colour_once_as_a_fill_or_a_stroke(name: str) -> None:
    for e in root_of(charts()[name]).iter():
        if "class" in e.attrib:
            painted = {e.get("fill"), e.get("stroke")} - {None, "none"}
            assert painted == {COLOURS[e.attrib["class"]]}


@pytest.mark.parametrize("name", NAMES)
def test_what_is_drawn_as_a_line_is_not_filled_too(name: str) -> None:
    for shape in shapes(charts()[name]):
        if "stroke" in shape.attributes and shape.name != "line":
            assert shape.attributes["fill"] == "none"


@pytest.mark.parametrize("name", ["limits", "line", "routes", "sensitivity"])
def test_everything_beside_a_map_can_be_coloured_anew(name: str) -> None:
    assert all("class" in shape.attributes for shape in shapes(charts()[name]))


@pytest.mark.parametrize("name", NAMES)
def test_title_and_description_are_those_of_the_chart(name: str) -> None:
    chart = charts()[name]
    root = root_of(chart)
    ids = root.attrib["aria-labelledby"].split()
    told = {e.get("id"): e.text for e in root if e.get("id")}
    assert [told[i] for i in ids] == [chart.caption, chart.alt]


@pytest.mark.parametrize("name", NAMES)
def test_words_are_never_smaller_than_can_be_read(name: str) -> None:
    sizes = [float(e.get("font-size", "13")) for e in root_of(charts()[name]).iter(f"{SVG}text")]
    assert min(sizes) >= LEAST_SIZE


@pytest.mark.parametrize("name", NAMES)
def test_no_words_stand_on_others(name: str) -> None:
    assert meetings(charts()[name]) == []


@pytest.mark.parametrize("name", NAMES)
def test_nothing_leaves_the_sheet(name: str) -> None:
    assert outside(charts()[name]) == []


@pytest.mark.parametrize("name", NAMES)
def test_a_chart_has_the_same_bytes_again(name: str) -> None:
    before = charts()[name]
    charts.cache_clear()
    assert charts()[name] == before


@pytest.mark.parametrize("name", NAMES)
def test_every_letter_of_a_chart_is_in_the_face(name: str) -> None:
    texts = "".join(shape.text for shape in shapes(charts()[name]))
    assert [letter for letter in sorted(set(texts)) if fonts.lacks(letter)] == []


@pytest.mark.parametrize("name", NAMES)
def test_the_face_is_named_in_quotes(name: str) -> None:
    # CSS 2.1, 15.3, from memory: a name of several words, one of them a figure, must be quoted
    assert "'Source Sans 3'" in root_of(charts()[name]).attrib["font-family"]


@pytest.mark.parametrize("text", HOSTILE)
def test_foreign_words_stay_words(text: str) -> None:
    shown = foreign(text, 300.0)
    element = ET.fromstring(words(0.0, 0.0, shown))
    assert (element.tag, element.text, list(element)) == ("text", shown, [])


def test_title_and_description_stay_words() -> None:
    said = "<b>\"a\" & 'b'</b>"
    root = root_of(drawn("a", said, said, 20.0, []))
    assert [(e.text, list(e)) for e in root] == [(said, []), (said, [])]


@given(st.text(max_size=60), st.floats(40.0, 400.0))
def test_foreign_words_are_no_wider_than_they_may_be(text: str, longest: float) -> None:
    assert reach(foreign(text, longest)) <= longest


@given(st.text(max_size=60))
def test_foreign_words_turn_nothing_round(text: str) -> None:
    shown = foreign(text, 200.0)
    assert not re.search("[\u202a-\u202e\u2066\u2067\u200e\u200f]", shown)
    assert shown.count("\u2068") == shown.count("\u2069") <= 1


def test_a_short_name_is_left_as_it_is() -> None:
    assert foreign("inner core: size x", 200.0) == "inner core: size x"


def test_letters_that_the_face_lacks_are_taken_for_wide_ones() -> None:
    assert reach("\u6838") >= 13.0


@given(st.floats(-1e4, 1e4))
def test_a_coordinate_is_right_to_a_hundredth(value: float) -> None:
    assert abs(float(number(value)) - value) <= 0.005 + 1e-9
