"""RG about every axis through the centre of gravity, as a map of half the sphere about +Z.

The azimuthal equidistant projection (Snyder, Map Projections: A Working Manual, USGS Professional
Paper 1395, chapter 25; from memory): distance from the middle is the angle from +Z.  Seen from
outside, +X to the right, +Y up, so that azimuths run anticlockwise.  RG is the same both ways along
an axis, so that half the sphere shows all of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import cos, radians, sin
from typing import Any

import numpy as np

from pipeline.digits import decimals
from pipeline.dossier.document import Chart
from pipeline.dossier.equal_rg import equal_rg, levels
from pipeline.dossier.map_marks import Placed, axis_marks, pill
from pipeline.dossier.room import Box, clear, text_box
from pipeline.dossier.svg import WIDTH, Point, box, disc, drawn, hovered, number, ring, run, words
from pipeline.figure_views import shade
from pipeline.palette import hex_of
from pipeline.units import MM_PER_IN
from shapes.moments import Array

RADIUS, MIDDLE = 274.0, (WIDTH / 2.0, 304.0)
STEP_DEG = 10
_HEIGHT = 704.0
_PLACES = 4
_DARK, _LIGHT = "#22262A", "#FFFFFF"  # on fields that keep their colours
_UNDER_DEG = 0.4
_TURNS_DEG = (315, 225, 135, 45, 290, 250, 110, 70, 335, 205, 155, 25)
_DEEP = 0.55  # from this share of the ramp on, lines are light
_RAMP_LEFT, _RAMP_Y, _RAMP_HIGH, _RAMP_STEPS = 110.0, 624.0, 16.0, 25


def rg_map(
    inertia_g_mm2: Any,
    mass_g: float,
    axes: Mapping[str, Sequence[float] | None],
    bound_in: float,
    key: str = "rg-map",
) -> Chart | None:
    """The map; None where RG is the same about every axis, as far as its bound tells.

    Args:
        inertia_g_mm2: about the centre of gravity, ball frame, shape (3, 3), products negated.
        mass_g: of the ball.
        axes: by low, intermediate and high the unit vector of that axis, or None if undefined.
        bound_in: of the RGs.
        key: of the chart in its document.
    """
    inertia = np.asarray(inertia_g_mm2, dtype=float)
    principal = np.sqrt(np.linalg.eigvalsh(inertia) / mass_g) / MM_PER_IN
    low, high = float(principal[0]), float(principal[2])
    if high - low < 10.0 * bound_in:
        return None
    told = dict(zip(("low", "intermediate", "high"), _told(principal, bound_in), strict=True))
    rounds, places = levels(low, high)
    lines = {
        level: [[place(n) for n in curve] for curve in equal_rg(inertia, mass_g, level)]
        for level in rounds
    }
    every = [curve for curves in lines.values() for curve in curves]
    placed = axis_marks(axes, told, place, RADIUS, every)
    taken = list(placed.taken)
    marks = [f'<g transform="translate({number(MIDDLE[0])} {number(MIDDLE[1])})">']
    marks += _cells(inertia, mass_g, low, high, bound_in)
    marks += [ring((0.0, 0.0), RADIUS * k / 3.0, _DARK, width=0.7, dash="1 4") for k in (1, 2)]
    for level, curves in lines.items():
        paint = _LIGHT if (level - low) / (high - low) > _DEEP else _DARK
        hover = f"equal RG: {level:.{places}f} in"
        marks.append(hovered(hover, *(run(curve, paint, width=1.5) for curve in curves)))
    marks.append(ring((0.0, 0.0), RADIUS, "faint"))
    marks += [*placed.under, disc((0.0, 0.0), 4.0, _LIGHT), disc((0.0, 0.0), 2.5, _DARK)]
    marks += _line_labels(lines, places, taken)
    marks += _angle_labels(every, taken)
    marks += [*placed.over, "</g>", *_rim_labels(), *_ramp(told), *_note()]
    caption = "RG about the axis that points in each direction, over the half sphere about +Z"
    return drawn(key, caption, _alt(told, placed, rounds, places), _HEIGHT, marks)


def place(direction: Sequence[float] | Array) -> Point:
    """Where on the map a unit vector of the half sphere points: from its middle, y down."""
    x, y, z = (float(v) for v in direction)
    aside = float(np.hypot(x, y))
    if aside < 1e-12:
        return 0.0, 0.0
    share = float(np.arctan2(aside, z)) / (np.pi / 2.0) * RADIUS / aside
    return share * x, -share * y


def _told(principal: Array, bound_in: float) -> list[str]:
    return [f"{decimals(float(rg), bound_in, _PLACES)} in" for rg in principal]


def _cells(inertia: Array, mass_g: float, low: float, high: float, bound: float) -> Iterator[str]:
    """A field for every ten degrees both ways: wedges, those farther out below the inner ones."""
    for rise in range(90 - STEP_DEG // 2, 0, -STEP_DEG):
        for turn in range(0, 360, STEP_DEG):
            s = sin(radians(rise))
            n = np.array([s * cos(radians(turn)), s * sin(radians(turn)), cos(radians(rise))])
            rg = float(np.sqrt(n @ inertia @ n / mass_g)) / MM_PER_IN
            fill = hex_of([float(c) for c in shade(np.array([(rg - low) / (high - low)]))[0]])
            figure = decimals(rg, bound, _PLACES)
            yield (
                f'<path fill="{fill}" d="{_wedge(rise, turn)}"><title>{turn} deg azimuth, '
                f"{rise} deg from +Z: RG {figure} in</title></path>"
            )


def _wedge(rise: int, turn: int) -> str:
    """From the middle out, round and back; it runs a little under the next wedge, without a gap."""
    r = (rise + STEP_DEG / 2.0) / 90.0 * RADIUS
    ends = (turn - STEP_DEG / 2.0, turn + STEP_DEG / 2.0 + _UNDER_DEG)
    (ax, ay), (bx, by) = ((r * cos(radians(t)), -r * sin(radians(t))) for t in ends)
    return f"M0 0L{ax:.1f} {ay:.1f}A{r:.1f} {r:.1f} 0 0 0 {bx:.1f} {by:.1f}Z"


def _line_labels(
    lines: Mapping[float, list[list[Point]]], places: int, taken: list[Box]
) -> list[str]:
    """On every line of equal RG its figure, once, where it is clear of all else and far from it."""
    marks = []
    for level, curves in lines.items():
        text = f"{level:.{places}f}"
        best: tuple[float, Point] | None = None
        for at in (point for curve in curves for point in curve[2:-2]):
            label = pill_box(at, text)
            if np.hypot(*at) > RADIUS - 34.0 or not clear(label, taken, gap=3.0):
                continue
            apart = min((_gap(label, other) for other in taken), default=0.0)
            score = round(min(apart, 90.0) + 0.05 * (at[0] + at[1]), 3)  # rather at the lower right
            if best is None or score > best[0]:
                best = score, at
        if best is not None:
            taken.append(pill_box(best[1], text))
            marks.append(hovered(f"equal RG: {text} in", pill(best[1], text)))
    return marks


def _angle_labels(lines: Sequence[Sequence[Point]], taken: list[Box]) -> list[str]:
    """How far from +Z the two circles are, off the other lines where there is room for it."""
    marks = []
    for text, radius in (("+Z", 20.0), ("30 deg", RADIUS / 3.0), ("60 deg", 2.0 * RADIUS / 3.0)):
        spots = [(radius * cos(radians(t)), -radius * sin(radians(t))) for t in _TURNS_DEG]
        boxes = [pill_box(at, text) for at in spots]
        free = [
            (not clear(label, (), lines), k)
            for k, label in enumerate(boxes)
            if clear(label, taken, gap=3.0)
        ]
        if free:
            k = min(free)[1]
            taken.append(boxes[k])
            marks.append(pill(spots[k], text))
    return marks


def pill_box(at: Point, text: str) -> Box:
    """What a label on the map takes, its middle at a point."""
    return text_box(at[0], at[1] + 4.5, text, anchor="middle").grown(3.0)


def _gap(a: Box, b: Box) -> float:
    """How far two boxes are from one another."""
    aside = max(a.left - b.right, b.left - a.right, 0.0)
    return float(np.hypot(aside, max(a.top - b.bottom, b.top - a.bottom, 0.0)))


def _rim_labels() -> list[str]:
    """Azimuths about the rim, with the ways of the ball frame."""
    (x, y), r = MIDDLE, RADIUS
    marks = []
    for way, angle, at, anchor in (
        ("+X", "0 deg", (x + r + 14.0, y), "start"),
        ("\u2212X", "180 deg", (x - r - 14.0, y), "end"),
    ):
        marks.append(words(at[0], at[1] - 3.0, way, size=15.0, anchor=anchor, bold=True))
        marks.append(words(at[0], at[1] + 14.0, angle, "faint", anchor=anchor))
    for way, angle, base in (("+Y", "90 deg", y - r - 14.0), ("\u2212Y", "270 deg", y + r + 24.0)):
        marks.append(words(x - 4.0, base, way, size=15.0, anchor="end", bold=True))
        marks.append(words(x + 4.0, base, angle, "faint"))
    return marks


def _ramp(told: Mapping[str, str]) -> list[str]:
    wide = (WIDTH - 2.0 * _RAMP_LEFT) / _RAMP_STEPS
    base = _RAMP_Y + 13.0
    marks = [words(_RAMP_LEFT - 10.0, base, "RG", size=15.0, anchor="end", bold=True)]
    for k, colour in enumerate(shade(np.linspace(0.0, 1.0, _RAMP_STEPS))):
        over = 0.4 if k + 1 < _RAMP_STEPS else 0.0  # no gap between two fields
        x = _RAMP_LEFT + k * wide
        marks.append(box(x, _RAMP_Y, wide + over, _RAMP_HIGH, hex_of([float(c) for c in colour])))
    marks.append(words(_RAMP_LEFT, base + 22.0, f"low {told['low']}", size=14.0))
    right = WIDTH - _RAMP_LEFT
    marks.append(words(right, base + 22.0, f"high {told['high']}", size=14.0, anchor="end"))
    return [hovered(f"RG from {told['low']}, pale, to {told['high']}, deep", *marks)]


def _note() -> list[str]:
    text = "Seen from +Z. The other half is the same: RG is the same both ways along an axis."
    return [
        words(8.0, 18.0, "lines: equal RG, in", "faint"),
        words(WIDTH - 8.0, 18.0, "circles: angle from +Z", "faint", anchor="end"),
        words(WIDTH / 2.0, _HEIGHT - 14.0, text, "faint", size=14.0, anchor="middle"),
    ]


def _alt(told: Mapping[str, str], placed: Placed, rounds: Sequence[float], places: int) -> str:
    lines = ", ".join(f"{level:.{places}f}" for level in rounds)
    sentences = (
        "Half the sphere about +Z, seen from +Z, +X to the right; the other half is the same, "
        "since RG is the same both ways along an axis.",
        f"RG runs from {told['low']} to {told['high']}.",
        *placed.sentences,
        f"Lines of equal RG at {lines} in.",
    )
    return " ".join(sentences)
