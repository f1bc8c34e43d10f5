"""The page on pictures and the storyboard's schema say what the code does."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from pipeline.clip import FORMATS
from pipeline.looks import LOOKS
from pipeline.moves import MOVES
from pipeline.picture import VIDEO_SIZES, every_view
from pipeline.pictures_reference import pictures_page, storyboard_schema, tables
from pipeline.shipped import STORYBOARDS, shipped
from pipeline.storyboard_fields import SHOT, STORYBOARD
from tests.pipeline.sphere_balls import swapped
from tests.pipeline.storyboards import BOARD, MISTAKES, Mistake
from tests.pipeline.test_reference import as_editor_reads

DOCS = Path(__file__).parents[2] / "docs"
OF_ONE_KEY = [name for name, mistake in MISTAKES.items() if mistake.of_one_key]


def errors(text: str) -> list[str]:
    validator = Draft202012Validator(storyboard_schema())
    return [error.message for error in validator.iter_errors(as_editor_reads(text))]


def test_it_is_a_schema() -> None:
    assert Draft202012Validator.check_schema(storyboard_schema()) is None


@pytest.mark.parametrize("name", STORYBOARDS)
def test_a_shipped_storyboard_passes(name: str) -> None:
    assert errors(shipped(name).read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(
    "more",
    ["fps: 25", "fps: '25'", "seconds: 2.5", "seconds: 6", "size: 1080p", "from: -30",
     "above: 0.2 rad", "caption: 3", "transparent: yes"],
)  # fmt: skip
def test_what_the_reader_takes_passes(more: str) -> None:
    assert errors(swapped(BOARD, ("move: spins", f"move: spins, {more}"))) == []


@pytest.fixture(params=OF_ONE_KEY)
def mistake(request: pytest.FixtureRequest) -> Mistake:
    return MISTAKES[request.param]


def test_what_the_reader_refuses_of_a_key_the_schema_marks(mistake: Mistake) -> None:
    assert errors(swapped(BOARD, (mistake.old, mistake.new))) != []


def test_the_committed_page_is_that_of_the_code() -> None:
    template = (DOCS / "text" / "pictures.md").read_text(encoding="utf-8")
    assert (DOCS / "pictures.md").read_text(encoding="utf-8") == pictures_page(template)


def test_the_committed_schema_is_that_of_the_code() -> None:
    committed = json.loads((DOCS / "storyboard.schema.json").read_text(encoding="utf-8"))
    assert committed == storyboard_schema()


def test_no_word_of_the_template_is_left() -> None:
    assert "{{" not in (DOCS / "pictures.md").read_text(encoding="utf-8")


def test_every_table_has_a_place_on_the_page() -> None:
    template = (DOCS / "text" / "pictures.md").read_text(encoding="utf-8")
    assert [word for word in tables() if f"{{{{{word}}}}}\n" not in template] == []


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ("VIEWS", every_view()),
        ("LOOKS", LOOKS),
        ("SIZES", VIDEO_SIZES),
        ("MOVES", MOVES),
        ("FORMATS", [suffix for suffix in FORMATS if suffix]),
        ("STORYBOARD", [key.name for key in STORYBOARD.keys]),
        ("SHOT", [key.name for key in SHOT.keys]),
    ],
)
def test_each_word_has_a_row(table: str, words: list[str]) -> None:
    rows = [line.split("|")[1].strip() for line in tables()[table].splitlines()[2:]]
    assert [word for word in words if f"`{word}`" not in rows] == []
