"""The document as a PDF: for print and for the file, tagged so that it can be read aloud.

It is held to PDF/UA-1 (ISO 14289-1) by typst: language, title, order of reading, headings, heads of
tables and words for every picture.  No text of a design can act as markup.  The only time in it is
the design's own date.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from itertools import groupby

from pipeline.dossier.document import Document, Picture
from pipeline.dossier.pdf_blocks import Piece, Plate, pieces
from pipeline.dossier.pdf_letters import cut, lines, literal
from pipeline.dossier.pdf_style import FOOT_PT, HEADING_PT, TEXT_PT, TITLE_PT, Paper, line_mm, style
from pipeline.errors import KernelFault
from pipeline.fonts import BOLD
from pipeline.typeset import compiled, quoted

__all__ = ["Paper", "pdf_of"]

_KINDS = {  # of attached files; RFC 9512, 8259, 4180, from memory
    "yaml": "application/yaml",
    "json": "application/json",
    "csv": "text/csv",
    "txt": "text/plain",
    "md": "text/markdown",
    "svg": "image/svg+xml",
    "step": "model/step",
}
_NO_FOLDERS = {ord("/"): "-", ord("\\"): "-"}


def pdf_of(
    document: Document,
    pictures: Mapping[str, Picture],
    paper: Paper,
    attached: Mapping[str, bytes] = {},
) -> bytes:
    """The document as a PDF; the same document gives the same bytes.

    Args:
        document: what to print.
        pictures: its stills' files, by their keys.
        paper: that it is printed on.
        attached: files that travel inside it, by their names.

    Raises:
        KernelFault: a picture is missing, the date is no day, or typst refused the document, which
            are ours to mend.
    """
    plates = {
        key: Plate(f"picture-{n}.png", picture.width_px / picture.height_px)
        for n, (key, picture) in enumerate(pictures.items())
    }
    names = {name: f"attached-{n}" for n, name in enumerate(attached)}
    source = "\n".join(
        [
            _named(document),
            style(paper, _foot(document, paper)),
            *(_attached(name, file) for name, file in names.items()),
            *_front(document, paper),
            *_flow(_sections(document, plates, paper)),
        ]
    )
    files = {plates[key].file: picture.png for key, picture in pictures.items()}
    files |= {names[name]: data for name, data in attached.items()}
    return compiled(source, "pdf", f"the document '{document.title}'", files, accessible=True)


def _named(document: Document) -> str:
    if not document.date:
        day = "none"
    else:
        try:
            at = date.fromisoformat(document.date)
        except ValueError as error:
            raise KernelFault(f"the document's date '{document.date}' is no day") from error
        day = f"datetime(year: {at.year}, month: {at.month}, day: {at.day})"
    return f"#set document(title: {literal(document.title)}, date: {day})"


def _foot(document: Document, paper: Paper) -> str:
    return quoted(cut(document.title, 0.8 * line_mm(paper), FOOT_PT))


def _attached(name: str, file: str) -> str:
    kind = _KINDS.get(name.rpartition(".")[2].lower(), "application/octet-stream")
    shown = name.translate(_NO_FOLDERS)
    about = f"What this document was made from: {shown}"
    return (
        f'#pdf.attach({literal(shown)}, read("{file}", encoding: none), relationship: "data", '
        f'mime-type: "{kind}", description: {literal(about)})'
    )


def _front(document: Document, paper: Paper) -> Iterator[str]:
    """The title, with what is said below it, and the contents."""
    line = line_mm(paper)
    yield f"#title({lines(document.title, line, TITLE_PT, BOLD)})"
    yield f"#par({lines(document.line, line, TEXT_PT)})"
    if document.date:
        yield f"#par({literal(document.date)})"
    yield "#line(length: 100%, stroke: 0.7pt + ink)"
    if document.sections:
        yield '#outline(title: "Contents", depth: 1)'


def _sections(document: Document, plates: Mapping[str, Plate], paper: Paper) -> Iterator[Piece]:
    for section in document.sections:
        head = f"#heading({lines(section.title, line_mm(paper), HEADING_PT, BOLD)})"
        body = list(pieces(section.blocks, plates, paper))
        yield Piece(head, bool(body) and body[0].flipped)
        yield from body


def _flow(parts: Iterator[Piece]) -> Iterator[str]:
    """Pages upright, and those in landscape between them."""
    for flipped, run in groupby(parts, key=lambda piece: piece.flipped):
        markup = "\n".join(piece.markup for piece in run)
        yield f"#page(flipped: true)[\n{markup}\n]" if flipped else markup
