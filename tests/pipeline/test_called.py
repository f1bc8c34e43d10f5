"""What sentences call parts: plain words as they are, all else in quotes."""

from __future__ import annotations

import pytest

from pipeline.called import called, its, starting, the


@pytest.mark.parametrize("name", ["core", "lower disc", "Brachv\u00f6gel-Kern", "\u6838\u5fc3"])
def test_a_few_plain_words_stay(name: str) -> None:
    assert called(name) == name


@pytest.mark.parametrize(
    "name",
    ["disc 2", "a|b", "a. b", "core that the governing body certifies", "x" * 41, "a, b", "_"],
)
def test_what_could_be_taken_for_more_than_a_name_stands_in_quotes(name: str) -> None:
    assert called(name) == f"\u201c{name}\u201d"


def test_a_quoted_part_is_called_a_part() -> None:
    assert (the("disc 2"), its("disc 2")) == (
        "the part \u201cdisc 2\u201d",
        "its part \u201cdisc 2\u201d",
    )


def test_a_sentence_starts_with_a_capital() -> None:
    assert starting(the("disc")) == "The disc"
