"""Words cut and broken to a width, against the face as Pillow measures whole lines."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline import fonts
from pipeline.dossier.pdf_letters import broken, cut, said, width_mm

SAMPLES = ["Turnstone", "2.545 ± 0.0005 in", "Total differential, in", "ɐ_b-c/d.e", "WWWWiiii"]
TEXTS = st.text(st.characters(codec="utf-8", max_codepoint=0x500), max_size=200)


def pillow_mm(text: str, size_pt: float, weight: int) -> float:
    return fonts.width(text, 40.0, weight) * size_pt / 40.0 * 25.4 / 72.0


@pytest.mark.parametrize("weight", [fonts.PLAIN, fonts.BOLD])
@pytest.mark.parametrize("text", SAMPLES)
def test_a_line_is_as_long_as_it_is_measured_whole(text: str, weight: int) -> None:
    """2 % are kept in hand; a hundredth is what rounding to pixels does at that size."""
    whole = pillow_mm(said(text), 9.0, weight)
    assert whole <= width_mm(said(text), 9.0, weight) == pytest.approx(1.02 * whole, rel=0.01)


@settings(max_examples=60, deadline=None)
@given(TEXTS, st.floats(8.0, 60.0))
def test_pieces_are_the_words_and_each_fits(text: str, room: float) -> None:
    shown = broken(text, room, 10.0)
    assert shown.replace("\u200b", "") == said(text).replace("\u200b", "")
    if "\u200b" not in text:
        marks = sum(map(bool, map(unicodedata.combining, text)))
        for piece in shown.replace("\u200b", " ").split(" "):
            assert marks or width_mm(piece, 10.0) <= room


@settings(max_examples=60, deadline=None)
@given(TEXTS)
def test_no_mark_is_parted_from_its_letter(text: str) -> None:
    if "\u200b" not in text:
        parts = broken(text, 8.0, 10.0).split("\u200b")[1:]
        assert not [part for part in parts if part and unicodedata.combining(part[0])]


def test_a_long_name_is_broken_behind_its_hyphens() -> None:
    shown = broken("saltmarsh-castings-inner-core", 30.0, 10.0)
    assert all(part.endswith("-") for part in shown.split("\u200b")[:-1])
    assert "\u200b" in shown


def test_what_fits_is_left_as_it_is() -> None:
    assert broken("inner core", 60.0, 10.0) == "inner core"
    assert cut("inner core", 60.0, 10.0) == "inner core"


@pytest.mark.parametrize("room", [5.0, 12.0, 40.0])
def test_what_is_cut_fits_with_its_ellipsis(room: float) -> None:
    shown = cut("the inner core of the Turnstone " * 9, room, 10.0)
    assert shown.endswith("…")
    assert width_mm(shown, 10.0) <= room


def test_lines_and_tabs_are_one_space() -> None:
    assert said(" a\r\n\tb\u2028c\u3000d ") == "a b c d"


def test_a_space_that_may_not_break_is_kept() -> None:
    assert said("15\u00a0lb") == "15\u00a0lb"
