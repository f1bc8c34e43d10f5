"""The page of a design's story: no number without its source, hostile names, whole and quick."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.ball import build_ball
from pipeline.drilled import drill
from pipeline.load import load
from pipeline.markdown import escaped, visible
from pipeline.shipped import DRILLINGS, NAMES, shipped
from pipeline.talking_points import NOTES, TalkingPoints, as_markdown, points_of
from pipeline.weigh import weigh
from tests.pipeline.searched import text
from tests.pipeline.sphere_balls import SPHERES, swapped
from tests.pipeline.spoken import points, points_of_file

NUMBER = re.compile(r"(?<![\w.])[-+\u2212]?\d+(?:\.\d+)?(?:e-?\d+)?(?!\w)")
HOSTILE = [
    "a|b",
    "# *c* `d`",
    "<i>e</i>",
    "[f](http://g)",
    '"h" \\ i',
    "\u05e7\u05e8\u05df 3",
    "\u202e4",
]
DRILLED = {"dunlin-drilled": "dunlin", "turnstone-drilled": "turnstone"}


def named(core: str, cover: str = "cover", title: str = "Test") -> str:
    """A ball with a neck whose names are the given ones."""
    return swapped(
        text("shape: spool"),
        ("name: Test", f"name: {json.dumps(title, ensure_ascii=False)}"),
        ("name: inner core", f"name: {json.dumps(core, ensure_ascii=False)}"),
        ("name: cover", f"name: {json.dumps(cover, ensure_ascii=False)}"),
    )


def unknown(found: TalkingPoints, names: list[str]) -> set[str]:
    """Numbers of the page that are no figure of a fact: but for what is quoted, and the hash."""
    page = re.sub(r"[0-9a-f]{64}", "", as_markdown(found))
    quoted = {visible(f.sentence) for f in found.facts if f.quoted}
    quoted |= {f"\u201c{visible(name)}\u201d" for name in names}
    for words in sorted((escaped(q) for q in quoted), key=len, reverse=True):
        page = page.replace(words, "")
    figures = [t for f in found.facts for t in f.figures]
    return set(NUMBER.findall(page)) - {t.text for t in figures} - {t.within for t in figures}


def rows(found: TalkingPoints) -> list[list[str]]:
    """Cells of the table of figures, its head left out."""
    lines = [line for line in as_markdown(found).splitlines() if line.startswith("| ")]
    return [re.split(r"(?<!\\)\|", line)[1:-1] for line in lines[2:]]


@pytest.mark.parametrize("name", [*NAMES, *DRILLINGS])
def test_every_number_of_a_page_is_a_figure_of_a_fact(name: str) -> None:
    assert unknown(points_of_file(name), []) == set()


@pytest.mark.parametrize(
    "names", [("turnstone", "godwit"), ("turnstone", "dunlin"), ("dunlin", "dunlin")]
)
def test_every_number_is_a_figure_beside_an_earlier_ball_too(names: tuple[str, str]) -> None:
    ball, earlier = (build_ball(load(shipped(name))) for name in names)
    assert unknown(points_of(ball, weigh(ball), earlier), []) == set()


NAME = st.text(st.characters(categories=("L", "N", "P", "S", "M", "Zs")), min_size=1, max_size=40)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(NAME.map(str.strip).filter(bool), min_size=3, max_size=3, unique=True),
    st.sampled_from(["shape: spool", "shape: flats", "shape: ellipsoid, size: [3, 3.5, 4.6]",
                     "shape: sphere, diameter: 4", "shape: slab, move: [0.1, 0.1, 0.2]"]),
    st.sampled_from(["free, from: 0.55, to: 1.60", "free, from: 0.9, to: 1.2", "0.97"]),
)  # fmt: skip
def test_whatever_the_design_every_number_is_a_figure(
    names: list[str], shape: str, density: str
) -> None:
    core, cover, title = names
    source = swapped(
        named(core, cover, title),
        ("shape: spool", shape),
        ("free, from: 0.55, to: 1.60", density),
    )
    assert unknown(points(source), names) == set()


@pytest.mark.parametrize("name", NAMES)
def test_the_digits_of_a_figure_are_its_value_rounded(name: str) -> None:
    for told in (t for f in points_of_file(name).facts for t in f.figures):
        half = 0.5 * 10.0 ** -len(told.text.partition(".")[2])
        assert abs(float(told.text.replace("\u2212", "-")) - told.value) <= half * (1.0 + 1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_no_digit_of_a_figure_is_in_doubt(name: str) -> None:
    for told in (t for f in points_of_file(name).facts for t in f.figures):
        assert told.bound <= 0.5 * 10.0 ** -len(told.text.partition(".")[2])


@pytest.mark.parametrize("name", NAMES)
def test_every_computed_figure_has_a_bound(name: str) -> None:
    figures = [t for f in points_of_file(name).facts for t in f.figures]
    assert [t.name for t in figures if t.source == "computed" and not t.bound > 0.0] == []


@pytest.mark.parametrize("name", NAMES)
def test_every_figure_stands_in_the_table(name: str) -> None:
    found = points_of_file(name)
    due = {(escaped(t.name), escaped(t.said)) for f in found.facts for t in f.figures}
    assert due <= {(row[0].strip(), row[1].strip()) for row in rows(found)}


@pytest.mark.parametrize("name", NAMES)
def test_no_row_of_the_table_stands_there_twice(name: str) -> None:
    found = [tuple(row) for row in rows(points_of_file(name))]
    assert len(found) == len(set(found))


@pytest.mark.parametrize("name", NAMES)
def test_every_computed_sentence_says_how_it_was_found(name: str) -> None:
    assert all(f.how for f in points_of_file(name).facts)


@pytest.mark.parametrize("name", NAMES)
def test_every_sentence_starts_with_a_capital_and_ends_with_a_stop(name: str) -> None:
    for one in points_of_file(name).facts:
        assert one.sentence[0].isupper()
        assert one.sentence.endswith(".")


def test_facts_of_a_section_stand_together() -> None:
    sections = [f.about for f in points_of_file("godwit").facts]
    assert len(dict.fromkeys(sections)) == 1 + sum(a != b for a, b in pairwise(sections))


def test_the_page_says_what_its_figures_are_worth() -> None:
    page = " ".join(as_markdown(points_of_file("dunlin")).split())
    assert "Every figure is a design estimate; only the governing body certifies a ball." in page


def test_the_page_names_the_design_by_its_hash() -> None:
    assert load(shipped("dunlin")).sha256 in as_markdown(points_of_file("dunlin"))


def test_a_design_from_no_file_has_no_hash() -> None:
    ball = build_ball(load(shipped("dunlin")))
    found = points_of(ball, weigh(ball))
    without = TalkingPoints(found.heading, found.facts, "", found.drilled)
    assert "from this design, which came from no file" in as_markdown(without)


def test_the_page_is_the_same_again() -> None:
    assert as_markdown(points_of_file("godwit")) == as_markdown(points_of_file("godwit"))


@pytest.mark.parametrize("name", DRILLINGS)
def test_a_drilled_design_tells_the_story_of_its_undrilled_ball(name: str) -> None:
    assert points_of_file(name).facts == points_of_file(DRILLED[name]).facts


@pytest.mark.parametrize("name", DRILLINGS)
def test_a_drilled_design_is_named_by_the_file_of_its_ball(name: str) -> None:
    found, due = points_of_file(name), points_of_file(DRILLED[name])
    assert (found.heading, found.sha256) == (due.heading, due.sha256)


@pytest.mark.parametrize("name", DRILLINGS)
def test_the_page_of_a_drilled_design_says_that_the_ball_is_undrilled(name: str) -> None:
    assert "all of this is the ball before that" in as_markdown(points_of_file(name))


def test_the_page_of_an_undrilled_design_says_nothing_of_holes() -> None:
    assert "holes" not in as_markdown(points_of_file("dunlin"))


def test_a_drilled_ball_is_refused() -> None:
    ball = build_ball(load(shipped("dunlin-drilled")))
    drilled = drill(ball)
    assert drilled is not None
    with pytest.raises(ValueError, match="Dunlin is drilled"):
        points_of(drilled.as_ball(), drilled.properties)


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_name_opens_no_cell_of_the_table(name: str) -> None:
    assert {len(row) for row in rows(points(named(name)))} == {4}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_name_marks_up_nothing(name: str) -> None:
    page = as_markdown(points(named(name, title=name)))
    own = "".join(line for line in page.splitlines() if not line.startswith("- *"))
    assert not re.search(r"(?<!\\)[*`<\[\]]", own)


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_name_stands_in_quotes(name: str) -> None:
    sentence = next(f.sentence for f in points(named(name)).facts if "Without its" in f.sentence)
    assert f"its part \u201c{visible(name)}\u201d" in sentence


def test_what_overrides_the_direction_of_writing_is_never_written() -> None:
    assert "\u202e" not in as_markdown(points(named("\u202e4", title="\u202e5")))


def test_the_designers_words_are_quoted_and_marked() -> None:
    page = as_markdown(points_of_file("dunlin"))
    words = "The domed head lets the core leave its mould."
    assert f"> {words}\n>\n> (quoted from the design, not computed)\n" in page


def test_a_note_on_a_part_says_of_which() -> None:
    page = as_markdown(points_of_file("turnstone"))
    assert "> (of the inner core, quoted from the design, not computed)" in page


def test_the_designers_words_hold_no_figure() -> None:
    source = SPHERES + "notes: [It is 3 in wide.]\n"
    (note,) = [f for f in points(source).facts if f.about == NOTES]
    assert (note.sentence, note.figures, note.quoted) == ("It is 3 in wide.", (), True)


def test_a_hostile_note_marks_up_nothing() -> None:
    source = SPHERES + "notes: ['# **no** | <b> [x](y) `z`']\n"
    assert r"> \# \*\*no\*\* \| \<b\> \[x\](y) \`z\`" in as_markdown(points(source))


def test_a_design_without_notes_has_no_words_of_its_designer() -> None:
    assert "designer's note" not in as_markdown(points(SPHERES))


def test_two_notes_are_two_quotations() -> None:
    page = as_markdown(points(SPHERES + "notes: [One., Two.]\n"))
    assert "computed)\n\n> Two." in page


@pytest.mark.parametrize("name", [*NAMES, *DRILLINGS])
def test_a_page_needs_no_cad_kernel_and_little_time(name: str) -> None:
    code = (
        "import sys, time\n"
        "from pipeline.ball import build_ball\n"
        "from pipeline.load import load\n"
        "from pipeline.shipped import shipped\n"
        "from pipeline.talking_points import as_markdown, points_of\n"
        "from pipeline.weigh import weigh\n"
        f"ball = build_ball(load(shipped({name!r})))\n"
        "start = time.perf_counter()\n"
        "as_markdown(points_of(ball, weigh(ball)))\n"
        "assert time.perf_counter() - start < 2.0\n"
        "assert not {'OCP', 'cadquery', 'vtkmodules', 'trimesh'} & set(sys.modules)\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
