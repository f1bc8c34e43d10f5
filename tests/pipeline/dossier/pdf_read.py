"""A PDF as pypdf reads it: its words, its tags, its faces."""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import Any

import pypdf
from pypdf.generic import ArrayObject, DictionaryObject

from pipeline.dossier.pdf import Paper, pdf_of
from tests.pipeline.dossier.printed import PICTURES, of


def reader_of(pdf: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(pdf))


def read(*blocks: object, paper: Paper = "a4") -> pypdf.PdfReader:
    """A document of these blocks, printed."""
    return reader_of(pdf_of(of(*blocks), PICTURES, paper))


def squeezed(text: str) -> str:
    """Without space, and without the places where a line may be broken."""
    return "".join(text.split()).replace("\u200b", "")


def words_of(reader: pypdf.PdfReader) -> str:
    """All words, squeezed, without those at the foot of a page."""
    kept = []
    for page in reader.pages:
        lines = page.extract_text().splitlines()
        assert "page" in lines[-1]
        kept.extend(lines[:-1])
    return squeezed("".join(kept))


def tags_of(reader: pypdf.PdfReader) -> Iterator[DictionaryObject]:
    """All elements of the tree of tags, in reading order."""
    yield from _below(reader.trailer["/Root"]["/StructTreeRoot"]["/K"])


def _below(element: Any) -> Iterator[DictionaryObject]:
    element = element.get_object()
    if isinstance(element, ArrayObject):
        for one in element:
            yield from _below(one)
    elif isinstance(element, DictionaryObject) and "/S" in element:
        yield element
        if "/K" in element:
            yield from _below(element["/K"])


def tagged(reader: pypdf.PdfReader, kind: str) -> list[DictionaryObject]:
    return [tag for tag in tags_of(reader) if tag["/S"] == kind]


def box_of(figure: DictionaryObject) -> tuple[float, float, float, float]:
    """Left, bottom, right and top of a figure on its page, points."""
    return next(tuple(map(float, a["/BBox"])) for a in figure["/A"] if "/BBox" in a)


def faces_of(page: pypdf.PageObject) -> Iterator[DictionaryObject]:
    """The inner fonts of a page."""
    for font in page["/Resources"].get("/Font", {}).values():
        yield font.get_object()["/DescendantFonts"][0].get_object()


def pictures_of(page: pypdf.PageObject) -> list[DictionaryObject]:
    named = page["/Resources"].get("/XObject", {}).values()
    return [x.get_object() for x in named if x.get_object()["/Subtype"] == "/Image"]
