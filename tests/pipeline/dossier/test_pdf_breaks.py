"""What stays together on a page of the PDF, and what is divided."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pipeline.dossier.document import (
    Chart,
    Items,
    Section,
    SignOff,
    Table,
    Words,
)
from pipeline.dossier.pdf import pdf_of
from tests.pipeline.dossier.pdf_read import (
    read,
    reader_of,
    tagged,
)
from tests.pipeline.dossier.printed import ALT, SVG, numbers, sample

CHART = Chart("rg", "Low RG over ball weight", ALT, SVG)


@pytest.mark.parametrize("above", [24, 30, 32, 33, 45])
def test_heading_caption_and_first_row_stand_on_one_page(above: int) -> None:
    document = replace(
        sample(),
        sections=(
            Section("a", "A", tuple(Words("above") for _ in range(above))),
            Section("b", "Headed", (numbers(40, caption="Captioned"),)),
        ),
    )
    pages = [page.extract_text() for page in reader_of(pdf_of(document, {}, "a4")).pages]
    first = next(k for k, text in enumerate(pages) if "row 1 of" in text)
    assert "Headed" in pages[first].rpartition("above")[2]
    assert "Captioned" in pages[first]


@pytest.mark.parametrize("above", [20, 26, 32])
@pytest.mark.parametrize("led", [CHART, numbers(5), numbers(3, 12), Items(("of Godwit",))])
def test_a_sentence_stays_with_what_it_leads_to(led: object, above: int) -> None:
    pages = [
        page.extract_text()
        for page in read(*(Words("above") for _ in range(above)), Words("It leads:"), led).pages
    ]
    first = next(k for k, text in enumerate(pages) if "of Godwit" in text or "ball weight" in text)
    flat = isinstance(led, Table) and len(led.columns) == 12
    assert "It leads:" in pages[first - 1 if flat else first]


@pytest.mark.parametrize("above", range(28, 42, 2))
def test_what_is_signed_stays_with_the_lines_to_sign_on(above: int) -> None:
    filled = (Words("above") for _ in range(above))
    reader = read(*filled, Items(("It is so.", "And so.")), SignOff(("Maker",), ("Name",)))
    (last,) = (p.extract_text() for p in reader.pages if "It is so." in p.extract_text())
    assert "Maker" in last


def test_a_table_without_rows_has_its_heads() -> None:
    assert len(tagged(read(replace(numbers(3), rows=())), "/TH")) == 5


def test_a_short_table_is_not_divided() -> None:
    for above in range(24, 34, 2):
        pages = read(*(Words("above") for _ in range(above)), numbers(8)).pages
        assert sum("of Godwit" in page.extract_text() for page in pages) == 1
