"""Where a closed mesh touches itself at a corner, or one of its edges runs through a triangle."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from shapes.moments import Array

Indices = npt.NDArray[np.int64]
_AT_ONCE = 500_000  # pairs of an edge and a triangle
_ROUNDING = 1e-12
_WIDEST = 64  # cells along one side of the grid, at most


def touching(points: Array, triangles: Indices) -> Array | None:
    """The first corner whose triangles do not hang together round it by their sides, or None.

    Args:
        points: shape (n, 3).
        triangles: shape (m, 3); every side belongs to two.
    """
    count = len(triangles)
    own = np.arange(3 * count).reshape(count, 3)  # a triangle at one of its corners
    pairs = []
    for k in range(3):
        a, b = triangles[:, k], triangles[:, (k + 1) % 3]
        low = np.where(a < b, own[:, k], own[:, (k + 1) % 3])
        high = np.where(a < b, own[:, (k + 1) % 3], own[:, k])
        pairs.append(np.column_stack([np.minimum(a, b), np.maximum(a, b), low, high]))
    sides = np.concatenate(pairs)
    sides = sides[np.lexsort((sides[:, 1], sides[:, 0]))]
    joined = np.concatenate([sides[:, 2].reshape(-1, 2), sides[:, 3].reshape(-1, 2)])
    label = np.arange(3 * count)
    while True:
        lower = label.copy()
        least = label[joined].min(axis=1)
        for k in (0, 1):
            np.minimum.at(lower, joined[:, k], least)
        lower = lower[lower]
        if (lower == label).all():
            break
        label = lower
    fans = np.unique(np.column_stack([triangles.reshape(-1), label]), axis=0)[:, 0]
    corner, number = np.unique(fans, return_counts=True)
    return None if (number == 1).all() else points[corner[number > 1][0]]


def crossing(at: Array, triangles: Indices) -> Array | None:
    """A point where an edge runs through a triangle that it shares no corner with, or None.

    The ends lie on either side of the triangle's plane, and the line between them on one side of
    all three of its sides: signs of volumes of tetrahedra (Segura and Feito 2001; from memory).

    Args:
        at: shape (m, 3, 3), the corners of every triangle.
        triangles: shape (m, 3), their numbers.
    """
    side, owner = _edges(triangles)
    ends = np.stack([at.reshape(-1, 3)[owner[:, 0]], at.reshape(-1, 3)[owner[:, 1]]], axis=1)
    for edge, triangle in _near(ends, at):
        apart = (side[edge][:, :, None] != triangles[triangle][:, None, :]).all(axis=(1, 2))
        edge, triangle = edge[apart], triangle[apart]
        p, q = ends[edge, 0], ends[edge, 1]
        a, b, c = (at[triangle, k] for k in range(3))
        before, after = _volume(a, b, c, p), _volume(a, b, c, q)
        turns = np.stack([_volume(p, q, a, b), _volume(p, q, b, c), _volume(p, q, c, a)])
        rounding = _ROUNDING * np.abs(turns).max(axis=0)  # a line through a side still counts
        one_way = (turns >= -rounding).all(axis=0) | (turns <= rounding).all(axis=0)
        (found,) = np.nonzero((before * after < 0.0) & one_way)
        if len(found):
            k = found[0]
            share = before[k] / (before[k] - after[k])
            return np.asarray(p[k] + share * (q[k] - p[k]))
    return None


def _edges(triangles: Indices) -> tuple[Indices, Indices]:
    """Every edge once: the numbers of its ends, and where each stands in the flat triangles."""
    place = np.arange(triangles.size).reshape(-1, 3)
    ends = np.concatenate([triangles[:, [k, (k + 1) % 3]] for k in range(3)])
    places = np.concatenate([place[:, [k, (k + 1) % 3]] for k in range(3)])
    once = ends[:, 0] < ends[:, 1]  # the mesh is closed and turned one way
    return ends[once], places[once]


def _volume(a: Array, b: Array, c: Array, d: Array) -> Array:
    """Six times the volume of a tetrahedron, with its sign."""
    return np.asarray(np.einsum("ij,ij->i", np.cross(b - a, c - a), d - a))


def _near(ends: Array, at: Array) -> list[tuple[Indices, Indices]]:
    """Pairs of an edge and a triangle whose boxes overlap, found by a grid of cells."""
    low, high = at.min(axis=(0, 1)), at.max(axis=(0, 1))
    side = int(np.clip(np.cbrt(4.0 * len(at)), 1, _WIDEST))
    size = np.maximum(high - low, 1e-300) * (1.0 + 1e-12) / side
    cell_e, edge = _cells(ends, low, size, side)
    cell_t, triangle = _cells(at, low, size, side)
    order = np.argsort(cell_t, kind="stable")
    cell_t, triangle = cell_t[order], triangle[order]
    first, last = (np.searchsorted(cell_t, cell_e, way) for way in ("left", "right"))
    count = last - first
    total = np.cumsum(count)
    cuts = np.searchsorted(total, np.arange(_AT_ONCE, int(total[-1]), _AT_ONCE))
    found = []
    for rows in np.split(np.arange(len(edge)), cuts):
        number = count[rows]
        step = np.arange(number.sum()) - np.repeat(np.cumsum(number) - number, number)
        e, t = np.repeat(edge[rows], number), triangle[np.repeat(first[rows], number) + step]
        box_e, box_t = ends[e], at[t]
        meet = (box_e.min(axis=1) <= box_t.max(axis=1)) & (box_t.min(axis=1) <= box_e.max(axis=1))
        kept = meet.all(axis=1)
        found.append((e[kept], t[kept]))
    return found


def _cells(corners: Array, low: Array, size: Array, side: int) -> tuple[Indices, Indices]:
    """The cells that the boxes of corners, shape (n, k, 3), reach over, and the row of each."""
    ends = [((f(corners, axis=1) - low) / size).astype(np.int64) for f in (np.min, np.max)]
    first, last = (end.clip(0, side - 1) for end in ends)
    width = last - first + 1
    count = width.prod(axis=1)
    row = np.repeat(np.arange(len(corners)), count)
    step = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count)
    x = first[row, 0] + step % width[row, 0]
    y = first[row, 1] + step // width[row, 0] % width[row, 1]
    z = first[row, 2] + step // (width[row, 0] * width[row, 1])
    return (x * side + y) * side + z, row
