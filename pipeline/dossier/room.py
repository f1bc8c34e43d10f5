"""Room for words in a chart: the boxes they take, and whether these are clear of other things."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from pipeline.dossier.svg import SIZE, Point, reach

_RISE, _FALL = 0.74, 0.22  # of capitals and ascenders above the baseline, of descenders below it


@dataclass(frozen=True)
class Box:
    """A rectangle; y runs down."""

    left: float
    top: float
    right: float
    bottom: float

    def grown(self, by: float) -> Box:
        """The same with an edge about it."""
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)

    def meets(self, other: Box) -> bool:
        """Whether the two share some room."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    def within(self, other: Box) -> bool:
        """Whether it lies in the other one."""
        return (
            self.left >= other.left
            and self.right <= other.right
            and self.top >= other.top
            and self.bottom <= other.bottom
        )

    def crossed(self, a: Point, b: Point) -> bool:
        """Whether a straight line runs through it, which is cut side by side (Liang, Barsky)."""
        start, end = 0.0, 1.0
        dx, dy = b[0] - a[0], b[1] - a[1]
        for step, room in (
            (-dx, a[0] - self.left),
            (dx, self.right - a[0]),
            (-dy, a[1] - self.top),
            (dy, self.bottom - a[1]),
        ):
            if step == 0.0:
                if room <= 0.0:
                    return False
            elif step < 0.0:
                start = max(start, room / step)
            else:
                end = min(end, room / step)
        return start < end


def text_box(
    x: float, y: float, text: str, size: float = SIZE, anchor: str = "start", *, bold: bool = False
) -> Box:
    """What a line of text takes, whose baseline starts, has its middle or ends at a point."""
    wide = reach(text, size, bold=bold)
    left = x - {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor] * wide
    return Box(left, y - _RISE * size, left + wide, y + _FALL * size)


def clear(
    box: Box, taken: Iterable[Box], lines: Iterable[Sequence[Point]] = (), gap: float = 2.0
) -> bool:
    """Whether a box is clear of others, and of lines through points, by a gap."""
    wide = box.grown(gap)
    if any(wide.meets(other) for other in taken):
        return False
    return not any(wide.crossed(a, b) for line in lines for a, b in pairwise(line))
