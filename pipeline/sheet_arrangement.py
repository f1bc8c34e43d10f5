"""Where views stand on a sheet in first-angle and third-angle projection (ISO 5456-2)."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

from pipeline.drafting import Marks, Point, Rect, extent, moved
from pipeline.sheet_frame import SCALES, ProjectionName, scale_said
from pipeline.sheet_views import caption, lines

if TYPE_CHECKING:
    from shapes.hidden_lines import Projection

_GAPS_MM = (34.0, 28.0, 22.0, 17.0, 13.0, 9.0, 6.0)


def arranged(
    blocks: tuple[Marks, Marks, Marks],
    iso: tuple[Projection, str],
    scale: Fraction,
    projection: ProjectionName,
    area: Rect,
    taken: Sequence[Rect],
) -> Marks | None:
    """The views in their places, as far apart as there is room for.

    Args:
        blocks: front, top and side view about their own origins.
        iso: the isometric view and what it is called.
        scale: of the three; the isometric one may be smaller.
        projection: which sides the others stand on.
        area: for all of them.
        taken: the column's and the title block's rectangles.

    Returns:
        All marks in place; None where there is no room.
    """
    sizes = [extent(block) for block in blocks]
    for smaller in (s for s in SCALES if scale / 5 <= s <= scale):
        last = _isometric(*iso, scale, smaller)
        for gap in _GAPS_MM:
            for origins in _shifted(sizes, _origins(sizes, projection, area, gap), area):
                rects = [r.moved(*o) for r, o in zip(sizes, origins, strict=True)]
                if not _apart(rects, area, taken):
                    continue
                place = _middle(extent(last), _free(rects, projection, area, taken, gap / 3.0))
                if place is not None:
                    parts = (moved(b, *o) for b, o in zip(blocks, origins, strict=True))
                    return tuple(m for part in (moved(last, *place), *parts) for m in part)
    return None


def _apart(rects: Sequence[Rect], area: Rect, taken: Sequence[Rect]) -> bool:
    """Whether views lie inside the area, off what is taken, and off one another."""
    return all(
        area.holds(r) and not any(r.meets(t) for t in (*taken, *rects[:k]))
        for k, r in enumerate(rects)
    )


def _shifted(sizes: Sequence[Rect], origins: Sequence[Point], area: Rect) -> list[list[Point]]:
    """The views moved together into the middle of what they leave, and less and less far."""
    rects = [r.moved(*o) for r, o in zip(sizes, origins, strict=True)]
    down = (min(r.bottom for r in rects) - area.bottom) / 2.0
    return [
        [(x, y - share * down) for x, y in origins] for share in (0.6, 0.4, 0.2, 0.0) if down > 0.0
    ]


def _origins(
    sizes: Sequence[Rect], projection: ProjectionName, area: Rect, gap: float
) -> tuple[Point, Point, Point]:
    front, top, side = sizes
    pad = min(gap / 2.0, 8.0)
    x = area.left + pad - min(front.left, top.left)
    across = x + max(front.right, top.right if projection == "third" else front.right) + gap
    x_side = across - side.left
    if projection == "first":
        y = area.top - pad - max(front.top, side.top)
        return (x, y), (x, y + front.bottom - gap - top.top), (x_side, y)
    y_top = area.top - pad - top.top
    y = y_top + top.bottom - gap - front.top
    return (x, y), (x, y_top), (x_side, y)


def _free(
    rects: Sequence[Rect],
    projection: ProjectionName,
    area: Rect,
    taken: Sequence[Rect],
    gap: float,
) -> list[Rect]:
    """Rectangles of the corner that the three views leave, for the isometric one."""
    front, top, side = rects
    column, block = taken
    right = column.left - gap
    left = max(front.right, top.right) if projection == "third" else top.right
    if projection == "third":
        return [Rect(top.right + gap, max(side.top, block.top) + gap, right, area.top - gap)]
    high = side.bottom - gap
    return [
        Rect(left + gap, max(area.bottom, block.top) + gap, min(right, area.right), high),
        Rect(left + gap, area.bottom + gap, min(right, block.left - gap), high),
    ]


def _isometric(iso: Projection, called: str, scale: Fraction, smaller: Fraction) -> Marks:
    """The isometric view with its caption, at the sheet's scale or a smaller one."""
    said = called + ("" if smaller == scale else f" ({scale_said(smaller)})")
    view = lines(iso, smaller, False)
    middle = extent(view)
    return (*view, *caption(said, view, (middle.left + middle.right) / 2.0))


def _middle(size: Rect, rooms: Sequence[Rect]) -> Point | None:
    """How far to move marks to the middle of the first room that holds them."""
    for room in rooms:
        if size.width <= room.width and size.height <= room.height:
            return (
                (room.left + room.right - size.left - size.right) / 2.0,
                (room.bottom + room.top - size.bottom - size.top) / 2.0,
            )
    return None
