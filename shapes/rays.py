"""How far a ray runs inside a closed mesh before it leaves it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import distance_transform_cdt

from shapes.errors import SolidError
from shapes.moments import Array, Indices, Mask
from shapes.triples import cross, greatest, least, where_least

_CELLS = 12.0  # of the grid, for each triangle: few of them hold any
_MOST_CELLS = 200  # along one side
_EDGE = 1e-9  # a ray that passes a triangle's side by so little, as a share, still meets it
_LEAST_MM = 1e-7
_AT_ONCE = 1_000_000  # pairs of a ray and a triangle


@dataclass(frozen=True, eq=False)
class _Grid:
    """Even cells over triangles, and which of them have boxes that reach into each cell.

    `clear` is for each cell how many cells away, along axes and diagonals, the nearest is that
    has any triangles.
    """

    corners: Array
    normals: Array
    levels: Array

    low: Array
    size: Array
    side: Indices
    starts: Indices
    listed: Indices
    clear: Indices

    @property
    def slack_mm(self) -> float:
        """By so much a crossing may be rounded out of its cell."""
        return 1e-6 * float(self.size.max())


def exits(starts: Array, ways: Array, own: Indices, corners: Array) -> tuple[Array, Indices]:
    """How far it is from each start to where the ray leaves the body, mm, and by which triangle.

    The rays walk through the cells of an even grid side by side (Amanatides and Woo 1987, A fast
    voxel traversal algorithm; from memory), over empty ones in leaps, and are held against the
    triangles there.

    Args:
        starts: shape (n, 3), on the mesh.
        ways: shape (n, 3), unit vectors into the body.
        own: shape (n,), the triangle that each ray starts on, which it does not meet.
        corners: shape (m, 3, 3), of the triangles, counter-clockwise seen from outside.

    Raises:
        SolidError: a ray never leaves, so the mesh is not closed.
    """
    grid = _grid(corners)
    found, met = np.full(len(starts), np.inf), np.full(len(starts), -1)
    step = np.where(ways < 0.0, -1, 1)
    with np.errstate(divide="ignore", invalid="ignore"):
        stride = np.where(ways != 0.0, np.abs(grid.size / ways), np.inf)
        width = least(stride)
        edges = np.where(ways > 0.0, grid.low + grid.side * grid.size, grid.low)
        out = least(np.where(ways != 0.0, (edges - starts) / ways, np.inf))
    rows = np.arange(len(starts))
    cell, after = _entered(grid, starts, ways, np.zeros(len(starts)))
    while len(rows):
        number = (cell[:, 0] * grid.side[1] + cell[:, 1]) * grid.side[2] + cell[:, 2]
        axis = where_least(after)
        at = np.arange(len(rows)), axis
        leaves = after[at]
        _meet(found, met, rows, number, leaves, starts, ways, own, grid)
        cell[at] += step[rows, axis]
        after[at] += stride[rows, axis]
        # from where it leaves, a ray may go on so many widths of cells and stay among empty ones
        leap = leaves + np.maximum(grid.clear[number] - 2, 0) * width[rows]
        next_cell = cell[at]
        inside = (next_cell >= 0) & (next_cell < grid.side[axis]) & (found[rows] > leaves)
        (on,) = np.nonzero(inside & (leap < out[rows]))
        rows, cell, after = rows[on], cell.take(on, axis=0), after.take(on, axis=0)
        leap, leaves = leap[on], leaves[on]
        (far,) = np.nonzero(leap > leaves)
        if len(far):
            ahead = rows[far]
            cell[far], after[far] = _entered(
                grid, starts.take(ahead, axis=0), ways.take(ahead, axis=0), leap[far]
            )
    if not np.isfinite(found).all():
        row = int(np.flatnonzero(~np.isfinite(found))[0])
        x, y, z = starts[row]
        raise SolidError(
            f"a line into the body at ({x:.3f}, {y:.3f}, {z:.3f}) mm never leaves it:"
            " the mesh does not close"
        )
    return found, met


def _entered(grid: _Grid, starts: Array, ways: Array, t: Array) -> tuple[Indices, Array]:
    """The cells that rays are in at t, shape (n, 3), and where they leave them along each axis."""
    spot = (starts + t[:, None] * ways - grid.low) / grid.size
    cell = np.floor(spot).astype(np.int64).clip(0, grid.side - 1)
    edge = grid.low + (cell + (ways > 0.0)) * grid.size
    with np.errstate(divide="ignore", invalid="ignore"):
        return cell, np.where(ways != 0.0, (edge - starts) / ways, np.inf)


def _meet(
    found: Array,
    met: Indices,
    rows: Indices,
    number: Indices,
    leaves: Array,
    starts: Array,
    ways: Array,
    own: Indices,
    grid: _Grid,
) -> None:
    """Shorten what is found so far by the triangles in the rays' cells."""
    count = grid.starts[number + 1] - grid.starts[number]
    (busy,) = np.nonzero(count)
    count = count[busy]
    cuts = np.searchsorted(np.cumsum(count), np.arange(_AT_ONCE, int(count.sum()), _AT_ONCE))
    for some in np.split(np.arange(len(busy)), cuts):
        many = count[some]
        turn = np.arange(many.sum()) - np.repeat(np.cumsum(many) - many, many)
        place = np.repeat(busy[some], many)
        ray = rows[place]
        triangle = grid.listed[np.repeat(grid.starts[number[busy[some]]], many) + turn]
        normal = grid.normals.take(triangle, axis=0)
        along = np.einsum("ij,ij->i", normal, ways.take(ray, axis=0))
        (out,) = np.nonzero(along > 0.0)
        ray, triangle, along = ray[out], triangle[out], along[out]
        rise = np.einsum("ij,ij->i", normal.take(out, axis=0), starts.take(ray, axis=0))
        away = grid.levels[triangle] - rise
        # its plane is met on the way out, in this cell or not far beyond it
        near = (away > _LEAST_MM * along) & (triangle != own[ray])
        near &= away <= (leaves[place[out]] + grid.slack_mm) * along
        (kept,) = np.nonzero(near)
        ray, triangle, t = ray[kept], triangle[kept], away[kept] / along[kept]
        points = starts.take(ray, axis=0) + t[:, None] * ways.take(ray, axis=0)
        (hit,) = np.nonzero(_inside(points, triangle, grid))
        ray, triangle, t = ray[hit], triangle[hit], t[hit]
        order = np.lexsort((t, ray))
        ray, first = np.unique(ray[order], return_index=True)  # the nearest of each ray's
        triangle, t = triangle[order][first], t[order][first]
        less = t < found[ray]
        found[ray[less]], met[ray[less]] = t[less], triangle[less]


def _inside(points: Array, triangle: Indices, grid: _Grid) -> Mask:
    """Whether points in the planes of triangles lie within them."""
    a, b, c = np.moveaxis(grid.corners.take(triangle, axis=0), 1, 0)
    normal = grid.normals.take(triangle, axis=0)
    outside = -_EDGE * np.einsum("ij,ij->i", normal, normal)
    inside = np.ones(len(points), dtype=bool)
    for start, end in ((a, b), (b, c), (c, a)):
        turn = cross(end - start, points - start)
        inside &= np.einsum("ij,ij->i", turn, normal) >= outside
    return inside


def _grid(corners: Array) -> _Grid:
    lowest, highest = least(corners), greatest(corners)
    low, high = lowest.min(axis=0), highest.max(axis=0)
    room = np.maximum(high - low, 1e-6)
    cube = float(np.cbrt(room.prod() / (_CELLS * len(corners))))
    side = np.clip(np.ceil(room / cube), 1, _MOST_CELLS).astype(np.int64)
    low, size = low - 1e-9 * room, room * (1.0 + 2e-9) / side
    ends = [np.floor((end - low) / size).astype(np.int64) for end in (lowest, highest)]
    first, last = (end.clip(0, side - 1) for end in ends)
    width = last - first + 1
    count = width.prod(axis=1)
    owner = np.repeat(np.arange(len(corners)), count)
    turn = np.arange(len(owner)) - np.repeat(np.cumsum(count) - count, count)
    rest, z = np.divmod(turn, width[owner, 2])
    x, y = np.divmod(rest, width[owner, 1])
    cell = (first[owner, 0] + x) * side[1] + first[owner, 1] + y
    cell = cell * side[2] + first[owner, 2] + z
    order = np.argsort(cell, kind="stable")
    starts = np.searchsorted(cell[order], np.arange(side.prod() + 1))
    normals = cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    levels = np.einsum("ij,ij->i", normals, corners[:, 0])
    empty = (np.diff(starts) == 0).reshape(tuple(side))
    clear = distance_transform_cdt(empty, "chessboard").ravel()
    return _Grid(corners, normals, levels, low, size, side, starts, owner[order], clear)
