"""Figures over ball weight, one core at every weight: small charts one above another."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor, log10
from typing import Any

from pipeline.digits import decimals
from pipeline.dossier.document import Chart
from pipeline.dossier.room import Box, clear, text_box
from pipeline.dossier.svg import WIDTH, Point, diamond, drawn, hovered, run, segment, words
from pipeline.fonts import wrapped

Row = Mapping[str, Any]

FIGURES = {
    "low_rg_in": "low RG",
    "total_differential_in": "total differential",
    "intermediate_differential_in": "intermediate differential",
}
SMALL_IN = 0.0005  # an intermediate differential below this is no story
LEFT, RIGHT = 84.0, WIDTH - 16.0
_EDGE = 62.0  # of the frame, to the first and the last weight
_HEAD, _PLOT, _GAP = 26.0, 104.0, 20.0
_LABEL, _TICK, _NAME = 14.0, 13.0, 16.0
_R = 7.0
_LEAST_SPAN_IN = 1e-3  # what is flat is shown flat
_PLACES = 4


@dataclass(frozen=True)
class Panel:
    """One figure's small chart.

    Attributes:
        name: of the figure.
        top: of its frame, which is _PLOT high.
        low, high: values at the frame's foot and head.
    """

    name: str
    top: float
    low: float
    high: float

    def at(self, value: float) -> float:
        """How far down a value stands."""
        return self.top + (self.high - value) / (self.high - self.low) * _PLOT

    @property
    def ticks(self) -> list[float]:
        """Round values on the frame's edge: two to four."""
        step = _round_below((self.high - self.low) / 2.0)
        first, last = ceil(self.low / step - 1e-9), floor(self.high / step + 1e-9)
        return [k * step for k in range(first, last + 1)]


def line_chart(line: Mapping[str, Any], key: str = "line-chart") -> Chart:
    """The line's figures over ball weight.

    Args:
        line: as `lineup --json` tells it: weights, each with met, figures and why.
        key: of the chart in its document.
    """
    rows = sorted(line["weights"], key=lambda row: float(row["weight_lb"]))
    marks: list[str] = []
    y = 8.0
    for figure, name in FIGURES.items():
        values = [v for row in rows if (v := _value(row, figure)) is not None]
        middling = figure == "intermediate_differential_in"
        if not values or (middling and max(values) <= SMALL_IN):
            continue
        middle, half = (max(values) + min(values)) / 2.0, 0.66 * (max(values) - min(values))
        half = max(half, _LEAST_SPAN_IN / 2.0)
        panel = Panel(name, y + _HEAD, middle - half, middle + half)
        marks += _panel(panel, rows, figure)
        y = panel.top + _PLOT + _GAP
    y = max(y, 8.0 + _GAP)
    marks += _weights(rows, y)
    foot, low = _told(rows, y + (40.0 if rows else 16.0))
    caption = "One core across the ball weights of the line"
    return drawn(key, caption, _alt(rows), low, marks + foot)


def across(rows: Sequence[Row]) -> list[float]:
    """Where each weight stands, on a linear scale."""
    weights = [float(row["weight_lb"]) for row in rows]
    left, right = LEFT + _EDGE, RIGHT - _EDGE
    if not weights or weights[-1] - weights[0] < 1e-9:
        return [(left + right) / 2.0 for _ in weights]
    scale = (right - left) / (weights[-1] - weights[0])
    return [left + scale * (w - weights[0]) for w in weights]


def _panel(panel: Panel, rows: Sequence[Row], figure: str) -> list[str]:
    foot = panel.top + _PLOT
    marks = [
        words(8.0, panel.top - 10.0, f"{panel.name}, in", size=_NAME, bold=True),
        segment((LEFT, panel.top), (LEFT, foot), "faint"),
        segment((LEFT, foot), (RIGHT, foot), "faint"),
    ]
    ticks = panel.ticks
    step = min((b - a for a, b in pairwise(ticks)), default=1.0)
    for tick in ticks:
        y = panel.at(tick)
        text = decimals(tick, 0.0, max(0, ceil(-log10(step) - 1e-9)))
        marks.append(segment((LEFT - 5.0, y), (LEFT, y), "faint"))
        marks.append(words(LEFT - 9.0, y + 4.5, text, "faint", size=_TICK, anchor="end"))
    stood = [
        (k, (x, panel.at(v)), v)
        for k, (x, row) in enumerate(zip(across(rows), rows, strict=True))
        if (v := _value(row, figure)) is not None
    ]
    lines = [[a, b] for (j, a, _), (k, b, _) in pairwise(stood) if k == j + 1]  # no ball, no line
    marks += [run(line, "tide", width=2.0) for line in lines]
    taken = [Box(x - _R, y - _R, x + _R, y + _R) for _, (x, y), _ in stood]
    room = Box(LEFT + 4.0, panel.top - 4.0, RIGHT, foot - 3.0)
    for k, at, value in stood:
        row = rows[k]
        text = decimals(value, 0.0, _PLACES)
        met = "met" if row["met"] else "not met"
        hover = f"{panel.name} at {_weight(row)} lb: {text} in, {met}"
        signs = [diamond(at, _R, "tide", filled=bool(row["met"]))]
        for x, y, anchor in _around(at):
            label = text_box(x, y, text, _LABEL, anchor)
            if label.within(room) and clear(label, taken, lines):
                taken.append(label)
                signs.append(words(x, y, text, size=_LABEL, anchor=anchor))
                break
        marks.append(hovered(hover, *signs))
    return marks


def _around(at: Point) -> list[tuple[float, float, str]]:
    """Places for a value's label: over it, under it, aside."""
    x, y = at
    places = [(x, y - 14.0, "middle"), (x, y + 22.0, "middle")]
    places += [(x + s * 12.0, y + 5.0, a) for s, a in ((1.0, "start"), (-1.0, "end"))]
    for rise in (-7.0, 17.0):
        places += [(x + s * 9.0, y + rise, a) for s, a in ((1.0, "start"), (-1.0, "end"))]
    return places


def _weights(rows: Sequence[Row], y: float) -> list[str]:
    """The weights below the frames, as many as find room, with a sign each."""
    marks: list[str] = []
    taken: list[Box] = []
    for x, row in zip(across(rows), rows, strict=True):
        text = f"{_weight(row)} lb"
        label = text_box(x, y + 2.0, text, _LABEL, "middle", bold=True)
        marks.append(segment((x, y - _GAP), (x, y - _GAP + 5.0), "faint"))
        if not clear(label, taken, gap=4.0):
            continue
        taken.append(label)
        sign, paint = ("✓", "ok") if row["met"] else ("✗", "bad")
        marks.append(
            hovered(
                f"{text}: {_state(row)}",
                words(x, y + 2.0, text, size=_LABEL, anchor="middle", bold=True),
                words(x, y + 20.0, sign, paint, size=_LABEL, anchor="middle", bold=True),
            )
        )
    return marks


def _told(rows: Sequence[Row], y: float) -> tuple[list[str], float]:
    """What the signs mean, and which weights each stands for; how low that reaches."""
    marks: list[str] = []
    if not rows:
        return [words(8.0, y, "The line has no weights.", size=_LABEL)], y + 10.0
    paints = {"met": "ok", "not met": "bad", "no such ball": "bad"}
    for state, named in _by_state(rows).items():
        sign = "✓" if state == "met" else "✗"
        if state != "no such ball":
            marks.append(diamond((16.0, y + 3.0), _R, "tide", filled=state == "met"))
        marks.append(words(30.0, y + 8.0, sign, paints[state], size=_LABEL, bold=True))
        for text in wrapped(f"{state}: {named} lb", WIDTH - 62.0, _LABEL):
            marks.append(words(48.0, y + 8.0, text, size=_LABEL))
            y += 20.0
    return marks, y + 2.0


def _by_state(rows: Sequence[Row]) -> dict[str, str]:
    """The weights that are met, that are not, and that no ball has; what there is of them."""
    found: dict[str, list[str]] = {"met": [], "not met": [], "no such ball": []}
    for row in rows:
        found[_state(row)].append(_weight(row))
    return {state: _and(weights) for state, weights in found.items() if weights}


def _state(row: Row) -> str:
    if row["met"]:
        return "met"
    return "not met" if row["figures"] else "no such ball"


def _value(row: Row, figure: str) -> float | None:
    value = row["figures"].get(figure)
    return None if value is None else float(value)


def _weight(row: Row) -> str:
    return f"{float(row['weight_lb']):.6g}"


def _and(texts: Sequence[str]) -> str:
    return texts[0] if len(texts) == 1 else f"{', '.join(texts[:-1])} and {texts[-1]}"


def _round_below(span: float) -> float:
    """The greatest of 1, 2, 5, 10 and so on that is no more."""
    power = 10.0 ** floor(log10(span))
    return float(next(f * power for f in (5.0, 2.0, 1.0) if f * power <= span * (1 + 1e-9)))


def _alt(rows: Sequence[Row]) -> str:
    if not rows:
        return "The line has no weights."
    told = []
    for figure, name in FIGURES.items():
        known = [(v, _weight(row)) for row in rows if (v := _value(row, figure)) is not None]
        if not known or (figure == "intermediate_differential_in" and max(known)[0] <= SMALL_IN):
            continue
        ends = [f"{decimals(v, 0.0, _PLACES)} in at {w} lb" for v, w in (min(known), max(known))]
        shown = f"{name}: {ends[0]}"
        if len(known) > 1:
            shown = f"{name}: least {ends[0]}, greatest {ends[1]}"
        told.append(f"{shown[0].upper()}{shown[1:]}.")
    heads = {"met": "Met", "not met": "Not met", "no such ball": "No such ball"}
    told += [f"{heads[state]} at {named} lb." for state, named in _by_state(rows).items()]
    return " ".join(told)
