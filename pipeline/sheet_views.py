"""The views of a body, each as marks about its own origin, with dimensions and datums."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Literal

import numpy as np

from pipeline.dimensions import Dimensions, written_mm
from pipeline.drafting import (
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
    extent,
)
from pipeline.label_columns import Entry, column
from pipeline.section_lining import hatched
from pipeline.section_marks import heights, on_paper, sharp_points, table_numbers
from pipeline.sheet_frame import datum_sign
from shapes.moments import Array

if TYPE_CHECKING:
    from shapes.hidden_lines import Projection

ViewName = Literal["front", "top", "side"]
_HATCH_MM = 2.0
_OVER_MM = 5.0  # how far an axis runs past the body


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
    callouts: Sequence[Callout],
    name: ViewName,
    view: Projection,
    scale: Fraction,
    lift_mm: float = 0.0,
) -> list[Entry]:
    """The notes that belong on a view."""
    found = []
    for one in callouts:
        if one.view == name:
            at = flat(view.place(np.array(one.at_mm))[None, :], scale)[0]
            found.append(Entry(at, tuple(one.text.split("\n")), "dot", None, lift_mm))
    return found


def section_view(
    view: Projection,
    outlines: Sequence[Array],
    scale: Fraction,
    dimensions: Dimensions | None,
    callouts: Sequence[Callout],
    parting: Sequence[Array],
    datum_mm: float | None,
) -> Marks:
    """Section A-A: hatched, with every dimension of a turned body, or overall sizes.

    Args:
        view: what lies behind the plane.
        outlines: of the cut face.
        scale: of the view.
        dimensions: of a turned body.
        callouts: of all views.
        parting: the parting line.
        datum_mm: the height of datum B; None where there is none.
    """
    body = seen(view, scale)
    numbers = table_numbers(dimensions, scale) if dimensions else ()
    clear = [box(m).grown(0.5) for m in numbers if isinstance(m, Words)]
    cut = [np.array(flat(o, scale)) for o in outlines]
    marks: list[Mark] = [*hatched(cut, _HATCH_MM, clear=clear), *lines(view, scale, False)]
    marks += numbers
    marks += _axis(body)
    marks += _parting(parting, view, scale)
    notes = callout_entries(callouts, "front", view, scale)
    if dimensions is None:
        marks += overall(body, scale, across=True, up=True)
        marks += column(notes, body.right + 4.0, 1.0)
    else:
        marks += heights(dimensions, body, scale)
        marks += sharp_points(dimensions, scale)
        entries = [Entry(on_paper(b.at, scale), b.lines, b.mark) for b in dimensions.sizes]
        marks += column([*entries, *notes], body.right + 4.0, 1.0)
    if datum_mm is not None:
        y = float(scale) * datum_mm
        marks.append(Stroke(((body.left - 1.0, y), (body.left - 9.0, y))))
        marks += datum_sign("B", (body.left - 6.0, y), (0.0, -1.0))
    low = min([body.bottom, *(r.bottom - 1.5 for r in clear)])  # under the numbers
    marks.append(Stroke(((0.0, body.bottom), (0.0, low - _OVER_MM)), "chain"))
    marks += datum_sign("A", (0.0, low - _OVER_MM + 1.3), (1.0, 0.0))
    return tuple(marks)


def outside_view(
    view: Projection,
    name: ViewName,
    scale: Fraction,
    callouts: Sequence[Callout],
    parting: Sequence[Array],
    sized: bool,
    lift: float = 0.35,
) -> Marks:
    """A view from outside, hidden edges dashed.

    Args:
        view: its lines.
        name: which view it is.
        scale: of the view.
        callouts: of all views.
        parting: the parting line.
        sized: whether its breadth is dimensioned.
        lift: how far notes stand above their places, in heights of the view.
    """
    body = seen(view, scale)
    marks: list[Mark] = [*lines(view, scale, True), *_axis(body)]
    if name == "top":
        marks.append(Stroke(((body.left - _OVER_MM, 0.0), (body.right + _OVER_MM, 0.0)), "chain"))
    marks += _parting(parting, view, scale)
    if sized:
        marks += overall(body, scale, across=True, up=False)
    notes = callout_entries(callouts, name, view, scale, lift * body.height)
    marks += column(notes, body.right + 16.0, 1.0)
    return tuple(marks)


def caption(words: str, marks: Sequence[Mark], at_x: float, large: bool = False) -> Marks:
    """Words above a view."""
    size = 3.5 if large else 2.0
    y = extent(marks).top + 2.2
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


def _axis(body: Rect) -> Marks:
    """The pin axis through the origin of a view."""
    return (Stroke(((0.0, body.bottom - _OVER_MM), (0.0, body.top + _OVER_MM)), "chain"),)


def _parting(paths: Sequence[Array], view: Projection, scale: Fraction) -> Marks:
    return tuple(Stroke(flat(view.place(path), scale), "chain") for path in paths)
