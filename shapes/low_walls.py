"""Walls that stand so nearly along the pull that a piece of a mould drags on them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from shapes.moments import Array, Indices, Mask
from shapes.skin import Skin

_EXACT = 1e-9  # a wall of just the draft that is asked for is not low


@dataclass(frozen=True)
class LowWall:
    """A connected region of a body's surface with little draft, all under one piece.

    Attributes:
        height_mm: along the pull of its piece.
        area_mm2: of its surface.
        place_mm: the middle of its largest facet.
        piece: which piece of the mould lies on it.
    """

    height_mm: float
    area_mm2: float
    place_mm: tuple[float, float, float]
    piece: int


def low_walls(
    skin: Skin,
    heights: Array,
    pieces: Indices,
    leans: Array,
    trapped: Mask,
    draft_deg: float,
) -> tuple[LowWall, ...]:
    """The regions with less than a draft that are not trapped, the highest first.

    Facets are cut where their draft, running evenly from corner to corner, reaches the one given.

    Args:
        skin: n facets.
        heights: shape (n, 3), of their corners along the pulls of their pieces, mm.
        pieces: shape (n,).
        leans: shape (n, 3), sines of the draft at the corners.
        trapped: shape (n,).
        draft_deg: the draft below which a wall is low.
    """
    over = leans - _level(draft_deg)
    (low,) = np.nonzero((over.min(axis=1) < 0.0) & ~trapped)
    if not len(low):
        return ()
    over, heights = over[low], heights[low]
    tops, bottoms = _reach(over, heights)
    areas = skin.areas_mm2[low] * _share(over)
    count, region = _regions(skin.triangles[low], pieces[low], over)
    top, bottom = np.full(count, -np.inf), np.full(count, np.inf)
    np.maximum.at(top, region, tops)
    np.minimum.at(bottom, region, bottoms)
    area = np.bincount(region, areas, count)
    order = np.lexsort((np.arange(len(low)), -areas, region))
    largest = low[order[np.searchsorted(region[order], np.arange(count))]]
    found = []
    for k in np.argsort(bottom - top, kind="stable"):
        x, y, z = (float(v) for v in skin.middles_mm[largest[k]])
        height = float(top[k] - bottom[k])
        found.append(LowWall(height, float(area[k]), (x, y, z), int(pieces[largest[k]])))
    return tuple(found)


def low_area_mm2(areas: Array, leans: Array, draft_deg: float) -> float:
    """Area with less than a draft, from leans at the facets' corners, shape (n, 3)."""
    return float((areas * _share(leans - _level(draft_deg))).sum())


def _level(draft_deg: float) -> float:
    return float(np.sin(np.radians(draft_deg))) - _EXACT


def _share(over: Array) -> Array:
    """The share of each triangle over which a linear function is negative."""
    a, b, c = np.sort(over, axis=1).T
    ab, ac, bc = (np.where(q > p, q - p, 1.0) for p, q in ((a, b), (a, c), (b, c)))
    one = a * a / (ab * ac)  # only the first corner is below
    two = 1.0 - c * c / (ac * bc)
    return np.select([a >= 0.0, c < 0.0, b >= 0.0], [0.0, 1.0, one], two)


def _reach(over: Array, heights: Array) -> tuple[Array, Array]:
    """Greatest and least height of the part of each triangle where a function is negative."""
    after, next_height = np.roll(over, -1, axis=1), np.roll(heights, -1, axis=1)
    crossed = (over < 0.0) != (after < 0.0)
    t = over / np.where(crossed, over - after, 1.0)
    between = heights + t * (next_height - heights)
    tops = np.where(over < 0.0, heights, -np.inf)
    bottoms = np.where(over < 0.0, heights, np.inf)
    tops = np.maximum(tops, np.where(crossed, between, -np.inf))
    bottoms = np.minimum(bottoms, np.where(crossed, between, np.inf))
    return tops.max(axis=1), bottoms.min(axis=1)


def _regions(triangles: Indices, pieces: Indices, over: Array) -> tuple[int, Indices]:
    """How many regions there are, and that of each facet: joined along low stretches of sides."""
    start, end = triangles, np.roll(triangles, -1, axis=1)
    first, last = over, np.roll(over, -1, axis=1)
    flip = start > end
    start, end = np.where(flip, end, start), np.where(flip, start, end)
    first, last = np.where(flip, last, first), np.where(flip, first, last)
    at = first / np.where(first == last, 1.0, first - last)  # where the level is passed
    begin = np.where(first < 0.0, 0.0, at)
    finish = np.where(last < 0.0, 1.0, at)
    row, side = np.nonzero((first < 0.0) | (last < 0.0))
    start, end, begin, finish = (a[row, side] for a in (start, end, begin, finish))
    order = np.lexsort((pieces[row], end, start))
    row, start, end, begin, finish = (a[order] for a in (row, start, end, begin, finish))
    piece = pieces[row]
    same = (start[1:] == start[:-1]) & (end[1:] == end[:-1]) & (piece[1:] == piece[:-1])
    meet = np.maximum(begin[1:], begin[:-1]) < np.minimum(finish[1:], finish[:-1])
    a, b = row[1:][same & meet], row[:-1][same & meet]
    graph = coo_array((np.ones(len(a), dtype=bool), (a, b)), shape=(len(triangles),) * 2)
    count, label = connected_components(graph, directed=False)
    return int(count), label
