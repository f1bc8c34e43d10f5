"""How far the routes to an RG are from the first one, beside what their bounds allow.

Bounds differ ten thousandfold, so that the axis is one of powers of ten; nothing at all, which such
an axis lacks, is an arrow at its left end.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor, log10
from typing import Any

from pipeline.dossier.document import Chart
from pipeline.dossier.plain import bound, number
from pipeline.dossier.svg import WIDTH, area, box, diamond, drawn, foreign, hovered, segment, words
from pipeline.markdown import visible

Routes = Mapping[str, Mapping[str, Any]]

RGS = ("low", "intermediate", "high")
MILLIONTH_IN = 1e-6
LEFT, RIGHT = 112.0, 500.0  # of the axis
_TOLD_X = 520.0
_TOP, _HEAD, _ROW, _GAP = 58.0, 24.0, 30.0, 12.0
_BAND, _R, _NAME, _SMALL = 12.0, 7.0, 16.0, 14.0


@dataclass(frozen=True)
class Difference:
    """One route's RG beside the first one's.

    Attributes:
        rg: low, intermediate or high.
        route: its name.
        found: how far the two are from one another, millionths of an inch.
        allowed: the bounds of both, with what their rounding for the data may add.
    """

    rg: str
    route: str
    found: float
    allowed: float

    @property
    def agrees(self) -> bool:
        """Whether the two are as near as they must be."""
        return self.found <= self.allowed


@dataclass(frozen=True)
class Axis:
    """Powers of ten, from the first to the last."""

    first: int
    last: int

    def at(self, value: float) -> float:
        """Where a value stands, its left end for what is less."""
        if value <= 0.0:
            return LEFT
        share = (log10(value) - self.first) / (self.last - self.first)
        return LEFT + max(share, 0.0) * (RIGHT - LEFT)


def routes_chart(routes: Routes, key: str = "routes-chart") -> Chart:
    """Each route's RGs as differences from the first route's.

    Args:
        routes: as `weigh --json` tells them, the answer first.
        key: of the chart in its document.
    """
    first = visible(next(iter(routes)))
    answer = next(iter(routes.values()))
    found = differences(routes)
    axis = _axis(found)
    marks = _key() if found else [words(8.0, 22.0, "There is one route only.", size=_SMALL)]
    y = _TOP
    for rg in RGS:
        value = number(answer["rg_in"][rg], "in")
        may = bound(answer["error_bound_rg_in"], "in")
        text = f"{value} by {first}, within {may}"
        marks.append(
            hovered(
                f"{rg} RG: {text}",
                words(8.0, y, f"{rg} RG", size=_NAME, bold=True),
                words(170.0, y, foreign(text, WIDTH - 180.0, _SMALL), "faint", size=_SMALL),
            )
        )
        y += _HEAD
        for one in (d for d in found if d.rg == rg):
            marks.append(hovered(_sentence(one, first), *_row(one, axis, y - 4.0)))
            y += _ROW
        y += _GAP
    if found:
        marks += _ticks(axis, y - _GAP, first)
        y += 40.0
    caption = f"How far the routes are from {first}, beside what their error bounds allow"
    return drawn(key, caption, _alt(routes, found), y, marks)


def differences(routes: Routes) -> list[Difference]:
    """Of every route but the first, by low, intermediate and high RG."""
    (_, first), *others = routes.items()
    found = []
    for rg in RGS:
        for name, route in others:
            apart = abs(route["rg_in"][rg] - first["rg_in"][rg]) / MILLIONTH_IN
            bounds = [float(one["error_bound_rg_in"]) for one in (first, route)]
            allowed = sum(b + _rounding(b) for b in bounds) / MILLIONTH_IN
            found.append(Difference(rg, visible(name), round(apart, 6), allowed))
    return found


def _rounding(bound_in: float) -> float:
    """Figures are rounded to the decimal of their bound."""
    return 0.5 * 10.0 ** floor(log10(bound_in) + 1e-9) if bound_in > 0.0 else 0.0


def _axis(found: Sequence[Difference]) -> Axis:
    allowed = [d.allowed for d in found if d.allowed > 0.0] or [1.0]
    most = max([*allowed, *(d.found for d in found)])
    first = floor(log10(min(allowed))) - 2
    return Axis(first, max(ceil(log10(most) + 0.1), first + 1))


def _row(one: Difference, axis: Axis, y: float) -> list[str]:
    middle = y + _BAND / 2.0
    paint = "tide" if one.agrees else "bad"
    at = axis.at(one.found)
    sign, said = ("✓", "agrees") if one.agrees else ("✗", "differs")
    told = f"{said}: {_short(one.found)} of {_short(one.allowed)}"
    marks = [
        words(LEFT - 12.0, middle + 5.0, foreign(one.route, LEFT - 20.0, _SMALL), size=_SMALL,
              anchor="end"),
        box(LEFT, y, axis.at(one.allowed) - LEFT, _BAND, "band"),
        segment((axis.at(one.allowed), y - 3.0), (axis.at(one.allowed), y + _BAND + 3.0), "ink",
                width=2.0),
    ]  # fmt: skip
    if at > LEFT:
        marks.append(diamond((at, middle), _R, paint))
    else:  # less than the axis has
        tip, back = LEFT - _R + 1.0, LEFT + _R + 1.0
        marks.append(area([(tip, middle), (back, middle - _R), (back, middle + _R)], paint))
    sign_paint = "ok" if one.agrees else "bad"
    return [
        *marks,
        words(_TOLD_X, middle + 5.0, sign, sign_paint, size=_NAME, bold=True),
        words(_TOLD_X + 20.0, middle + 5.0, told, size=_SMALL),
    ]


def _key() -> list[str]:
    return [
        diamond((16.0, 17.0), _R, "tide"),
        words(30.0, 22.0, "difference found", size=_SMALL),
        box(176.0, 11.0, 34.0, _BAND, "band"),
        segment((210.0, 8.0), (210.0, 26.0), "ink", width=2.0),
        words(222.0, 22.0, "what the bounds allow", size=_SMALL),
    ]


def _ticks(axis: Axis, y: float, first: str) -> list[str]:
    marks = [segment((LEFT, y), (RIGHT, y), "faint")]
    each = ceil((axis.last - axis.first) / 7.0)
    for power in range(axis.first, axis.last + 1):
        x = axis.at(10.0**power)
        marks.append(segment((x, y), (x, y + 5.0), "faint"))
        if (power - axis.first) % each == 0:
            text = f"{10**power:d}" if power >= 0 else f"{10.0**power:.{-power}f}"
            marks.append(words(x, y + 19.0, text, "faint", anchor="middle"))
    title = foreign(f"difference from {first}, millionths of an inch", RIGHT - LEFT + 90.0)
    return [*marks, words((LEFT + RIGHT) / 2.0, y + 38.0, title, "faint", anchor="middle")]


def _short(value: float) -> str:
    """Two figures of a number, without a power of ten."""
    if value == 0.0:
        return "0"
    places = 1 - floor(log10(abs(value)))
    text = f"{round(value, places):.{max(0, places)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _sentence(one: Difference, first: str) -> str:
    return (
        f"{one.rg} RG by {one.route}: {_short(one.found)} millionths of an inch from {first}; the "
        f"bounds allow {_short(one.allowed)}: {'agrees' if one.agrees else 'differs'}"
    )


def _alt(routes: Routes, found: Sequence[Difference]) -> str:
    first, *others = (visible(name) for name in routes)
    if not found:
        return f"There is one route only, {first}."
    apart = [d for d in found if not d.agrees]
    told = [f"{_sentence(d, first)}." for d in apart]
    if not apart:
        told.append(f"Every route agrees with {first} within the bounds.")
    for name in others:
        most = max((d for d in found if d.route == name), key=lambda d: d.found)
        if most.agrees and most.found == 0.0:
            told.append(f"By {name} no difference is seen.")
        elif most.agrees:
            told.append(
                f"By {name} at most {_short(most.found)} millionths of an inch, where "
                f"{_short(most.allowed)} are allowed."
            )
    return " ".join(f"{sentence[0].upper()}{sentence[1:]}" for sentence in told)
