"""What a section is marked with: running heights, theoretical points, numbers of the table."""

from __future__ import annotations

from fractions import Fraction
from math import cos, radians, sin

import numpy as np

from pipeline.dimensions import Dimensions
from pipeline.drafting import (
    SMALL_MM,
    Mark,
    Marks,
    Point,
    Rect,
    Stroke,
    Words,
    arrow,
    box,
    dot,
    ring,
)
from pipeline.label_columns import Entry, column

_INTO_MM = 3.0  # from a point of the table to its number
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
    """The points of the table on the right-hand outline, numbered inside it where there is room."""
    if dimensions.table is None:
        return ()
    marks: list[Mark] = []
    taken: list[Rect] = []
    for k, point in enumerate(dimensions.table.points):
        x, y = on_paper(point.at, scale)
        turn = radians(point.tangent_deg)
        across, up = -sin(turn), cos(turn)  # into the body, which lies on the left of the curve
        at = (x + _INTO_MM * across, y + _INTO_MM * up - SMALL_MM / 2.0)
        words = Words(at, str(k + 1), SMALL_MM, "middle")
        marks.append(dot((x, y), 0.4))
        if not any(box(words).grown(0.3).meets(other) for other in taken):
            taken.append(box(words))
            marks.append(words)
    return tuple(marks)
