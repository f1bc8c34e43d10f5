"""What a drawing is made of: lines, filled arrows and words on paper, in mm from its lower left.

Lines after ISO 128-2, line group 0.35: wide 0.35 mm, narrow half of that; letters after ISO 3098
by the height of their capitals.  Words are measured in the face they are set in, so that a test can
ask whether any two collide.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from math import cos, pi, sin
from typing import Literal

from pipeline import fonts

Point = tuple[float, float]
Kind = Literal["wide", "narrow", "dashed", "chain", "faint"]
Anchor = Literal["left", "middle", "right"]
WIDE_MM, NARROW_MM, FAINT_MM = 0.35, 0.18, 0.10
TEXT_MM, SMALL_MM, HEAD_MM = 2.5, 1.8, 3.5  # ISO 3098 heights; capitals
CAPITALS = 0.66  # of the em, as the face draws them
_EM_PX = 250.0  # at which words are measured: large, so that no pixel is rounded


@dataclass(frozen=True)
class Stroke:
    """A polyline: wide for visible edges, dashed for hidden ones, chain for axes; faint hatches."""

    points: tuple[Point, ...]
    kind: Kind = "narrow"


@dataclass(frozen=True)
class Fill:
    """A filled polygon; a white one hides what was drawn before it."""

    points: tuple[Point, ...]
    white: bool = False


@dataclass(frozen=True)
class Words:
    """One line of words.

    Attributes:
        at: on its base line, at the left end, the middle or the right end.
        text: any letters; those that the face lacks are set as question marks.
        height_mm: of the capitals.
        bold: of the heavier weight.
    """

    at: Point
    text: str
    height_mm: float = TEXT_MM
    anchor: Anchor = "left"
    bold: bool = False


Mark = Stroke | Fill | Words
Marks = tuple[Mark, ...]


@dataclass(frozen=True)
class Rect:
    """An upright rectangle on the paper, mm."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """From left to right."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From bottom to top."""
        return self.top - self.bottom

    def grown(self, by: float) -> Rect:
        """Larger by so much on every side."""
        return Rect(self.left - by, self.bottom - by, self.right + by, self.top + by)

    def moved(self, x: float, y: float) -> Rect:
        """The same elsewhere."""
        return Rect(self.left + x, self.bottom + y, self.right + x, self.top + y)

    def meets(self, other: Rect) -> bool:
        """Whether they share more than a border."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.bottom < other.top
            and other.bottom < self.top
        )

    def holds(self, other: Rect) -> bool:
        """Whether the other lies inside."""
        return (
            self.left <= other.left
            and other.right <= self.right
            and self.bottom <= other.bottom
            and other.top <= self.top
        )


@dataclass(frozen=True)
class Paper:
    """A sheet ready to be set.

    Attributes:
        width_mm: of the paper.
        height_mm: of the paper.
        marks: in the order in which they are drawn.
        title: for the file.
        author: for the file; may be empty.
        date: of issue, year, month and day; None leaves the file without one.
    """

    width_mm: float
    height_mm: float
    marks: Marks
    title: str
    author: str = ""
    date: tuple[int, int, int] | None = None


@lru_cache(maxsize=4096)
def _ink(text: str, bold: bool) -> tuple[float, float, float, float]:
    """Advance, left, highest and lowest ink of words, in heights of a capital."""
    face = fonts.face(_EM_PX, fonts.BOLD if bold else fonts.PLAIN)
    shown = fonts.written(text)
    unit = 1.0 / (fonts.FINE * _EM_PX * CAPITALS)
    _, top, _, bottom = face.getbbox(shown, anchor="ls")
    return sum(face.getlength(c) for c in shown) * unit, 0.0, -top * unit, -bottom * unit


def width_mm(text: str, height_mm: float = TEXT_MM, bold: bool = False) -> float:
    """How long a line of words is."""
    return _ink(text, bold)[0] * height_mm


def box(words: Words) -> Rect:
    """The rectangle round the ink of words."""
    length, _, high, low = _ink(words.text, words.bold)
    length, (x, y) = length * words.height_mm, words.at
    left = x - {"left": 0.0, "middle": length / 2.0, "right": length}[words.anchor]
    return Rect(left, y + low * words.height_mm, left + length, y + high * words.height_mm)


def boxes(paper: Paper) -> tuple[tuple[Words, Rect], ...]:
    """All words of a sheet with the rectangles they fill."""
    return tuple((m, box(m)) for m in paper.marks if isinstance(m, Words) and m.text.strip())


def extent(marks: Iterable[Mark]) -> Rect:
    """The rectangle round marks."""
    corners: list[Point] = []
    for mark in marks:
        if isinstance(mark, Words):
            r = box(mark)
            corners += [(r.left, r.bottom), (r.right, r.top)]
        else:
            corners += mark.points
    x, y = [c[0] for c in corners], [c[1] for c in corners]
    return Rect(min(x), min(y), max(x), max(y))


def moved(marks: Iterable[Mark], dx: float, dy: float) -> Marks:
    """The same marks elsewhere."""

    def shift(p: Point) -> Point:
        return p[0] + dx, p[1] + dy

    found: list[Mark] = []
    for mark in marks:
        if isinstance(mark, Words):
            found.append(Words(shift(mark.at), mark.text, mark.height_mm, mark.anchor, mark.bold))
        elif isinstance(mark, Fill):
            found.append(Fill(tuple(map(shift, mark.points)), mark.white))
        else:
            found.append(Stroke(tuple(map(shift, mark.points)), mark.kind))
    return tuple(found)


def wrapped(text: str, room_mm: float, height_mm: float = TEXT_MM) -> list[str]:
    """The words in lines that fit a width; a word too long for one is broken."""
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if width_mm(longer, height_mm) <= room_mm:
            lines[-1] = longer
            continue
        if lines[-1]:
            lines.append("")
        for letter in word:
            if lines[-1] and width_mm(lines[-1] + letter, height_mm) > room_mm:
                lines.append("")
            lines[-1] += letter
    return lines


def arrow(tip: Point, way: Point, length_mm: float = 2.5) -> Fill:
    """A filled arrowhead, 20 degrees wide, that points along a unit vector."""
    (x, y), (u, v) = tip, way
    back, side = length_mm, length_mm * 0.17
    return Fill(
        (
            tip,
            (x - back * u - side * v, y - back * v + side * u),
            (x - back * u + side * v, y - back * v - side * u),
        )
    )


def dot(at: Point, radius_mm: float = 0.45) -> Fill:
    """A filled dot."""
    return Fill(_round(at, radius_mm, 16)[:-1])


def ring(at: Point, radius_mm: float, kind: Kind = "narrow") -> Stroke:
    """A circle."""
    return Stroke(_round(at, radius_mm, 48), kind)


def _round(at: Point, radius: float, count: int) -> tuple[Point, ...]:
    turns = (2.0 * pi * k / count for k in range(count + 1))
    return tuple((at[0] + radius * cos(a), at[1] + radius * sin(a)) for a in turns)
