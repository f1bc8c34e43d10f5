"""How tables are set: large letters first, landscape where they need it, no column outrun."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pipeline import fonts
from pipeline.dossier.document import Cell, Column, Table
from pipeline.dossier.pdf_style import Paper
from pipeline.dossier.pdf_tables import arranged, table_markup
from pipeline.errors import KernelFault
from tests.pipeline.dossier.printed import LONG, findings, hostile, numbers

TABLES = [findings(), numbers(3), numbers(3, 8), numbers(3, 12), hostile()]
LINES: dict[tuple[Paper, bool], float] = {
    ("a4", False): 170.0, ("a4", True): 257.0, ("letter", False): 175.9, ("letter", True): 239.4,
}  # fmt: skip
INSETS = 2.8


def pillow_mm(text: str, size_pt: float, weight: int = fonts.PLAIN) -> float:
    return fonts.width(text, 40.0, weight) * size_pt / 40.0 * 25.4 / 72.0


def test_an_ordinary_table_stands_upright_in_its_full_size() -> None:
    way = arranged(findings(), "a4")
    assert (way.size_pt, way.flipped) == (9.0, False)


def test_letters_grow_smaller_before_the_page_is_turned() -> None:
    ways = [arranged(numbers(3, columns), "a4") for columns in range(2, 13)]
    upright = [way.size_pt for way in ways if not way.flipped]
    assert upright == sorted(upright, reverse=True)
    assert upright[-1] < 9.0
    assert [way.flipped for way in ways] == sorted(way.flipped for way in ways)


def test_twelve_columns_lie_in_landscape() -> None:
    assert arranged(numbers(3, 12), "a4").flipped


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("table", TABLES)
def test_columns_are_together_no_wider_than_the_line(table: Table, paper: Paper) -> None:
    way = arranged(table, paper)
    assert sum(way.widths_mm) <= LINES[paper, way.flipped] + 1e-6


@pytest.mark.parametrize("table", TABLES[:4])
def test_no_word_of_an_ordinary_table_is_broken(table: Table) -> None:
    way = arranged(table, "letter")
    for k, wide in enumerate(way.widths_mm):
        words = [word for row in table.rows for word in row[k].text.split()]
        room = wide - INSETS
        assert max(pillow_mm(word, way.size_pt) for word in words) <= room
        heads = table.columns[k].name.split()
        assert max(pillow_mm(word, way.size_pt, fonts.BOLD) for word in heads) <= room


def test_a_number_stays_on_one_line() -> None:
    table = numbers(3, 10)
    way = arranged(table, "a4")
    for k in range(1, 10):
        cells = [row[k].text for row in table.rows]
        assert max(pillow_mm(text, way.size_pt) for text in cells) <= way.widths_mm[k] - INSETS


def test_a_column_of_sentences_is_not_pressed_into_words() -> None:
    columns = (Column("a"), Column("b"), Column(LONG[:60], True), Column("c"))
    rows = ((Cell("sentence of many words " * 9), Cell("x"), Cell("1"), Cell("y")),)
    assert arranged(Table("t", columns, rows), "a4").widths_mm[0] >= 26.0


def test_a_row_that_is_too_short_is_a_fault() -> None:
    table = replace(numbers(3), rows=((Cell("a"),), *numbers(2).rows))
    with pytest.raises(KernelFault, match="'Every weight of the line' is not as long"):
        table_markup(table, arranged(numbers(3), "a4"))


def test_signs_stand_before_the_words_of_a_verdict() -> None:
    shown = table_markup(findings(), arranged(findings(), "a4"))
    assert [shown.count(f'"{sign}') for sign in ("✓ pass", "✗ fails", "? not determined")] == [
        1, 1, 1,
    ]  # fmt: skip
