"""The PDF as it is read aloud: its tags, and the words of its pictures."""

from __future__ import annotations

import pypdf
import pytest

from pipeline.dossier.document import (
    Items,
    Terms,
)
from pipeline.dossier.pdf import pdf_of
from tests.pipeline.dossier.pdf_read import (
    read,
    reader_of,
    tagged,
)
from tests.pipeline.dossier.printed import ALT, PICTURES, numbers, sample


@pytest.fixture(scope="module")
def whole() -> pypdf.PdfReader:
    return reader_of(pdf_of(sample(), PICTURES, "a4"))


def test_it_is_tagged_in_english_and_says_which_standard_it_keeps(whole: pypdf.PdfReader) -> None:
    """PDF/UA-1: ISO 14289-1, 7.1 and 7.2: marked, titled, in a language (from memory)."""
    root = whole.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] is True or root["/MarkInfo"]["/Marked"].value
    assert str(root["/Lang"]).split("-")[0] == "en"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert b"<pdfuaid:part>1</pdfuaid:part>" in root["/Metadata"].get_object().get_data()


def test_every_figure_has_its_words(whole: pypdf.PdfReader) -> None:
    assert [figure["/Alt"] for figure in tagged(whole, "/Figure")] == [
        ALT, "The ball cut open: core, insert and cover.", "The ball from the left.",
        "The ball from the right.", "The core, twice as tall as wide.",
    ]  # fmt: skip


def test_heads_of_columns_are_tagged_as_such() -> None:
    heads = tagged(read(numbers(80)), "/TH")
    assert len(heads) == 5  # though they stand on every page
    assert all(any(a.get("/Scope") == "/Column" for a in head["/A"]) for head in heads)


def test_cells_are_tagged_in_rows() -> None:
    reader = read(numbers(7))
    assert len(tagged(reader, "/TD")) == 35
    assert len(tagged(reader, "/TR")) == 8


def test_items_and_terms_are_tagged_as_lists() -> None:
    reader = read(Items(("a", "b")), Terms((("c", "d"),)))
    assert len(tagged(reader, "/L")) == 2
    assert len(tagged(reader, "/LI")) == 3
