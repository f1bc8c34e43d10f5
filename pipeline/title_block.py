"""The title block, 180 mm wide, with the fields of ISO 7200; a field without words stays empty."""

from __future__ import annotations

from dataclasses import dataclass

from pipeline.drafting import (
    HEAD_MM,
    SMALL_MM,
    TEXT_MM,
    Mark,
    Marks,
    Rect,
    Words,
    width_mm,
    wrapped,
)
from pipeline.sheet_frame import ProjectionName, outline, projection_sign

WIDTH_MM, HEIGHT_MM = 180.0, 50.0
RULES = "The STEP model rules; check this sheet against it."
STATUS = "Design estimate, not certified"
_PAD_MM = 1.2


@dataclass(frozen=True)
class TitleBlock:
    """What the fields hold; empty words leave an empty field.

    Attributes:
        legal_owner: whose drawing it is.
        number: identification number.
        title: of the drawing; empty for the subject's name.
        supplement: a second line of title.
        document_type: such as 'part drawing'.
        creator: who drew it.
        approver: who let it go.
        date: of issue, year, month and day.
        revision: its index.
        sheet: such as '1/3'.
        tolerance: general tolerance, such as 'ISO 2768-1 m'.
    """

    legal_owner: str = ""
    number: str = ""
    title: str = ""
    supplement: str = ""
    document_type: str = "part drawing"
    creator: str = ""
    approver: str = ""
    date: tuple[int, int, int] | None = None
    revision: str = ""
    sheet: str = "1/1"
    tolerance: str = ""


@dataclass(frozen=True)
class _Cell:
    left: float
    right: float
    bottom: float
    top: float
    label: str
    text: str
    height: float = TEXT_MM


def title_block(
    block: TitleBlock,
    name: str,
    scale: str,
    paper: str,
    projection: ProjectionName,
    corner: tuple[float, float],
) -> Marks:
    """The block with its lower right corner at a place.

    Args:
        block: the fields.
        name: of the body, the title where the block has none.
        scale: as written.
        paper: as written.
        projection: for the sign.
        corner: mm on the paper.
    """
    date = "" if block.date is None else "{:04d}-{:02d}-{:02d}".format(*block.date)
    cells = [
        _Cell(0, 74, 40, 50, "general tolerance", block.tolerance),
        _Cell(74, 94, 40, 50, "scale", scale, HEAD_MM),
        _Cell(94, 110, 40, 50, "unit", "mm", HEAD_MM),
        _Cell(110, 148, 40, 50, "paper", paper),
        _Cell(148, 180, 30, 50, f"{projection}-angle projection", ""),
        _Cell(0, 94, 30, 40, "rule", RULES),
        _Cell(94, 148, 30, 40, "status", STATUS),
        _Cell(0, 60, 21, 30, "creator", block.creator),
        _Cell(60, 120, 21, 30, "approver", block.approver),
        _Cell(120, 180, 21, 30, "document type", block.document_type),
        _Cell(0, 60, 0, 21, "legal owner", block.legal_owner, HEAD_MM),
        _Cell(60, 180, 9, 21, "title", block.title or name, HEAD_MM),
        _Cell(60, 112, 0, 9, "identification number", block.number),
        _Cell(112, 128, 0, 9, "revision", block.revision),
        _Cell(128, 160, 0, 9, "date of issue", date),
        _Cell(160, 180, 0, 9, "sheet", block.sheet),
    ]
    x, y = corner[0] - WIDTH_MM, corner[1]
    marks: list[Mark] = [outline(block_rect(corner), wide=True)]
    for cell in cells:
        rect = Rect(cell.left, cell.bottom, cell.right, cell.top).moved(x, y)
        extra = block.supplement if cell.label == "title" else ""
        marks += _cell(rect, cell, extra)
    sign = (x + 164.0, y + 38.4)
    marks += projection_sign(projection, sign)
    return tuple(marks)


def block_rect(corner: tuple[float, float]) -> Rect:
    """The rectangle of the block."""
    return Rect(corner[0] - WIDTH_MM, corner[1], corner[0], corner[1] + HEIGHT_MM)


def _cell(rect: Rect, cell: _Cell, extra: str) -> Marks:
    small = SMALL_MM * 0.9
    top = rect.top - _PAD_MM - small
    marks: list[Mark] = [
        outline(rect),
        Words((rect.left + _PAD_MM, top), cell.label, small),
    ]
    room = rect.width - 2.0 * _PAD_MM
    lines, height = fitted(cell.text, room, top - rect.bottom - _PAD_MM, cell.height, bool(extra))
    pitch = 1.5 * height
    tall = height + (len(lines) - 1) * pitch
    more, size = fitted(extra, room, 0.0, TEXT_MM, True)
    under = 1.7 * size if extra else 0.0
    last = (rect.bottom + top - tall - under) / 2.0 + under  # the base line of the last one
    first = last + (len(lines) - 1) * pitch
    if extra:
        marks.append(Words((rect.left + _PAD_MM, last - under), more[0], size))
    bold = cell.label == "title"
    marks += [
        Words((rect.left + _PAD_MM, first - k * pitch), line, height, "left", bold)
        for k, line in enumerate(lines)
    ]
    return tuple(marks)


def fitted(
    text: str, room_mm: float, tall_mm: float, height_mm: float, one_line: bool = False
) -> tuple[list[str], float]:
    """Words for a field: smaller, in two lines, and last shortened with an ellipsis.

    Args:
        text: the words.
        room_mm: the breadth of the field.
        tall_mm: its height, which decides whether two lines fit.
        height_mm: of capitals, at most; never under 1.8 mm.
        one_line: whether the field must not break.

    Returns:
        The lines and the height of their capitals.
    """
    for height in sorted({height_mm, TEXT_MM, SMALL_MM}, reverse=True):
        if height > height_mm:
            continue
        if width_mm(text, height, True) <= room_mm:
            return [text], height
        lines = wrapped(text, 0.96 * room_mm, height)  # bold is wider than it is measured
        if not one_line and len(lines) * 1.5 * height <= tall_mm:
            return lines, height
    while text and width_mm(text + "\u2026", SMALL_MM, True) > room_mm:
        text = text[:-1]
    return [text.rstrip() + "\u2026"], SMALL_MM
