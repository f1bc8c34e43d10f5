"""The column beside the views: facts, the table of splines, notes and revisions, from the top."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.dimensions import written_mm
from pipeline.drafting import TEXT_MM, Anchor, Mark, Marks, Stroke, Words, wrapped
from pipeline.facts import Fact
from pipeline.spline_points import PLACES, SplineTable

WIDTH_MM = 92.0
_SIZE_MM = 2.0  # of capitals: between ISO 3098's 1.8 and 2.5
_ROW = 1.75  # such heights from row to row
_LABEL_MM = 32.0
_ASSUMED = "assumed"


@dataclass(frozen=True)
class Revision:
    """One row of the table of revisions."""

    index: str
    change: str
    date: str = ""
    by: str = ""


class _Pen:
    """Writes downwards; the only thing here that moves."""

    def __init__(self, left: float, top: float) -> None:
        self.left, self.y = left, top
        self.marks: list[Mark] = []

    def head(self, words: str) -> None:
        self.y -= TEXT_MM
        self.marks.append(Words((self.left, self.y), words, TEXT_MM, "left", True))
        self.y -= 1.4
        self.rule("wide")

    def rule(self, kind: str = "narrow") -> None:
        ends = ((self.left, self.y), (self.left + WIDTH_MM, self.y))
        self.marks.append(Stroke(ends, "wide" if kind == "wide" else "narrow"))
        self.y -= 1.2

    def row(self, cells: Sequence[tuple[float, str, Anchor]]) -> None:
        """Words at places from the left: (x, words, which end stands there)."""
        self.y -= _SIZE_MM
        for x, words, anchor in cells:
            self.marks.append(Words((self.left + x, self.y), words, _SIZE_MM, anchor))
        self.y -= (_ROW - 1.0) * _SIZE_MM

    def gap(self) -> None:
        self.y -= 3.0


def sheet_column(
    corner: tuple[float, float],
    facts: Sequence[Fact],
    notes: Sequence[str],
    revisions: Sequence[Revision],
    table: SplineTable | None,
    datum_mm: float,
) -> Marks:
    """The column with its upper left corner at a place; sections without rows are left out.

    Args:
        corner: mm on the paper.
        facts: in the order to print.
        notes: numbered as they come.
        revisions: the oldest first.
        table: points of splines.
        datum_mm: the height that the table counts from.
    """
    pen = _Pen(*corner)
    if facts:
        pen.head("Facts")
        for fact in facts:
            _fact(pen, fact)
        pen.gap()
    if table:
        _table(pen, table, datum_mm)
        pen.gap()
    if notes:
        pen.head("Notes")
        for k, note in enumerate(notes):
            for j, line in enumerate(wrapped(note, WIDTH_MM - 5.0, _SIZE_MM)):
                pen.row([(0.0, "" if j else str(k + 1), "left"), (5.0, line, "left")])
            pen.y -= 0.6
        pen.gap()
    if revisions:
        pen.head("Revisions")
        for one in revisions:
            _revision(pen, one)
    return tuple(mark for mark in pen.marks if not isinstance(mark, Words) or mark.text)


def rows_that_fit(tall_mm: float) -> int:
    """How many rows of the table of splines a height holds."""
    return max(0, int((tall_mm - 24.0) / (_ROW * _SIZE_MM)))


def _fact(pen: _Pen, fact: Fact) -> None:
    room = WIDTH_MM - _LABEL_MM - (16.0 if fact.assumed else 0.0)
    labels = wrapped(fact.label, _LABEL_MM - 2.0, _SIZE_MM)
    values = wrapped(fact.value, room, _SIZE_MM)
    for k in range(max(len(labels), len(values))):
        cells: list[tuple[float, str, Anchor]] = [
            (0.0, labels[k] if k < len(labels) else "", "left"),
            (_LABEL_MM, values[k] if k < len(values) else "", "left"),
        ]
        if fact.assumed and k == 0:
            cells.append((WIDTH_MM, _ASSUMED, "right"))
        pen.row(cells)


def _revision(pen: _Pen, one: Revision) -> None:
    changes = wrapped(one.change, 44.0, _SIZE_MM)
    dates, names = wrapped(one.date, 19.0, _SIZE_MM), wrapped(one.by, 16.0, _SIZE_MM)
    indices = wrapped(one.index, 8.0, _SIZE_MM)
    columns = ((0.0, indices), (10.0, changes), (56.0, dates), (76.0, names))
    for k in range(max(len(lines) for _, lines in columns)):
        pen.row([(x, lines[k] if k < len(lines) else "", "left") for x, lines in columns])


def _table(pen: _Pen, table: SplineTable, datum_mm: float) -> None:
    pen.head("Points of the spline" if len(table.splines) == 1 else "Points of the splines")
    places = (4.0, 30.0, 58.0, 88.0)
    pen.row(
        [
            (0.0, "point", "left"),
            (places[1], "r", "right"),
            (places[2], "height", "right"),
            (places[3], "tangent, \u00b0", "right"),
        ]
    )
    pen.rule()
    number = 0
    for k, run in enumerate(table.splines):
        if k:
            pen.rule()
        for point in run:
            number += 1
            pen.row(
                [
                    (places[0], str(number), "right"),
                    (places[1], written_mm(point.at[0], PLACES), "right"),
                    (places[2], written_mm(point.at[1] - datum_mm, PLACES), "right"),
                    (places[3], written_mm(point.tangent_deg, 2), "right"),
                ]
            )
    pen.rule()
    said = (
        "Tangent from the direction away from A, upwards. Cubics through neighbouring points, "
        "slopes at their ends along the tangents and as long as the chord, keep within "
        f"{written_mm(table.within_mm + 0.0005, 3)} mm of the model."
    )
    for line in wrapped(said, WIDTH_MM, _SIZE_MM):
        pen.row([(0.0, line, "left")])
