"""Blocks as HTML: no text makes an element or an attribute, and every text is there to be read."""

from __future__ import annotations

import re
import unicodedata

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from pipeline.dossier.document import (
    Block,
    Cell,
    Chart,
    Column,
    Items,
    Manner,
    Picture,
    SignOff,
    Space,
    Still,
    Table,
    Terms,
    Verdict,
    Words,
    table,
)
from pipeline.dossier.page_blocks import block, text
from pipeline.dossier.svg import drawn, foreign, hovered, words
from pipeline.markdown import visible
from tests.pipeline.dossier.hostile import LONG, NAMES
from tests.pipeline.dossier.page_tree import Tree, tree

PICTURES = {"cutaway": Picture("cutaway", b"", b"RIFF....WEBP", 12, 8)}
MANNERS: tuple[Manner, ...] = ("plain", "note", "caution", "fail")
VERDICTS: tuple[Verdict, ...] = ("pass", "fail", "not determined")
TEXT = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=40)


def of_each_kind(name: str) -> dict[str, Block]:
    """Blocks in which every text is this one."""
    shown = visible(name)
    drawing = [words(0, 0, foreign(name, 90.0)), hovered(shown, words(0, 9, shown))]
    return {
        "words": Words(name, "fail"),
        "items": Items((name, name)),
        "terms": Terms(((name, name),)),
        "table": Table(
            name, (Column(name), Column(name, True)), ((Cell(name), Cell(name, "pass")),)
        ),
        "chart": drawn("chart", shown, shown, 90.0, drawing),
        "still": Still("cutaway", name, name),
        "space": Space((Still("cutaway", name, name),)),
        "sign-off": SignOff((name, name), (name,)),
    }


def html(found: Block) -> str:
    return block(found, PICTURES)


def read(found: Block) -> Tree:
    return tree(html(found))


# --- nothing acts as markup


@pytest.mark.parametrize("kind", list(of_each_kind("")))
@pytest.mark.parametrize("name", [*NAMES.values(), LONG], ids=[*NAMES, "ten thousand letters"])
def test_a_hostile_text_makes_the_elements_that_a_harmless_one_makes(kind: str, name: str) -> None:
    hostile, harmless = (read(of_each_kind(n)[kind]) for n in (name, "tern"))
    assert hostile.shape() == harmless.shape()
    assert (hostile.others, hostile.unclosed) == ([], [])


@settings(deadline=None, max_examples=40)
@given(TEXT)
@example("<![")
@example("&#x3c;b>")
def test_no_text_at_all_makes_an_element_or_changes_an_attribute_but_those_that_hold_words(
    name: str,
) -> None:
    for kind, harmless in of_each_kind("tern").items():
        hostile, plain = read(of_each_kind(name)[kind]), read(harmless)
        assert (hostile.shape(), hostile.others, hostile.unclosed) == (plain.shape(), [], [])
        for one, other in zip(hostile.elements, plain.elements, strict=True):
            differ = {k for k, v in one.attributes.items() if v != other.attributes[k]}
            assert differ <= {"alt", "aria-label"}, (kind, one.tag)


def spelled_back(shown: str) -> str:
    """The signs that are spelled as code points, put back."""
    return re.sub(r"\(U\+([0-9A-F]{4,6})\)", lambda m: chr(int(m[1], 16)), shown)


@given(TEXT)
@example("a\tb\x00\u202e")
def test_a_text_is_read_as_it_was_written_but_for_signs_that_cannot_be_seen(name: str) -> None:
    (shown,) = tree(f"<p>{text(name)}</p>").elements
    isolated = any(unicodedata.bidirectional(c) in ("R", "AL", "AN") for c in name)
    seen = shown.text[1:-1] if isolated else shown.text
    assert spelled_back(seen) == spelled_back(name)


@settings(deadline=None, max_examples=40)
@given(TEXT)
@example("a\x1f\u202eb\u2028c")
def test_no_control_and_no_change_of_direction_reaches_the_page(name: str) -> None:
    for kind, made in of_each_kind(name).items():
        page = html(made).replace("\n", "")  # between the marks of a drawing
        inner = page.translate(dict.fromkeys(map(ord, "\u2068\u2069\u200c\u200d")))
        hidden = ("Cc", "Cf", "Zl", "Zp", "Co")
        assert [c for c in inner if unicodedata.category(c) in hidden] == [], kind


@pytest.mark.parametrize("name", ["שלום", "tern \u05d0 3", "مرحبا 12"])
def test_a_text_from_right_to_left_turns_nothing_outside_it(name: str) -> None:
    """Isolated, as UAX 9 has it: an isolate is opened before it and closed after it."""
    for made in (Words(name), Items((name,)), Terms((("a", name),))):
        shown = "".join(one.text for one in read(made).elements)
        assert f"\u2068{name}\u2069" in shown


# --- what is shown


@pytest.mark.parametrize("manner", MANNERS)
def test_a_paragraph_says_in_words_what_its_colour_says(manner: Manner) -> None:
    lead = {"caution": "Caution. ", "fail": "Fails. "}.get(manner, "")
    page = read(Words("The wall is thin.", manner))
    assert "".join(one.text for one in page.tags("strong")) + page.tags("p")[0].text == (
        f"{lead.strip()}{' ' if lead else ''}The wall is thin."
    )


@pytest.mark.parametrize("verdict", VERDICTS)
def test_a_verdict_is_a_word_with_a_sign_that_is_not_read_aloud(verdict: Verdict) -> None:
    page = read(table("a", ("rule", "verdict"), [("low RG", Cell(verdict, verdict))], words=2))
    sign, said = page.tags("span")[1], page.tags("span")[0]
    assert sign.attributes["aria-hidden"] == "true"
    assert sign.text in ("✓", "✗", "?")
    assert said.text.strip() == verdict


def test_the_signs_of_the_verdicts_differ() -> None:
    signs = set()
    for verdict in VERDICTS:
        page = read(table("a", ("rule", "v"), [("low RG", Cell(verdict, verdict))], words=2))
        signs.add(page.tags("span")[1].text)
    assert len(signs) == 3


def test_a_table_has_a_caption_heads_for_its_columns_and_one_for_each_row() -> None:
    page = read(table("RGs, in", ("figure", "low"), [("about CG", "2.5"), ("about centre", "2.6")]))
    assert [one.text for one in page.tags("caption")] == ["RGs, in"]
    scopes = [(one.text, one.attributes["scope"]) for one in page.tags("th")]
    assert scopes == [
        ("figure", "col"), ("low", "col"), ("about CG", "row"), ("about centre", "row"),
    ]  # fmt: skip
    assert [one.text for one in page.tags("td")] == ["2.5", "2.6"]


def test_a_column_without_a_name_has_no_empty_head() -> None:
    page = read(table("tensor", ("", "x"), [("x", "1.0")]))
    assert [one.text for one in page.tags("th")] == ["x", "x"]


def test_a_row_that_is_not_as_long_as_the_columns_is_refused() -> None:
    with pytest.raises(ValueError, match="zip"):
        html(Table("a", (Column("b"), Column("c")), ((Cell("d"),),)))


def test_a_wide_table_can_be_reached_and_scrolled_by_keyboard() -> None:
    region = read(table("RGs", ("a", "b"), [("c", "d")])).elements[0]
    assert (region.attributes["role"], region.attributes["tabindex"]) == ("region", "0")
    assert region.attributes["aria-label"] == "RGs"


def test_a_picture_has_its_words_and_its_size() -> None:
    (image,) = read(Still("cutaway", "Cut", "The ball, cut.")).tags("img")
    assert (image.attributes["alt"], image.attributes["width"], image.attributes["height"]) == (
        "The ball, cut.", "12", "8",
    )  # fmt: skip
    assert str(image.attributes["src"]).startswith("data:image/webp;base64,")


def test_the_lines_to_sign_on_are_blank() -> None:
    page = read(SignOff(("prepared", "checked"), ("name", "signature", "date")))
    assert [one.text for one in page.tags("td")] == [""] * 6
    rows = [one.text for one in page.tags("th") if one.attributes["scope"] == "row"]
    assert rows == ["prepared", "checked"]


def test_the_ball_in_space_has_stills_and_a_word_for_who_has_no_scripts() -> None:
    page = read(Space((Still("cutaway", "Cut", "The ball, cut."),)))
    assert len(page.tags("img")) == 1
    assert len(page.tags("noscript")) == 1


def test_a_chart_is_an_image_with_a_name_and_a_story() -> None:
    chart = drawn("chart", "Low RG", "It rises from 2.5 to 2.6 in.", 90.0, [])
    page = read(chart)
    (drawing,) = page.tags("svg")
    named = str(drawing.attributes["aria-labelledby"]).split()
    told = {one.attributes["id"]: one.text for one in page.elements if "id" in one.attributes}
    assert [told[key] for key in named] == ["Low RG", "It rises from 2.5 to 2.6 in."]


def test_what_is_no_block_is_refused() -> None:
    with pytest.raises(TypeError, match="no block"):
        block("words", PICTURES)


def test_a_chart_keeps_the_drawing_that_it_was_given() -> None:
    svg = '<svg viewBox="0 0 9 9"><title>RG</title></svg>'
    assert svg in html(Chart("rg", "RG", "RG", svg))
