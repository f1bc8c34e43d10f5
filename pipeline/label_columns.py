"""Labels beside a view in columns: spread until none touches another, with kinked leaders.

The order along the column is that of the places, and every kink lies in the same band, so leaders
never cross.  The spread is the nearest one in the sense of least squares, found by pooling
neighbours that collide (isotonic regression; Barlow and others 1972, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from pipeline.drafting import TEXT_MM, Anchor, Fill, Mark, Marks, Point, Stroke, Words, arrow, dot

LINE_MM = 1.6  # from line to line of a label, in heights of its capitals
_KINK_MM = 7.0
_GAP_MM = 1.2  # between leader and words


@dataclass(frozen=True)
class Entry:
    """A label that waits for its place.

    Attributes:
        at: the place it speaks of, mm on the paper.
        lines: its words.
        mark: 'arrow', 'dot' or nothing, at that place.
        from_x: where the leader starts, if not at the place itself.
        lift_mm: how far above its place the label would like to be; the leader then runs straight.
    """

    at: Point
    lines: tuple[str, ...]
    mark: str = ""
    from_x: float | None = None
    lift_mm: float = 0.0


def spread(wanted: Sequence[float], heights: Sequence[float], gap: float) -> list[float]:
    """Middles as near as may be to those wanted, rising, so that none touches the next.

    >>> spread([0.0, 0.0, 10.0], [2.0, 2.0, 2.0], 1.0)
    [-1.5, 1.5, 10.0]
    """
    below = [0.0] * bool(wanted)
    for a, b in pairwise(heights):
        below.append(below[-1] + (a + b) / 2.0 + gap)
    pools: list[tuple[float, int]] = []  # mean and count of what is left of each wish
    for wish, offset in zip(wanted, below, strict=True):
        mean, count = wish - offset, 1
        while pools and pools[-1][0] >= mean:
            other, many = pools.pop()
            mean, count = (mean * count + other * many) / (count + many), count + many
        pools.append((mean, count))
    means = [mean for mean, count in pools for _ in range(count)]
    return [mean + offset for mean, offset in zip(means, below, strict=True)]


def column(
    entries: Sequence[Entry],
    x_mm: float,
    way: float,
    height_mm: float = TEXT_MM,
    kink_mm: float = _KINK_MM,
) -> Marks:
    """A column of labels with their leaders.

    Args:
        entries: in any order.
        x_mm: where leaders leave the level of their places.
        way: 1 for a column to the right of it, -1 for one to the left.
        height_mm: of the capitals.
        kink_mm: the breadth of the band in which leaders change their level.
    """
    pitch = LINE_MM * height_mm
    rising, heights = _ordered(entries, x_mm, way, height_mm)
    marks: list[Mark] = []
    anchor: Anchor = "left" if way > 0.0 else "right"
    end = x_mm + way * kink_mm
    for entry, y in zip(rising, heights, strict=True):
        high = len(entry.lines) * pitch
        start = entry.at[0] if entry.from_x is None else entry.from_x
        bend = (x_mm, y if entry.lift_mm else entry.at[1])
        marks.append(Stroke(((start, entry.at[1]), bend, (end, y))))
        if entry.mark:
            marks.append(_marked(entry, way))
        first = y + high / 2.0 - pitch / 2.0 - height_mm / 2.0
        marks += [
            Words((end + way * _GAP_MM, first - k * pitch), line, height_mm, anchor)
            for k, line in enumerate(entry.lines)
        ]
    return tuple(marks)


def _ordered(
    entries: Sequence[Entry], x_mm: float, way: float, height_mm: float
) -> tuple[list[Entry], list[float]]:
    """Entries from the lowest label to the highest, and the labels' heights.

    By the places' own heights; neighbours whose straight leaders cross change places.
    """
    rising = sorted(entries, key=lambda e: (round(e.at[1] + e.lift_mm, 3), -way * e.at[0]))
    for _ in range(len(rising) ** 2):
        tall = [len(e.lines) * LINE_MM * height_mm for e in rising]
        wanted = [e.at[1] + e.lift_mm for e in rising]
        top = -float("inf")
        wanted = [top := max(top, y) for y in wanted]  # those that changed places stay so
        heights = spread(wanted, tall, 0.4 * height_mm)
        crossed = next(
            (k for k in range(len(rising) - 1) if _cross(rising, heights, k, x_mm)), None
        )
        if crossed is None:
            break
        rising[crossed], rising[crossed + 1] = rising[crossed + 1], rising[crossed]
    return rising, heights if rising else []


def _cross(rising: Sequence[Entry], heights: Sequence[float], k: int, x_mm: float) -> bool:
    """Whether the straight leaders of two neighbours cross; kinked ones never do."""
    low, high = rising[k], rising[k + 1]
    if not (low.lift_mm and high.lift_mm):
        return False
    nearer = max(low.at[0], high.at[0], key=lambda x: -abs(x_mm - x))

    def at(entry: Entry, y: float) -> float:
        share = (x_mm - nearer) / (x_mm - entry.at[0])
        return y + share * (entry.at[1] - y)

    return at(low, heights[k]) > at(high, heights[k + 1])


def _marked(entry: Entry, way: float) -> Fill:
    return dot(entry.at) if entry.mark == "dot" else arrow(entry.at, (-way, 0.0))
