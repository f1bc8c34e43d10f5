"""What stands in the way of a body's facets when something is drawn off them along a line."""

from __future__ import annotations

from math import ceil, sqrt

import numpy as np

from shapes.closed_mesh import seen_along
from shapes.moments import Array, Indices, Mask

_MOST_CELLS = 256  # along one side of the grid
_IN_A_CELL = 2.0  # triangles, if they lay side by side
_UPRIGHT = 1e-6  # sine of the lean up to which a triangle is seen along itself, and hides nothing
_AT_ONCE = 2_000_000  # pairs of a point and a triangle


def shaded(points: Array, way: tuple[float, float, float], corners: Array) -> Mask:
    """Which points have a triangle before them.

    All lines run one way, so that triangles are compared with points in a plane across it, those
    that share a cell of an even grid.  A line that starts outside the body meets it at a triangle
    that leans against the line, so only those are looked at.

    Args:
        points: shape (n, 3), mm.
        way: a unit vector, from the points.
        corners: shape (m, 3, 3), of the triangles, counter-clockwise seen from outside.
    """
    hidden = np.zeros(len(points), dtype=bool)
    turn = seen_along(np.array(way))
    seen, at = corners @ turn, points @ turn
    normal = np.cross(seen[:, 1] - seen[:, 0], seen[:, 2] - seen[:, 0])
    size = np.linalg.norm(normal, axis=1)
    seen = seen[normal[:, 2] < -_UPRIGHT * size]
    if not len(seen) or not len(at):
        return hidden
    top = seen[:, :, 2].max(axis=1)
    low, high = seen[:, :, :2].min(axis=(0, 1)), seen[:, :, :2].max(axis=(0, 1))
    side = min(_MOST_CELLS, ceil(sqrt(len(seen) / _IN_A_CELL)))
    cell_mm = np.maximum(high - low, 1e-9) * (1.0 + 1e-9) / side
    cells, listed = _listed(seen[:, :, :2], low, cell_mm, side)
    starts = np.searchsorted(cells, np.arange(side * side + 1))
    highest = np.full(side * side, -np.inf)
    np.maximum.at(highest, cells, top[listed])
    place = np.floor((at[:, :2] - low) / cell_mm).astype(np.int64)
    (rows,) = np.nonzero(((place >= 0) & (place < side)).all(axis=1))
    cell = place[rows, 0] * side + place[rows, 1]
    below = highest[cell] > at[rows, 2]
    rows, cell = rows[below], cell[below]
    count = starts[cell + 1] - starts[cell]
    cuts = np.searchsorted(np.cumsum(count), np.arange(_AT_ONCE, int(count.sum()), _AT_ONCE))
    for some in np.split(np.arange(len(rows)), cuts):
        number = count[some]
        step = np.arange(number.sum()) - np.repeat(np.cumsum(number) - number, number)
        point = np.repeat(rows[some], number)
        triangle = listed[np.repeat(starts[cell[some]], number) + step]
        before = top[triangle] > at[point, 2]
        point, triangle = point[before], triangle[before]
        hidden[point[_before(at[point], seen[triangle])]] = True
    return hidden


def _before(points: Array, corners: Array) -> Mask:
    """Whether each triangle, shape (k, 3, 3), lies straight above its point, shape (k, 3)."""
    flat = corners[:, :, :2] - points[:, None, :2]
    after = np.roll(flat, -1, axis=1)
    turns = flat[:, :, 0] * after[:, :, 1] - flat[:, :, 1] * after[:, :, 0]
    # a line through a side belongs to both its triangles, else one between them would slip through
    inside = (turns >= 0.0).all(axis=1) | (turns <= 0.0).all(axis=1)
    # a side's turn is the weight of the corner across from it
    weight = turns[:, [1, 2, 0]]
    height = (weight * corners[:, :, 2]).sum(axis=1)
    total = weight.sum(axis=1)
    return np.asarray(inside & (height * np.sign(total) > points[:, 2] * np.abs(total)))


def _listed(flat: Array, low: Array, cell_mm: Array, side: int) -> tuple[Indices, Indices]:
    """The cells, ascending, that triangles reach over, each with the triangle that does."""
    ends = [np.floor((f(flat, axis=1) - low) / cell_mm).astype(np.int64) for f in (np.min, np.max)]
    first, last = (end.clip(0, side - 1) for end in ends)
    wide, tall = (last - first + 1).T
    count = wide * tall
    owner = np.repeat(np.arange(len(flat)), count)
    turn = np.arange(len(owner)) - np.repeat(np.cumsum(count) - count, count)
    column, row = np.divmod(turn, tall[owner])
    cell = (first[owner, 0] + column) * side + first[owner, 1] + row
    order = np.argsort(cell, kind="stable")
    return cell[order], owner[order]
