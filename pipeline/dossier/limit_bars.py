"""Each rule as a bar: what is allowed as a band, the ball's figure on it, how far inside it is.

Every rule has a scale of its own, laid so that the limits of all stand in two columns.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor, log10
from typing import Any

from pipeline.digits import counted, decimals
from pipeline.dossier.document import Chart
from pipeline.dossier.svg import (
    SIGNS,
    VERDICT_COLOURS,
    WIDTH,
    area,
    box,
    diamond,
    drawn,
    foreign,
    hovered,
    reach,
    segment,
    words,
)
from pipeline.markdown import visible

Row = Mapping[str, Any]

LEAST_X, MOST_X = 340.0, 590.0  # where the limits stand
LEFT, RIGHT = 258.0, WIDTH - 8.0  # how far the bars' part of the sheet goes
ROW, TOP = 60.0, 44.0
_NAME_X, _BAND = 30.0, 13.0
_NAME_SIZE, _VALUE_SIZE, _SMALL = 16.0, 15.0, 14.0
_FADE, _FADES = 54.0, 6  # how far an open side runs out, and in how many steps
_PLACES, _MOST_PLACES = 4, 9
_COUNTED = ("holes", "pairs", "for each")


@dataclass(frozen=True)
class Scale:
    """A rule's own scale: two values and where they stand; the allowed range.

    Attributes:
        start, end: values at LEAST_X and MOST_X.
        least, most: the allowed range; None where it is open.
    """

    start: float
    end: float
    least: float | None
    most: float | None

    def at(self, value: float) -> float:
        """Where a value stands."""
        return LEAST_X + (value - self.start) / (self.end - self.start) * (MOST_X - LEAST_X)


def limit_bars(findings: Sequence[Row], key: str = "limit-bars", part: str = "") -> Chart:
    """One row a rule.

    Args:
        findings: rows of `check --json`, each with its limits as numbers, least and most, where it
            has any.
        key: of the chart in its document.
        part: words that tell its caption from those of other charts of limits.
    """
    marks = _key() if findings else [words(8.0, 22.0, "There is no rule to hold the ball against.")]
    for k, row in enumerate(findings):
        marks.append(hovered(_sentence(row), *_row(row, TOP + k * ROW)))
    caption = f"The limits, and where this ball stands; each rule has a scale of its own{part}"
    return drawn(key, caption, _alt(findings), TOP + ROW * len(findings), marks)


def scale(row: Row) -> Scale | None:
    """The scale of a rule, or None where it has no limits or no figure."""
    least: float | None = row.get("least")
    most: float | None = row.get("most")
    value = row["value"]
    if value is None:
        return None
    if least is not None and most is not None:
        if most > least:
            return Scale(least, most, least, most)
        span = _round_above(abs(value - least))
        return Scale(least - span / 2.0, least + span / 2.0, least, most)
    if least is not None:
        return Scale(least, least + _span(least - value, row), least, None)
    if most is not None:
        span = _span(value - most, row)
        if most > 0.0 and value >= 0.0:  # not on to what is less than nothing
            span = min(span, most)
        return Scale(most - span, most, None, most)
    return None


def _span(over: float, row: Row) -> float:
    """How much of an open range is drawn: so that a value outside by so much is near enough."""
    if not _shown(over, row):
        return 100.0 * 10.0 ** -places(row)
    return _round_above(4.0 * over if over > 0.0 else -1.2 * over)


def places(row: Row) -> int:
    """Decimals that a rule's figures are written to: enough to see which side they are on."""
    margin = row["margin"]
    if not margin or row["verdict"] == "not determined":
        return _PLACES
    return max(_PLACES, min(_MOST_PLACES, ceil(-log10(abs(margin)) - 1e-9)))


def written(value: float, row: Row) -> str:
    """A figure of a rule without its unit."""
    if str(row["unit"]).startswith(_COUNTED):
        return f"{value:.3g}"
    return decimals(value, 0.0, places(row) if _shown(value, row) else _PLACES)


def _row(row: Row, y: float) -> list[str]:
    verdict = row["verdict"]
    paint = VERDICT_COLOURS[verdict]
    room = LEFT - _NAME_X - 14.0
    name = foreign(row["rule"], room, _NAME_SIZE, bold=True)
    told = verdict + _how_far(row, f" {row['unit']}")
    if reach(told, _SMALL) > room:
        told = verdict + _how_far(row, "")
    marks = [
        words(8.0, y + 18.0, SIGNS[verdict], paint, size=18.0, bold=True),
        words(_NAME_X, y + 18.0, name, size=_NAME_SIZE, bold=True),
        words(_NAME_X, y + 37.0, foreign(told, room, _SMALL), paint, size=_SMALL),
    ]
    own = scale(row)
    return marks + (_without_bar(row, y) if own is None else _bar(row, own, y))


def _bar(row: Row, own: Scale, y: float) -> list[str]:
    top = y + 20.0
    middle = top + _BAND / 2.0
    value, unit = row["value"], row["unit"]
    marks = _band(own, top, known=row["margin"] is not None)
    for limit in dict.fromkeys((own.least, own.most)):
        if limit is None:
            continue
        x = own.at(limit)
        text = foreign(f"{_plain(limit)} {unit}", MOST_X - LEAST_X - 60.0, _SMALL)
        marks.append(segment((x, top - 4.0), (x, top + _BAND + 4.0), "ink", width=2.0))
        marks.append(
            words(_held(x, text, _SMALL), top + _BAND + 17.0, text, "faint", size=_SMALL,
                  anchor="middle")
        )  # fmt: skip
    at = own.at(value)
    paint = "bad" if row["verdict"] == "fail" else "tide"
    shown = min(max(at, LEFT + 8.0), RIGHT - 8.0)
    if shown == at:
        marks.append(diamond((at, middle), 8.0, paint, filled=row["verdict"] != "not determined"))
    else:  # too far to be drawn: an arrow that way
        way = 1.0 if at > shown else -1.0
        marks.append(
            area([(shown + 8.0 * way, middle), (shown - 8.0 * way, middle - 8.0),
                  (shown - 8.0 * way, middle + 8.0)], paint)
        )  # fmt: skip
    text = foreign(f"{written(value, row)} {unit}", RIGHT - LEFT, _VALUE_SIZE, bold=True)
    x = _held(shown, text, _VALUE_SIZE, bold=True)
    return [*marks, words(x, top - 6.0, text, size=_VALUE_SIZE, anchor="middle", bold=True)]


def _band(own: Scale, top: float, *, known: bool) -> list[str]:
    """What is allowed; it runs out on an open side, and is but dashed where no rule is known."""
    start, end = (own.at(v) for v in (own.start, own.end))
    if own.least is not None and own.most is not None:
        start, end = own.at(own.least) - 0.5, own.at(own.most) + 0.5
    if not known:
        start -= _FADE if own.least is None else 0.0
        end += _FADE if own.most is None else 0.0
        edges = (top, top + _BAND)
        return [segment((start, y), (end, y), "open", dash="4 3") for y in edges]
    marks = [box(start, top, end - start, _BAND, "band")]
    marks += _faded(start, top, -1.0) if own.least is None else []
    return marks + (_faded(end, top, 1.0) if own.most is None else [])


def _without_bar(row: Row, y: float) -> list[str]:
    """A rule without a figure or without limits that are numbers, in words."""
    value = row["value"]
    first = "no figure" if value is None else f"{written(value, row)} {row['unit']}"
    if row["note"]:
        first += f": {row['note']}"
    room = RIGHT - LEFT
    return [
        words(LEFT, y + 18.0, foreign(first, room, _SMALL), size=_SMALL),
        words(
            LEFT, y + 37.0, foreign(f"limit: {row['limit']}", room, _SMALL), "faint", size=_SMALL
        ),
    ]


def _key() -> list[str]:
    y = 8.0
    middle, base = y + _BAND / 2.0, y + 11.5
    return [
        box(8.0, y, 34.0, _BAND, "band"),
        words(50.0, base, "allowed", size=_SMALL),
        *_faded(126.0, y, 1.0),
        words(186.0, base, "no limit on that side", size=_SMALL),
        diamond((LEAST_X + 8.0, middle), 8.0, "tide"),
        words(LEAST_X + 24.0, base, "this ball", size=_SMALL),
    ]


def _faded(x: float, top: float, way: float) -> list[str]:
    """The end of a band that runs out from x: to the right where way is 1, left where it is -1."""
    step = _FADE / _FADES
    starts = [x + (k if way > 0.0 else -k - 1) * step for k in range(_FADES)]
    return [
        box(start, top, step, _BAND, "band", opacity=1.0 - (k + 1.0) / (_FADES + 1.0))
        for k, start in enumerate(starts)
    ]


def _how_far(row: Row, unit: str) -> str:
    margin = row["margin"]
    if margin is None:
        return ""
    if row["verdict"] == "not determined":  # nearer than the figure is sure of
        return ", at the limit"
    if not _shown(margin, row):
        return ", on the limit"
    text = written(abs(margin), row)
    return f", {'inside' if margin > 0.0 else 'outside'} by {text}{unit}"


def _shown(figure: float, row: Row) -> bool:
    """Whether a figure is anything but noughts as it is written."""
    return round(figure, places(row)) != 0.0


def _held(x: float, text: str, size: float, *, bold: bool = False) -> float:
    """Where the middle of a text must be, so that it stays in the bars' part of the sheet."""
    half = reach(text, size, bold=bold) / 2.0
    return min(max(x, LEFT + half), RIGHT - half)


def _plain(limit: float) -> str:
    """A limit with the digits it is given with, and no power of ten."""
    text = f"{limit:.10g}"
    if "e-" in text:
        text = f"{limit:.{min(15, int(text.split('e-')[1]) + 2)}f}".rstrip("0").rstrip(".")
    return text.replace("-", "\u2212")


def _round_above(span: float) -> float:
    """The least of 1, 2, 5, 10 and so on that is no less; 1 for nothing."""
    if span <= 0.0:
        return 1.0
    power = 10.0 ** floor(log10(span))
    return float(next(f * power for f in (1.0, 2.0, 5.0, 10.0) if f * power >= span * (1 - 1e-9)))


def _sentence(row: Row) -> str:
    value = row["value"]
    figure = "no figure" if value is None else f"{written(value, row)} {row['unit']}"
    note = f"; {visible(row['note'])}" if row["note"] and row["margin"] is None else ""
    far = _how_far(row, f" {row['unit']}")
    return f"{visible(row['rule'])}: {figure}; {row['limit']}; {row['verdict']}{far}{note}"


def _alt(findings: Sequence[Row]) -> str:
    if not findings:
        return "There is no rule to hold the ball against."
    by = {v: [_sentence(f) for f in findings if f["verdict"] == v] for v in SIGNS}
    counts = ", ".join(f"{len(rows)} {verdict}" for verdict, rows in by.items())
    told = [f"{counted(len(findings), 'rule')}: {counts}."]
    for verdict, head in (("fail", "Broken"), ("not determined", "Not determined")):
        told += [f"{head}: {sentence}." for sentence in by[verdict]]
    return " ".join(told + [f"{sentence[0].upper()}{sentence[1:]}." for sentence in by["pass"]])
