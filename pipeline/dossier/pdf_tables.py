"""Tables for print: how wide each column is, at what size, on a page of which way."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from pipeline.dossier.document import Cell, Table, Verdict
from pipeline.dossier.pdf_letters import few_lines, lines, longest_word_mm, said, width_mm
from pipeline.dossier.pdf_style import Paper, line_mm
from pipeline.errors import KernelFault
from pipeline.fonts import BOLD, PLAIN

SIGNS: dict[Verdict, str] = {"pass": "✓", "fail": "✗", "not determined": "?"}
_PAINTS: dict[Verdict, str] = {"pass": "well", "fail": "ill", "not determined": "unsure"}
_INSET_MM = 1.4  # on either side of a cell's words, as in the style
_WAYS = ((9.0, False), (8.0, False), (7.5, False), (9.0, True), (8.0, True), (7.0, True))
_NAME_MM = 36.0  # a word longer than this may be broken
_SENTENCE_MM = (18.0, 34.0)  # no narrower is a column of words or of sentences, lest rows grow tall
_FULL_MM = 100.0  # nor wider than this by its own wish
_HEAD_MM = 30.0  # a longer head has more than a line, even where there is room
_WHOLE_MM = 100.0  # a table no taller than this stays on one page


@dataclass(frozen=True)
class Arrangement:
    """How a table is set.

    Attributes:
        size_pt: of its letters.
        flipped: whether it needs a page in landscape.
        line_mm: how long a line of text is there.
        widths_mm: of its columns, with their insets.
    """

    size_pt: float
    flipped: bool
    line_mm: float
    widths_mm: tuple[float, ...]


@dataclass(frozen=True)
class _Need:
    """What a column asks for, mm.

    Attributes:
        least: what it can do with.
        liked: with no cell in more lines than its sentences ask for.
        roomy: with its head on one line, too.
    """

    least: float
    liked: float
    roomy: float


def arranged(table: Table, paper: Paper) -> Arrangement:
    """The largest letters that the columns have room for, in portrait before landscape."""
    insets = 2.0 * _INSET_MM * len(table.columns)
    for size, flipped in _WAYS:
        needs = [_need(table, k, size) for k in range(len(table.columns))]
        line = line_mm(paper, flipped)
        room = line - insets
        if sum(need.least for need in needs) <= room:
            break
    widths = _shared(needs, room)
    return Arrangement(size, flipped, line, tuple(width + 2.0 * _INSET_MM for width in widths))


def _shared(needs: Sequence[_Need], room: float) -> list[float]:
    least = [need.least for need in needs]
    liked = [need.liked for need in needs]
    roomy = [need.roomy for need in needs]
    if sum(least) >= room:  # no way had room: every column gives the same share, and words break
        return [width * room / sum(least) for width in least]
    if sum(liked) >= room:
        return _between(least, liked, room)
    return _between(liked, roomy, room) if sum(roomy) > room else roomy


def _between(narrow: Sequence[float], wide: Sequence[float], room: float) -> list[float]:
    """Widths from narrow to wide that fill the room."""
    share = (room - sum(narrow)) / (sum(wide) - sum(narrow))
    return [a + share * (b - a) for a, b in zip(narrow, wide, strict=True)]


def _need(table: Table, column: int, size: float) -> _Need:
    head = said(table.columns[column].name)
    cells = [row[column] for row in table.rows]
    texts = [(said(shown(cell)), BOLD if cell.verdict else PLAIN) for cell in cells]
    whole = max((width_mm(text, size, weight) for text, weight in texts), default=0.0)
    word = max((longest_word_mm(text, size, weight) for text, weight in texts), default=0.0)
    head_word = min(longest_word_mm(head, size, BOLD), _NAME_MM)
    names_or_figures = column == 0 or table.columns[column].number
    if names_or_figures or any(cell.verdict for cell in cells):
        kept = whole
    else:
        narrow, wide = _SENTENCE_MM
        kept = max(word, min(whole, max(narrow, min(whole / 3.0, wide))))
    least = max(min(kept, _NAME_MM), head_word)
    liked = max(least, min(whole, _FULL_MM))
    return _Need(least, liked, max(liked, min(width_mm(head, size, BOLD), _HEAD_MM)))


def shown(cell: Cell) -> str:
    """A cell's words, behind its sign where it is a verdict."""
    return cell.text if cell.verdict is None else f"{SIGNS[cell.verdict]} {cell.text}"


def table_markup(table: Table, way: Arrangement) -> str:
    """The table in typst's language, set by the style's `rows`.

    Raises:
        KernelFault: a row is not as long as the columns are many.
    """
    size = way.size_pt
    rooms = [width - 2.0 * _INSET_MM for width in way.widths_mm]
    heads = [
        few_lines(c.name, room, size, BOLD) for c, room in zip(table.columns, rooms, strict=True)
    ]
    cells = []
    for row in table.rows:
        if len(row) != len(rooms):
            raise KernelFault(f"a row of the table '{table.caption}' is not as long as its columns")
        cells.append(", ".join(_cell(c, room, size) for c, room in zip(row, rooms, strict=True)))
    sides = ["right" if column.number else "left" for column in table.columns]
    whole = _height(table, rooms, size) <= _WHOLE_MM
    return (
        f"#rows({size}pt, {'true' if whole else 'false'}, "
        f"({' '.join(f'{width:.2f}mm,' for width in way.widths_mm)}), "
        f"({' '.join(f'{side},' for side in sides)}), "
        f"{few_lines(table.caption, way.line_mm, size, BOLD)}, "
        f"({' '.join(f'{head},' for head in heads)}),\n" + ",\n".join(cells) + ")"
    )


def _cell(cell: Cell, room_mm: float, size: float) -> str:
    if cell.verdict is None:
        return lines(cell.text, room_mm, size)
    return f"verdict({_PAINTS[cell.verdict]}, {lines(shown(cell), room_mm, size, BOLD)})"


def _height(table: Table, rooms: Sequence[float], size: float) -> float:
    """About how tall it is, mm."""
    line = 0.41 * size  # capitals and the leading below them, mm for a size in points
    tall = 4.0 * line  # its caption and heads
    for row in table.rows:
        filled = zip(row, rooms, strict=True)
        deep = max(width_mm(said(shown(cell)), size) / room for cell, room in filled)
        tall += 2.0 * _INSET_MM + line * max(1, ceil(deep - 1e-9))
    return tall
