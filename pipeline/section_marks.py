"""What a section is marked with: running heights, theoretical points, numbers of the table."""

from __future__ import annotations

from fractions import Fraction

import numpy as np

from pipeline.dimensions import Dimensions
from pipeline.drafting import SMALL_MM, Mark, Marks, Point, Rect, Stroke, Words, arrow, dot, ring
from pipeline.label_columns import Entry, column, spread

_SHORT_MM = 3.4  # between arrows of running dimensions; nearer ones become dots


def on_paper(point: Point, scale: Fraction, side: float = 1.0) -> Point:
    """A point (r, z) of a half-section on the right-hand side of its view, or the left for -1."""
    return side * float(scale) * point[0], float(scale) * point[1]


def heights(dimensions: Dimensions, body: Rect, scale: Fraction) -> Marks:
    """Running dimensions from datum B up, and down where the body goes below it."""
    x = body.left - 13.0
    origin = float(scale) * dimensions.datum_mm
    levels = [on_paper(label.at, scale, -1.0) for label in dimensions.heights]
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
    return tuple(marks)


def sharp_points(dimensions: Dimensions, scale: Fraction) -> Marks:
    """Theoretical points, on both sides, as crossing lines that run a little past them."""
    marks: list[Mark] = []
    for sharp in dimensions.sharps:
        for side in (1.0, -1.0):
            at = np.array(on_paper(sharp.at, scale, side))
            for end in sharp.ends:
                start = np.array(on_paper(end, scale, side))
                way = (at - start) / max(float(np.linalg.norm(at - start)), 1e-9)
                past = at + 1.2 * way
                first, last = ((float(p[0]), float(p[1])) for p in (start, past))
                marks.append(Stroke((first, last)))
    return tuple(marks)


def table_numbers(dimensions: Dimensions, scale: Fraction) -> Marks:
    """The points of the table on the right-hand outline, numbered inside it."""
    if dimensions.table is None:
        return ()
    places = [on_paper(p.at, scale) for p in dimensions.table.points]
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
