"""What each number of a design does to low RG and differentials, as bars about nothing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import floor, log10
from typing import Any

from pipeline.digits import counted, decimals
from pipeline.dossier.document import Chart
from pipeline.dossier.svg import WIDTH, box, drawn, foreign, frame, hovered, reach, segment, words
from pipeline.markdown import visible

Row = Mapping[str, Any]

FIGURES = {
    "low_rg_in": "low RG",
    "total_differential_in": "total differential",
    "intermediate_differential_in": "intermediate differential",
}
MOST = 12
SMALL_IN = 1e-5  # an intermediate differential that nothing moves by more is no story
_MOST_PLACES = 6
_NAME_X, _NAME_WIDE, _EDGE = 8.0, 252.0, 8.0
_TOP, _BAR, _GAP = 42.0, 16.0, 14.0
_NAMED = 34.0  # what a name and its step take
_NAME, _SMALL = 16.0, 14.0


@dataclass(frozen=True)
class Scale:
    """Changes on the sheet: where nothing stands, and units an inch."""

    zero: float
    an_inch: float

    def at(self, change_in: float) -> float:
        """Where a bar ends."""
        return self.zero + change_in * self.an_inch


def sensitivity_bars(rows: Sequence[Row], key: str = "sensitivity-bars") -> Chart:
    """Changes for a step of each number, the strongest first.

    Args:
        rows: name, step and, in inches, the change of low RG and of both differentials.
        key: of the chart in its document.
    """
    kept = sorted(rows, key=_strength, reverse=True)[:MOST]
    figures = [
        name
        for name in FIGURES
        if name != "intermediate_differential_in"
        or any(abs(_change(row, name)) > SMALL_IN for row in rows)
    ]
    places = _places(kept)
    scale = _scale(kept, figures, places)
    marks = _key(figures) if kept else [words(_NAME_X, 22.0, "No number changes them.", size=15.0)]
    deep = max(len(figures) * _BAR, _NAMED)
    y = _TOP
    for row in kept:
        marks += _row(row, figures, scale, places, y)
        y += deep + _GAP
    if kept:
        marks.append(segment((scale.zero, _TOP - 4.0), (scale.zero, y - _GAP + 4.0), "ink"))
        left = len(rows) - len(kept)
        more = f"; {counted(left, 'weaker number')} in the table" if left else ""
        note = f"change for a step of each number, in{more}"
        marks.append(words(WIDTH - _EDGE, y + 10.0, note, "faint", size=_SMALL, anchor="end"))
        y += 20.0
    caption = "What a step of each number does to low RG and differential"
    return drawn(key, caption, _alt(rows, kept, figures, places), y, marks)


def _row(
    row: Row, figures: Sequence[str], scale: Scale, places: int, y: float
) -> list[str]:  # fmt: skip
    name = foreign(row["name"], _NAME_WIDE, _NAME, bold=True)
    step = foreign(f"step {row['step']}", _NAME_WIDE, _SMALL)
    marks = [
        words(_NAME_X, y + 13.0, name, size=_NAME, bold=True),
        words(_NAME_X, y + 30.0, step, "faint", size=_SMALL),
    ]
    top = y + max(0.0, (_NAMED - len(figures) * _BAR) / 2.0)
    for k, figure in enumerate(figures):
        word = FIGURES[figure]
        change = _change(row, figure)
        text = _signed(change, places)
        end, above = scale.at(change), top + k * _BAR
        start, wide = min(end, scale.zero), abs(end - scale.zero)
        bars = [_bar(figure, start, above + _BAR / 2.0, wide)] if wide > 0.0 else []
        beside, anchor = (end - 6.0, "end") if change < 0.0 else (end + 6.0, "start")
        bars.append(words(beside, above + 13.0, text, size=_SMALL, anchor=anchor))
        hover = f"{visible(row['name'])}, step {visible(row['step'])}: {word} {text} in"
        marks.append(hovered(hover, *bars))
    return marks


def _scale(kept: Sequence[Row], figures: Sequence[str], places: int) -> Scale:
    """One for all, so that bars can be held against one another, figures at both ends."""
    changes = [_change(row, figure) for row in kept for figure in figures]
    least, most = min([0.0, *changes]), max([0.0, *changes])
    if most == least:
        return Scale((_NAME_X + _NAME_WIDE + WIDTH) / 2.0, 0.0)
    beside = max(reach(_signed(change, places), _SMALL) for change in changes) + 12.0
    left = _NAME_X + _NAME_WIDE + 8.0 + (beside if least < 0.0 else 0.0)
    right = WIDTH - _EDGE - beside
    an_inch = (right - left) / (most - least)
    return Scale(left - least * an_inch, an_inch)


def _key(figures: Sequence[str]) -> list[str]:
    marks, x = [], _NAME_X
    for figure in figures:
        word = FIGURES[figure]
        marks += [_bar(figure, x, 15.0, 26.0), words(x + 34.0, 20.0, word, size=_SMALL)]
        x += 34.0 + reach(word, _SMALL) + 24.0
    return marks


def _bar(figure: str, x: float, middle: float, wide: float) -> str:
    """Told apart by form first: full, hollow, thin."""
    if figure == "intermediate_differential_in":
        return box(x, middle - 2.0, wide, 4.0, "intermediate")
    if figure == "total_differential_in":
        if wide > 4.0:
            return frame(x, middle - 6.0, wide, 12.0, "clay")
        return box(x, middle - 6.0, wide, 12.0, "clay")
    return box(x, middle - 6.0, wide, 12.0, "tide")


def _change(row: Row, figure: str) -> float:
    """A change, without digits that no one writes."""
    return round(float(row[figure]), _MOST_PLACES) + 0.0


def _strength(row: Row) -> float:
    return max(abs(_change(row, figure)) for figure in FIGURES)


def _places(kept: Sequence[Row]) -> int:
    """Decimals that show three figures of the strongest change, no more than six."""
    most = max((_strength(row) for row in kept), default=0.0)
    return _MOST_PLACES if most <= 0.0 else min(_MOST_PLACES, max(3, 2 - floor(log10(most))))


def _signed(change: float, places: int) -> str:
    text = decimals(change, 0.0, places)
    return f"+{text}" if change > 0.0 and text.strip("0.") else text


def _alt(rows: Sequence[Row], kept: Sequence[Row], figures: Sequence[str], places: int) -> str:
    if not kept:
        return "No number of the design changes low RG or differential."
    told = []
    for figure in figures:
        word = FIGURES[figure]
        strengths = [abs(_change(row, figure)) for row in kept]
        most = kept[strengths.index(max(strengths))]
        change = _signed(_change(most, figure), places)
        told.append(
            f"{word[0].upper()}{word[1:]} is moved most by {visible(most['name'])}: {change} in "
            f"for a step of {visible(most['step'])}."
        )
    weakest = kept[-1]
    told.append(f"Of the numbers shown, {visible(weakest['name'])} is the weakest.")
    if len(rows) > len(kept):
        told.append(f"The table has {counted(len(rows) - len(kept), 'weaker number')} besides.")
    return " ".join(told)
