"""Papers, the frame with its fields (ISO 5457), scales (ISO 5455) and the sign of the projection.

From memory where the standards' pages were not at hand: margins, the sign's proportions.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import ceil
from typing import Literal

from pipeline.drafting import SMALL_MM, Fill, Mark, Marks, Rect, Stroke, Words, ring

PaperName = Literal["A3", "A2", "ANSI B", "ANSI C"]
ProjectionName = Literal["first", "third"]
PAPERS_MM: dict[PaperName, tuple[float, float]] = {  # landscape: ISO 216, ASME Y14.1
    "A3": (420.0, 297.0),
    "A2": (594.0, 420.0),
    "ANSI B": (431.8, 279.4),
    "ANSI C": (558.8, 431.8),
}
PAPERS_SAID: dict[PaperName, str] = {
    "A3": "A3, 420 \u00d7 297", "A2": "A2, 594 \u00d7 420",
    "ANSI B": "ANSI B, 17 \u00d7 11 in", "ANSI C": "ANSI C, 22 \u00d7 17 in",
}  # fmt: skip
SCALES = tuple(map(Fraction, ("10", "5", "2", "1", "1/2", "1/5", "1/10", "1/20", "1/50")))
_BINDING_MM, _MARGIN_MM, _BAND_MM, _FIELD_MM = 20.0, 10.0, 5.0, 50.0


def scale_said(scale: Fraction) -> str:
    """A scale as it is written.

    >>> scale_said(Fraction(1, 2))
    '1:2'
    """
    return f"{scale.numerator}:{scale.denominator}"


def frame_rect(paper: PaperName) -> Rect:
    """The inside of the frame: 20 mm on the left for binding, 10 elsewhere."""
    width, height = PAPERS_MM[paper]
    return Rect(_BINDING_MM, _MARGIN_MM, width - _MARGIN_MM, height - _MARGIN_MM)


def frame(paper: PaperName) -> Marks:
    """The frame with centring marks and lettered fields of 50 mm, counted from the middle."""
    inner = frame_rect(paper)
    outer = inner.grown(_BAND_MM)
    marks: list[Mark] = [outline(inner, wide=True), outline(outer)]
    across, up = (inner.left + inner.right) / 2.0, (inner.bottom + inner.top) / 2.0
    marks += [
        Stroke(((across, outer.top), (across, inner.top - 5.0)), "wide"),
        Stroke(((across, outer.bottom), (across, inner.bottom + 5.0)), "wide"),
        Stroke(((outer.left, up), (inner.left + 5.0, up)), "wide"),
        Stroke(((outer.right, up), (inner.right - 5.0, up)), "wide"),
    ]
    for k, (low, high) in enumerate(_fields(inner.left, inner.right)):
        for y, base in ((inner.top, 1.6), (outer.bottom, 1.6)):
            marks.append(Words(((low + high) / 2.0, y + base), str(k + 1), SMALL_MM, "middle"))
            if k:
                marks.append(Stroke(((low, y), (low, y + _BAND_MM))))
    for k, (low, high) in enumerate(reversed(_fields(inner.bottom, inner.top))):
        letter = "ABCDEFGHJKLMNPQRSTUVWXYZ"[k]  # ISO 5457 leaves out I and O
        for x in (outer.left, inner.right):
            marks.append(Words((x + 2.5, (low + high) / 2.0 - 0.9), letter, SMALL_MM, "middle"))
            if k:
                marks.append(Stroke(((x, high), (x + _BAND_MM, high))))
    return tuple(marks)


def _fields(low: float, high: float) -> list[tuple[float, float]]:
    """Fields of 50 mm from the middle outwards, an even count; the last take what is left."""
    middle, half = (low + high) / 2.0, ceil((high - low) / 2.0 / _FIELD_MM - 0.3)
    inner = [middle + _FIELD_MM * k for k in range(1 - half, half)]
    edges = [low, *inner, high]
    return list(pairwise(edges))


def outline(rect: Rect, wide: bool = False) -> Stroke:
    """A rectangle as a line."""
    l, b, r, t = rect.left, rect.bottom, rect.right, rect.top  # noqa: E741
    return Stroke(((l, b), (r, b), (r, t), (l, t), (l, b)), "wide" if wide else "narrow")


def projection_sign(projection: ProjectionName, middle: tuple[float, float]) -> Marks:
    """The sign of ISO 5456-2: a blunt cone, its small end to the left, and its view from there.

    That view stands on the right of the cone in first-angle projection, on the left in third.
    """
    x, y = middle
    away = 5.0 if projection == "first" else -5.0
    cone, rings = x - away, x + away
    body = ((cone - 3.5, y - 1.75), (cone + 3.5, y - 3.5), (cone + 3.5, y + 3.5),
            (cone - 3.5, y + 1.75), (cone - 3.5, y - 1.75))  # fmt: skip
    return (
        Stroke(body, "wide"),
        ring((rings, y), 3.5, "wide"),
        ring((rings, y), 1.75, "wide"),
        Stroke(((cone - 5.0, y), (cone + 5.0, y)), "chain"),
        Stroke(((rings - 4.6, y), (rings + 4.6, y)), "chain"),
        Stroke(((rings, y - 4.6), (rings, y + 4.6)), "chain"),
    )


def datum_sign(letter: str, foot: tuple[float, float], way: tuple[float, float]) -> Marks:
    """A datum's letter in a square, on a stem with a filled triangle (ISO 5459).

    Args:
        letter: of the datum.
        foot: the middle of the triangle's base.
        way: from the foot to the letter, a unit vector along an axis of the paper.
    """
    (x, y), (u, v) = foot, way
    tip = (x + 2.0 * u, y + 2.0 * v)
    base = ((x - 1.2 * v, y - 1.2 * u), (x + 1.2 * v, y + 1.2 * u))
    middle = (x + 6.2 * u, y + 6.2 * v)
    square = Rect(middle[0] - 2.2, middle[1] - 2.2, middle[0] + 2.2, middle[1] + 2.2)
    corners = outline(square)
    return (
        Fill((*base, tip)),
        Stroke((tip, (x + 4.0 * u, y + 4.0 * v))),
        Fill(corners.points[:-1], white=True),
        corners,
        Words((middle[0], middle[1] - 1.25), letter, 2.5, "middle"),
    )
