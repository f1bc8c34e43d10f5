"""Names and notes of others in a Markdown page."""

from __future__ import annotations

import re

import pytest

from pipeline.markdown import escaped, visible

RIGHT_TO_LEFT = "\u05e7\u05e8\u05df"


@pytest.mark.parametrize("special", list("\\`*_{}[]<>#|~^$@&"))
def test_what_marks_up_is_escaped(special: str) -> None:
    assert escaped(f"a{special}b") == f"a\\{special}b"


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("- a", "\\- a"),
        ("+ a", "\\+ a"),
        ("---", "\\---"),
        ("===", "\\==="),
        ("1. a", "1\\. a"),
        ("12) a", "12\\) a"),
        ("http://x", "http\\://x"),
        ("www.x", "www\\.x"),
    ],
)
def test_what_marks_up_at_its_place_is_escaped(text: str, shown: str) -> None:
    assert escaped(text) == shown


@pytest.mark.parametrize("text", ["15.000 lb", "a - b", "2.3 g/cm3", 'it\'s "so"', "(a) b."])
def test_plain_text_stays(text: str) -> None:
    assert escaped(text) == text


def test_nothing_is_escaped_twice() -> None:
    assert re.sub(r"\\(.)", r"\1", escaped(r"a\|*")) == r"a\|*"


@pytest.mark.parametrize("control", ["\u202e", "\u2066", "\u200e", "\u2028", "\x85", "\ufeff"])
def test_what_cannot_be_seen_is_spelled(control: str) -> None:
    assert visible(f"a{control}b") == f"a(U+{ord(control):04X})b"


def test_joiners_of_scripts_stay() -> None:
    assert visible("a\u200cb\u200dc") == "a\u200cb\u200dc"


def test_a_script_from_right_to_left_turns_nothing_round_outside_it() -> None:
    assert visible(RIGHT_TO_LEFT) == f"\u2068{RIGHT_TO_LEFT}\u2069"
