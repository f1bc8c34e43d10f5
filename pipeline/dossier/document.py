"""A document as plain frozen values, which a page and a PDF are both made from.

All words are plain text: whoever writes them out sees to it that none can act as markup.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

Verdict = Literal["pass", "fail", "not determined"]
Manner = Literal["plain", "note", "caution", "fail"]


@dataclass(frozen=True)
class Words:
    """A paragraph: plain; a note, smaller; a caution, or what fails, set apart with a rule."""

    text: str
    manner: Manner = "plain"


@dataclass(frozen=True)
class Items:
    """A list of sentences."""

    sentences: tuple[str, ...]


@dataclass(frozen=True)
class Terms:
    """Names, each with what it is: identity, glossary."""

    pairs: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Column:
    """A column of a table: its name, with its unit, and whether it holds numbers."""

    name: str
    number: bool = False


@dataclass(frozen=True)
class Cell:
    """A cell: its words, and the verdict where it is one, which is shown by its sign, too."""

    text: str
    verdict: Verdict | None = None


@dataclass(frozen=True)
class Table:
    """A table; the first cell of every row is the row's name.

    Attributes:
        caption: what it shows.
        columns: their names.
        rows: as long as the columns.
    """

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]


def table(
    caption: str, names: Sequence[str], rows: Iterable[Sequence[str | Cell]], words: int = 1
) -> Table:
    """A table whose first columns hold words and the others numbers.

    Args:
        caption: what it shows.
        names: of the columns.
        rows: plain text, or cells.
        words: how many columns hold words.
    """
    return Table(
        caption,
        tuple(Column(name, number=k >= words) for k, name in enumerate(names)),
        tuple(tuple(c if isinstance(c, Cell) else Cell(c) for c in row) for row in rows),
    )


@dataclass(frozen=True)
class Chart:
    """A chart.

    Attributes:
        key: letters and hyphens, its own in the document.
        caption: what it shows.
        alt: its story in sentences, with figures, for who cannot see it.
        svg: an svg element with a viewBox, drawn for white paper, text as text, no style in it;
            its classes are those of `pipeline.dossier.svg`, by which a page colours it anew.
    """

    key: str
    caption: str
    alt: str
    svg: str


@dataclass(frozen=True)
class Still:
    """A picture, known by the key of its file.

    Attributes:
        key: of `Picture`.
        caption: what it shows.
        alt: the same for who cannot see it, with figures.
    """

    key: str
    caption: str
    alt: str


@dataclass(frozen=True)
class Space:
    """Where a page shows the ball in space; in print these stills stand in its place."""

    stills: tuple[Still, ...]


@dataclass(frozen=True)
class SignOff:
    """Lines to sign on, each for a role; nothing is filled in."""

    roles: tuple[str, ...]
    columns: tuple[str, ...]


Block = Words | Items | Terms | Table | Chart | Still | Space | SignOff


@dataclass(frozen=True)
class Section:
    """A part of the document under a heading.

    Attributes:
        key: letters and hyphens, its own in the document.
        title: its heading.
        blocks: in reading order.
    """

    key: str
    title: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True)
class Document:
    """All of it.

    Attributes:
        title: name and revision.
        line: a sentence below the title.
        date: of the design, ISO 8601, or nothing.
        sections: in reading order.
    """

    title: str
    line: str
    date: str
    sections: tuple[Section, ...]


@dataclass(frozen=True)
class Picture:
    """A picture's file: PNG for a PDF, a smaller one of the same for a page.

    Attributes:
        key: its own in the document.
        png, webp: the file in either form.
        width_px, height_px: its size.
    """

    key: str
    png: bytes
    webp: bytes
    width_px: int
    height_px: int
