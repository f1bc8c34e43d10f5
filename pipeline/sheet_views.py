"""The views of a body, each as marks about its own origin, with dimensions and datums."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import cos, radians, sin
from typing import TYPE_CHECKING, Literal

import numpy as np

from pipeline.dimensions import DIAMETER, Dimensions, written_mm
from pipeline.drafting import (
    SMALL_MM,
    TEXT_MM,
    Kind,
    Mark,
    Marks,
    Point,
    Rect,
    Stroke,
    Words,
    arrow,
    box,
    dot,
    extent,
    hatched,
    ring,
    width_mm,
)
from pipeline.label_columns import Entry, column, spread
from pipeline.sheet_frame import datum_sign
from shapes.moments import Array

if TYPE_CHECKING:
    from shapes.hidden_lines import Projection

ViewName = Literal["front", "top", "side"]
_HATCH_MM = 2.0
_OVER_MM = 5.0  # how far an axis runs past the body
_SHORT_MM = 3.4  # between arrows of running dimensions; nearer ones become dots


@dataclass(frozen=True)
class Callout:
    """A note with a leader.

    Attributes:
        text: such as 'rod hole 12.70 x 60.00 deep'; lines parted by line breaks.
        at_mm: the place it speaks of, in the body's frame.
        view: where it is written.
    """

    text: str
    at_mm: tuple[float, float, float]
    view: ViewName


def flat(points: Array, scale: Fraction) -> tuple[Point, ...]:
    """Points of a view, shape (n, 2), on the paper."""
    s = float(scale)
    return tuple((s * float(x), s * float(y)) for x, y in points)


def lines(view: Projection, scale: Fraction, hidden: bool) -> Marks:
    """A view's lines; those behind first, so that seen ones lie over them."""
    layers: list[tuple[Sequence[Array], Kind]] = [
        (view.smooth, "narrow"), (view.sharp, "wide"), (view.outlines, "wide"),
    ]  # fmt: skip
    if hidden:
        layers.insert(0, (view.hidden, "dashed"))
    return tuple(Stroke(flat(p, scale), kind) for paths, kind in layers for p in paths)


def seen(view: Projection, scale: Fraction) -> Rect:
    """The rectangle round a view's lines on the paper."""
    low, high = view.bounds()
    s = float(scale)
    return Rect(s * float(low[0]), s * float(low[1]), s * float(high[0]), s * float(high[1]))


def callout_entries(
    callouts: Sequence[Callout], name: ViewName, view: Projection, scale: Fraction
) -> list[Entry]:
    """The notes that belong on a view."""
    found = []
    for one in callouts:
        if one.view == name:
            at = flat(view.place(np.array(one.at_mm))[None, :], scale)[0]
            found.append(Entry(at, tuple(one.text.split("\n")), "dot"))
    return found


def section_view(
    view: Projection,
    outlines: Sequence[Array],
    scale: Fraction,
    dimensions: Dimensions | None,
    callouts: Sequence[Callout],
    parting: Sequence[Array],
) -> Marks:
    """Section A-A: hatched, with every dimension of a turned body, or overall sizes."""
    body = seen(view, scale)
    numbers = _numbers(dimensions, scale) if dimensions else ()
    clear = [box(m).grown(0.5) for m in numbers if isinstance(m, Words)]
    cut = [np.array(flat(o, scale)) for o in outlines]
    marks: list[Mark] = [*hatched(cut, _HATCH_MM, clear=clear), *lines(view, scale, False)]
    marks += numbers
    marks += _axis(body, scale)
    marks += _parting(parting, view, scale)
    notes = callout_entries(callouts, "front", view, scale)
    if dimensions is None:
        marks += overall(body, scale, across=True, up=True)
        marks += column(notes, body.right + 4.0, 1.0)
    else:
        marks += _heights(dimensions, body, scale)
        marks += _sharps(dimensions, scale)
        entries = [Entry(_at(b.at, scale), b.lines, b.mark) for b in dimensions.sizes]
        marks += column([*entries, *notes], body.right + 4.0, 1.0)
    marks += datum_sign("A", (0.0, body.bottom - _OVER_MM + 1.3), (1.0, 0.0))
    return tuple(marks)


def outside_view(
    view: Projection,
    name: ViewName,
    scale: Fraction,
    callouts: Sequence[Callout],
    parting: Sequence[Array],
    sized: bool,
) -> Marks:
    """A view from outside, hidden edges dashed; `sized` gives it its breadth as a dimension."""
    body = seen(view, scale)
    marks: list[Mark] = [*lines(view, scale, True), *_axis(body, scale)]
    if name == "top":
        marks.append(Stroke(((body.left - _OVER_MM, 0.0), (body.right + _OVER_MM, 0.0)), "chain"))
    marks += _parting(parting, view, scale)
    if sized:
        marks += overall(body, scale, across=True, up=False)
    marks += column(callout_entries(callouts, name, view, scale), body.right + 4.0, 1.0)
    return tuple(marks)


def cutting_plane(body: Rect, at_y: float) -> Marks:
    """Where section A-A cuts, on the view from above; the arrows show which way one looks."""
    marks: list[Mark] = []
    for x, way in ((body.left - _OVER_MM, -1.0), (body.right + _OVER_MM, 1.0)):
        end = x + way * 5.0
        marks += [
            Stroke(((x, at_y), (end, at_y)), "wide"),
            Stroke(((end - way * 0.8, at_y - 7.0), (end - way * 0.8, at_y - 2.5))),
            arrow((end - way * 0.8, at_y), (0.0, 1.0), 3.0),
            Words((end + way * 1.2, at_y - 6.5), "A", 3.5, "left" if way > 0.0 else "right"),
        ]
    return tuple(marks)


def datum_c(body: Rect, towards_deg: float) -> Marks:
    """Datum C, the high-RG direction, on the view from above."""
    way = (cos(radians(towards_deg)), sin(radians(towards_deg)))
    far = max(abs(v) for v in (body.left, body.right, body.bottom, body.top)) * 0.80
    tip, end = (far * way[0], far * way[1]), (far + 3.0, 0.0)
    del end
    square = (0.45 * far * way[0], 0.45 * far * way[1])
    frame = datum_sign("C", (square[0] - 6.2, square[1]), (1.0, 0.0))
    return (Stroke(((0.0, 0.0), tip), "chain"), arrow(tip, way, 3.5), *frame[2:])


def caption(words: str, marks: Sequence[Mark], at_x: float, large: bool = False) -> Marks:
    """Words under a view."""
    size = 3.5 if large else SMALL_MM * 1.11
    y = extent(marks).bottom - 2.6 - size
    return (Words((at_x, y), words, size, "middle", large),)


def overall(body: Rect, scale: Fraction, across: bool, up: bool) -> Marks:
    """Overall sizes as dimension lines under and left of a view."""
    marks: list[Mark] = []
    s = float(scale)
    if across:
        y = body.bottom - _OVER_MM - 9.0
        marks += _dimension((body.left, y), (body.right, y), written_mm(body.width / s))
        marks += [Stroke(((x, body.bottom - 1.0), (x, y - 1.5))) for x in (body.left, body.right)]
    if up:
        x = body.left - 10.0
        marks += _dimension((x, body.bottom), (x, body.top), written_mm(body.height / s))
        marks += [Stroke(((body.left - 1.0, y), (x - 1.5, y))) for y in (body.bottom, body.top)]
    return tuple(marks)


def _dimension(a: Point, b: Point, words: str) -> Marks:
    """A dimension line: level with its words above it, or upright with them left of it."""
    if a[1] == b[1]:
        way, at = (1.0, 0.0), Words(((a[0] + b[0]) / 2.0, a[1] + 1.0), words, TEXT_MM, "middle")
    else:
        way = (0.0, 1.0)
        at = Words((a[0] - 1.2, (a[1] + b[1]) / 2.0 - 1.25), words, TEXT_MM, "right")
    return (Stroke((a, b)), arrow(b, way), arrow(a, (-way[0], -way[1])), at)


def _axis(body: Rect, scale: Fraction) -> Marks:
    """The pin axis through the origin of a view."""
    del scale
    return (Stroke(((0.0, body.bottom - _OVER_MM), (0.0, body.top + _OVER_MM)), "chain"),)


def _parting(paths: Sequence[Array], view: Projection, scale: Fraction) -> Marks:
    return tuple(Stroke(flat(view.place(path), scale), "chain") for path in paths)


def _at(point: Point, scale: Fraction, side: float = 1.0) -> Point:
    return side * float(scale) * point[0], float(scale) * point[1]


def _heights(dimensions: Dimensions, body: Rect, scale: Fraction) -> Marks:
    """Running dimensions from datum B up, and down where the body goes below it."""
    x = body.left - 13.0
    origin = float(scale) * dimensions.datum_mm
    levels = [_at(label.at, scale, -1.0) for label in dimensions.heights]
    marks: list[Mark] = [ring((x, origin), 0.9)]
    ends = [level[1] for level in levels]
    marks.append(Stroke(((x, min(ends)), (x, max(ends)))))
    for k, (_, y) in enumerate(levels):
        if abs(y - origin) < 1e-9:
            continue
        way = 1.0 if y > origin else -1.0
        before = ends[k - 1] if way > 0.0 else ends[k + 1]
        near = abs(y - before) < _SHORT_MM
        marks.append(dot((x, y), 0.35) if near else arrow((x, y), (0.0, way)))
    entries = [
        Entry(at, label.lines, "", at[0] - 0.8)
        for at, label in zip(levels, dimensions.heights, strict=True)
    ]
    marks += column(entries, x - 1.0, -1.0)
    marks += datum_sign("B", (body.left - 6.0, origin), (0.0, -1.0))
    return tuple(marks)


def _sharps(dimensions: Dimensions, scale: Fraction) -> Marks:
    """Theoretical points, on both sides, as crossing lines that run a little past them."""
    marks: list[Mark] = []
    for sharp in dimensions.sharps:
        for side in (1.0, -1.0):
            at = np.array(_at(sharp.at, scale, side))
            for end in sharp.ends:
                start = np.array(_at(end, scale, side))
                way = (at - start) / max(float(np.linalg.norm(at - start)), 1e-9)
                past = at + 1.2 * way
                first, last = ((float(p[0]), float(p[1])) for p in (start, past))
                marks.append(Stroke((first, last)))
    return tuple(marks)


def _numbers(dimensions: Dimensions, scale: Fraction) -> Marks:
    """The points of the table on the right-hand outline, numbered inside it."""
    if dimensions.table is None:
        return ()
    places = [_at(p.at, scale) for p in dimensions.table.points]
    order = sorted(range(len(places)), key=lambda k: places[k][1])
    rows = spread([places[k][1] for k in order], [1.4 * SMALL_MM] * len(order), 0.4)
    marks: list[Mark] = []
    for k, y in zip(order, rows, strict=True):
        at, words = places[k], str(k + 1)
        x = at[0] - 3.4
        marks += [
            dot(at, 0.4),
            Stroke((at, (x + 0.5, y))),
            Words((x, y - SMALL_MM / 2.0), words, SMALL_MM, "right"),
        ]
    return tuple(marks)


__all__ = [
    "DIAMETER", "Callout", "ViewName", "callout_entries", "caption", "cutting_plane", "datum_c",
    "flat", "lines", "outside_view", "overall", "section_view", "seen", "width_mm",
]  # fmt: skip
