"""The face: letters it lacks, words cut and wrapped to a width."""

from __future__ import annotations

import pytest

from pipeline import fonts


@pytest.mark.parametrize("letter", ["a", "é", "Ω", "Ж", "\u2212", "…", " ", "³"])
def test_the_face_has_the_letters_that_pictures_use(letter: str) -> None:
    assert not fonts.lacks(letter)


@pytest.mark.parametrize("letter", ["核", "あ", "א", "\U0001f642"])
def test_other_scripts_are_lacking(letter: str) -> None:
    assert fonts.lacks(letter)


def test_each_lacking_letter_is_one_question_mark() -> None:
    assert fonts.written("核心 core") == "?? core"


def test_what_is_too_long_ends_in_an_ellipsis_within_the_width() -> None:
    cut = fonts.shortened("a name that is much too long", 80.0, 20.0)
    assert cut.endswith("…")
    assert fonts.width(cut, 20.0) <= 80.0


def test_what_fits_is_left_as_it_is() -> None:
    assert fonts.shortened("short", 80.0, 20.0) == "short"


def test_wrapping_keeps_every_word_and_the_width() -> None:
    words = "so many words that they need more than one line"
    lines = fonts.wrapped(words, 120.0, 20.0)
    assert " ".join(lines) == words
    assert max(fonts.width(line, 20.0) for line in lines) <= 120.0
