"""Names: safe on three file systems, distinct, and read back equal from a STEP string."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.naming import LONGEST, file_stem, step_string

# "Naming Files, Paths, and Namespaces", Microsoft's documentation of Win32, from memory
RESERVED = ["con", "prn", "aux", "nul", "com1", "com9", "lpt1", "lpt9"]


@pytest.mark.parametrize(
    ("name", "stem"),
    [
        ("Dunlin", "dunlin"),
        ("inner core", "inner-core"),
        ("Brachvögel", "brachvogel"),
        ("Straße", "strasse"),
        ("Øresund Łódź", "oresund-lodz"),
        ("Δ core", "delta-core"),
        ("核心", "u6838-u5fc3"),
        ("a/b\\c:d", "a-b-c-d"),
        ('it\'s "so"', "it-s-so"),
        ("..hidden..", "hidden"),
        ("  ends in a dot. ", "ends-in-a-dot"),
        ("½ core", "1-2-core"),
    ],
)
def test_a_name_is_spelled_in_plain_letters(name: str, stem: str) -> None:
    assert file_stem(name) == stem


@pytest.mark.parametrize("name", ["", "...", "/", "'"])
def test_a_name_without_letters_still_gives_one(name: str) -> None:
    assert file_stem(name) == "part"


@pytest.mark.parametrize("name", RESERVED + [name.upper() for name in RESERVED])
def test_no_device_of_windows_is_named(name: str) -> None:
    assert file_stem(name) not in RESERVED


def test_upper_and_lower_case_are_the_same_file() -> None:
    assert file_stem("CORE", ["Core"]) == "core-2"


def test_a_third_of_one_name_is_numbered_on() -> None:
    assert file_stem("core", ["core", "core-2"]) == "core-3"


def test_long_names_that_differ_at_their_ends_stay_apart() -> None:
    assert file_stem("核" * 79 + "a") != file_stem("核" * 79 + "b")


def test_two_ways_to_write_an_umlaut_are_one_name() -> None:
    assert file_stem("o\u0308") == file_stem("\u00f6")


@given(st.text(max_size=80))
def test_any_text_gives_a_safe_stem(name: str) -> None:
    stem = file_stem(name)
    assert re.fullmatch(r"[a-z0-9](?:[a-z0-9_-]*[a-z0-9])?", stem)
    assert len(stem) <= LONGEST


@given(st.text(max_size=80))
def test_a_taken_stem_is_never_given_again(name: str) -> None:
    first = file_stem(name)
    assert file_stem(name, [first.upper()]) != first


def test_a_step_string_is_that_of_the_standard() -> None:
    # clause 6.4.3 of ISO 10303-21: pages of four digits a character, of eight beyond U+FFFF
    assert step_string("aö核\U0001f3b3") == "a\\X2\\00F66838\\X0\\\\X4\\0001F3B3\\X0\\"


@pytest.mark.parametrize(
    ("name", "string"), [("it's", "it''s"), ("a\\b", "a\\\\b"), ("\\X2\\", "\\\\X2\\\\")]
)
def test_what_has_a_meaning_in_a_step_string_is_doubled(name: str, string: str) -> None:
    assert step_string(name) == string


@given(st.text(max_size=80))
def test_a_step_string_is_printable_ascii(name: str) -> None:
    assert re.fullmatch("[ -~]*", step_string(name))
