"""The blocks of a document in typst's language, a function for each kind."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import zip_longest
from typing import assert_never

from pipeline.dossier.document import (
    Block,
    Chart,
    Items,
    SignOff,
    Space,
    Still,
    Table,
    Terms,
    Words,
)
from pipeline.dossier.pdf_charts import printed
from pipeline.dossier.pdf_letters import few_lines, lines, literal, said, width_mm
from pipeline.dossier.pdf_style import CAPTION_PT, NOTE_PT, TEXT_PT, Paper, high_mm, line_mm
from pipeline.dossier.pdf_tables import arranged, table_markup
from pipeline.errors import KernelFault
from pipeline.fonts import BOLD
from pipeline.typeset import quoted

_TALLEST_MM = 120.0  # a still; of several, two share a page with a heading and their captions
_SHARED_MM = 38.0  # that those take of it
_BESIDE_MM = 34.0  # for a heading, a sentence and a caption on the page of a high chart
_LEADING = 400  # letters of a paragraph that stays with what it leads to
_GAP_MM = 6.0  # between two stills in a row, as in the style
_NARROW = 1.4  # wide for their height, stills that stand two in a row
_SHORT = 900  # letters of a list that is not divided
_TERM_MM = 48.0  # a longer name has a line of its own
_ROLE_MM = 50.0
_BAR_MM = 4.0  # that a rule at the left takes from a line


@dataclass(frozen=True)
class Plate:
    """A picture to print.

    Attributes:
        file: its name among the files that typst reads.
        ratio: how wide it is for its height.
    """

    file: str
    ratio: float


@dataclass(frozen=True)
class Piece:
    """A part of the document, and whether it needs a page in landscape."""

    markup: str
    flipped: bool = False


def pieces(blocks: Sequence[Block], plates: Mapping[str, Plate], paper: Paper) -> Iterator[Piece]:
    """The blocks in their order; stills that follow on each other are arranged together.

    Args:
        blocks: of a section.
        plates: by the keys of their pictures.
        paper: that they are printed on.

    Raises:
        KernelFault: a still has no picture, or a chart or a table is not as it should be.
    """
    waiting: list[Still] = []
    for block, following in zip_longest(blocks, blocks[1:]):
        if isinstance(block, Still):
            waiting.append(block)
        elif isinstance(block, Space):
            waiting.extend(block.stills)
        else:
            yield from _stills(waiting, plates, paper)
            waiting = []
            sentence = isinstance(block, Words) and not isinstance(following, Words | None)
            leads = sentence or isinstance(following, SignOff)
            yield _piece(block, paper, leads)
    yield from _stills(waiting, plates, paper)


def _piece(
    block: Words | Items | Terms | Table | Chart | SignOff, paper: Paper, leads: bool
) -> Piece:
    line = line_mm(paper)
    match block:
        case Words():
            return Piece(_words(block, line, leads and len(block.text) <= _LEADING))
        case Items():
            sentences = (lines(s, line - _BAR_MM, TEXT_PT) for s in block.sentences)
            shown = f"list({', '.join(sentences)})"
            short = sum(map(len, block.sentences)) <= _SHORT
            stays = "true" if leads else "false"
            return Piece(f"#whole({stays}, {shown})" if short else f"#{shown}")
        case Terms():
            return Piece(_terms(block, line))
        case Table():
            way = arranged(block, paper)
            return Piece(table_markup(block, way), way.flipped)
        case Chart():
            return Piece(_chart(block, paper))
        case SignOff():
            return Piece(_sign_off(block, line))
    assert_never(block)


def _words(words: Words, line: float, leads: bool) -> str:
    match words.manner:
        case "plain":
            shown = f"par({lines(words.text, line, TEXT_PT)})"
            return f"#lead({shown})" if leads else f"#{shown}"
        case "note":
            shown = f"note({lines(words.text, line, NOTE_PT)})"
            return f"#lead({shown})" if leads else f"#{shown}"
        case "caution":
            return f'#apart(unsure, "Caution.", {lines(words.text, line - _BAR_MM, TEXT_PT)})'
        case "fail":
            return f'#apart(ill, "✗ Fails.", {lines(words.text, line - _BAR_MM, TEXT_PT)})'
    assert_never(words.manner)


def _terms(terms: Terms, line: float) -> str:
    """Names in a column as wide as the widest of them that is not too long for one."""
    widths = [width_mm(said(name), TEXT_PT, BOLD) for name, _ in terms.pairs]
    indent = max((w for w in widths if w <= _TERM_MM), default=_TERM_MM) + 4.0
    items = []
    for (name, text), width in zip(terms.pairs, widths, strict=True):
        shown = lines(name, line - indent, TEXT_PT, BOLD)  # its second line hangs, too
        if width <= _TERM_MM:
            term = f"box(width: {indent:.2f}mm, {shown})"
        else:
            term = f"{shown} + linebreak()"
        items.append(f"terms.item({term}, {lines(text, line - indent, TEXT_PT)})")
    return f"#terms(hanging-indent: {indent:.2f}mm, {', '.join(items)})"


def _chart(chart: Chart, paper: Paper) -> str:
    svg, ratio = printed(chart.svg)
    line = line_mm(paper)
    wide = min(line, (high_mm(paper) - _BESIDE_MM) * ratio)
    caption = few_lines(chart.caption, line, CAPTION_PT)
    return f"#drawn({quoted(svg)}, {literal(chart.alt)}, {wide:.2f}mm, {caption})"


def _stills(stills: Sequence[Still], plates: Mapping[str, Plate], paper: Paper) -> Iterator[Piece]:
    """The stills, two narrow ones in a row."""
    for still in stills:
        if still.key not in plates:
            raise KernelFault(f"the document shows a picture '{still.key}', which was not made")
    line = line_mm(paper)
    half = (line - _GAP_MM) / 2.0
    tall = min(_TALLEST_MM, (high_mm(paper) - _SHARED_MM) / 2.0) if len(stills) > 1 else _TALLEST_MM
    at = 0
    while at < len(stills):
        two = stills[at : at + 2]
        if len(two) == 2 and all(plates[still.key].ratio <= _NARROW for still in two):
            yield Piece(f"#pair({', '.join(_still(s, plates[s.key], half, tall) for s in two)})")
            at += 2
        else:
            yield Piece(f"#{_still(stills[at], plates[stills[at].key], line, tall)}")
            at += 1


def _still(still: Still, plate: Plate, room: float, tall: float) -> str:
    wide = min(room, tall * plate.ratio)
    caption = few_lines(still.caption, room, CAPTION_PT)
    return (
        f'still("{plate.file}", {literal(still.alt)}, {wide:.2f}mm, {wide / plate.ratio:.2f}mm, '
        f"{caption})"
    )


def _sign_off(block: SignOff, line: float) -> str:
    heads = ("role", *block.columns)
    first = min(max(width_mm(said(role), CAPTION_PT) for role in (*block.roles, "role")), _ROLE_MM)
    other = (line - first) / max(len(block.columns), 1) - 4.0
    rooms = [first, *[other] * len(block.columns)]
    shown = (lines(h, r, CAPTION_PT, BOLD) for h, r in zip(heads, rooms, strict=True))
    roles = (lines(role, first, CAPTION_PT) for role in block.roles)
    return (
        f"#signing({first:.2f}mm, ({' '.join(f'{h},' for h in shown)}), "
        f"({' '.join(f'{r},' for r in roles)}))"
    )
