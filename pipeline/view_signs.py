"""Signs on the view from above: where section A-A cuts, and datum C."""

from __future__ import annotations

from math import cos, radians, sin

from pipeline.drafting import Mark, Marks, Rect, Stroke, Words, arrow
from pipeline.sheet_frame import datum_sign

_OVER_MM = 5.0


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
    tip = (far * way[0], far * way[1])
    square = (0.45 * far * way[0], 0.45 * far * way[1])
    frame = datum_sign("C", (square[0] - 6.2, square[1]), (1.0, 0.0))
    return (Stroke(((0.0, 0.0), tip), "chain"), arrow(tip, way, 3.5), *frame[2:])
