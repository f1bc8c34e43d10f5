"""A closed triangle mesh: what it weighs, how far it reaches, what lies in it.

The moments of a polyhedron are sums over the tetrahedra between the origin and its triangles, each
with the sign of its volume (Tonon 2004, Explicit exact formulas for the 3-D tetrahedron inertia
tensor in terms of its vertex coordinates; from memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from math import ceil, sqrt

import numpy as np
import numpy.typing as npt

from shapes.chords import Lines, gathered, none
from shapes.moments import Array, Indices, Mask, Moments

_CELLS = 96  # at most, along one side of the grid that points are sorted into
_WAYS = 24  # directions that are kept ready to look along
_AT_ONCE = 2_000_000  # pairs of a point and a triangle


@dataclass(frozen=True, eq=False)
class ClosedMesh:
    """A closed mesh, every triangle counter-clockwise seen from outside.

    Attributes:
        corners_mm: shape (n, 3).
        triangles: shape (m, 3), indices into the corners.
    """

    corners_mm: Array
    triangles: npt.NDArray[np.int64]

    def moments(self) -> Moments:
        """Exact for the polyhedron, about the origin; negative if it is inside out."""
        middle = (self.corners_mm.max(axis=0) + self.corners_mm.min(axis=0)) / 2.0
        a, b, c = np.moveaxis((self.corners_mm - middle)[self.triangles], 1, 0)
        volume = np.einsum("ij,ij->i", a, np.cross(b, c)) / 6.0
        total = a + b + c
        first = (volume[:, None] * total).sum(axis=0) / 4.0
        second = sum(np.einsum("i,ij,ik->jk", volume, p, p) for p in (a, b, c, total)) / 20.0
        return Moments(float(volume.sum()), first, np.asarray(second)).moved(middle)

    def reach_mm(self, point: Array) -> float:
        """A corner is farthest from any point."""
        return float(np.linalg.norm(self.corners_mm - point, axis=1).max())

    def support_mm(self, direction: Array) -> float:
        """A corner is foremost along any direction."""
        return float((self.corners_mm @ direction).max())

    def contains(self, points: Array) -> Mask:
        """Which of the points, shape (n, 3), lie inside: below an odd number of triangles.

        Edges are half open, and each is asked alike for both of its triangles, so that no point
        falls between two.
        """
        inside = np.zeros(len(points), dtype=bool)
        for rows, triangles in self._paired(points):
            above = self._above(points[rows], triangles)
            inside[rows] = above.sum(axis=1) % 2 == 1
        return inside

    def chords(self, lines: Lines) -> Array:
        """Where lines run inside, see `shapes.chords`: every triangle that a line passes.

        Lines of one direction are asked together: seen along it they are points.
        """
        ways, of = np.unique(np.round(lines.way, 12), axis=0, return_inverse=True)
        found: list[tuple[Indices, Array]] = []
        for k in range(len(ways)):
            (rows,) = np.nonzero(of.reshape(-1) == k)
            turn, mesh = self._along((float(ways[k, 0]), float(ways[k, 1]), float(ways[k, 2])))
            starts = lines.start[rows] @ turn
            for some, triangles in mesh._paired(starts):
                row, which = np.nonzero(mesh._over(starts[some], triangles))
                line = some[row]
                height = mesh._height(starts[line], triangles[which])
                found.append((rows[line], height - starts[line, 2]))
        if not found:
            return none(lines)
        row, t = (np.concatenate(column) for column in zip(*found, strict=True))
        order = np.argsort(row, kind="stable")
        row, t = row[order], t[order]
        place = np.arange(len(row)) - np.searchsorted(row, row)  # its turn on its line
        ends = np.full((len(lines), int(place.max()) + 1), np.inf)
        ends[row, place] = t
        return gathered(ends)

    def _along(self, way: tuple[float, float, float]) -> tuple[Array, ClosedMesh]:
        """A rotation, shape (3, 3), after which a direction is +Z, and the mesh so turned; kept."""
        if way not in self._turned:
            if len(self._turned) >= _WAYS:
                self._turned.clear()
            turn = seen_along(np.array(way) / np.linalg.norm(way))
            self._turned[way] = turn, ClosedMesh(self.corners_mm @ turn, self.triangles)
        return self._turned[way]

    @cached_property
    def _turned(self) -> dict[tuple[float, ...], tuple[Array, ClosedMesh]]:
        return {}

    def _paired(
        self, points: Array
    ) -> Iterator[tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]]:
        """Points in one cell of a grid in x and y, with the triangles that reach over the cell."""
        low, size, side, starts, listed = self._grid
        place = np.floor((points[:, :2] - low) / size).astype(np.int64)
        within = ((place >= 0) & (place < side)).all(axis=1)
        (rows,) = np.nonzero(within)
        if not len(rows):
            return
        cell = place[rows, 0] * side + place[rows, 1]
        order = np.argsort(cell, kind="stable")
        rows, cell = rows[order], cell[order]
        cuts = np.flatnonzero(np.diff(cell, prepend=-1))
        for first, last in zip(cuts, [*cuts[1:], len(cell)], strict=True):
            own = listed[starts[cell[first]] : starts[cell[first] + 1]]
            if len(own):
                step = max(1, _AT_ONCE // len(own))
                for start in range(first, last, step):
                    yield rows[start : min(start + step, last)], own

    @cached_property
    def _grid(self) -> tuple[Array, Array, int, npt.NDArray[np.int64], npt.NDArray[np.int64]]:
        flat = self.corners_mm[:, :2]
        low, high = flat.min(axis=0), flat.max(axis=0)
        side = min(_CELLS, max(1, ceil(sqrt(len(self.triangles) / 4.0))))
        size = np.maximum(high - low, 1e-9) * (1.0 + 1e-9) / side
        ends = flat[self.triangles]
        first = np.floor((ends.min(axis=1) - low) / size).astype(np.int64).clip(0, side - 1)
        last = np.floor((ends.max(axis=1) - low) / size).astype(np.int64).clip(0, side - 1)
        wide, tall = (last - first + 1).T
        count = wide * tall  # cells that each triangle reaches over
        owner = np.repeat(np.arange(len(first)), count)
        turn = np.arange(len(owner)) - np.repeat(np.cumsum(count) - count, count)
        column, row = np.divmod(turn, tall[owner])
        cell = (first[owner, 0] + column) * side + first[owner, 1] + row
        order = np.argsort(cell, kind="stable")
        starts = np.searchsorted(cell[order], np.arange(side * side + 1))
        return low, size, side, starts, owner[order]

    def _above(self, points: Array, triangles: npt.NDArray[np.int64]) -> Mask:
        """Shape (points, triangles): whether a triangle lies straight above a point."""
        over = self._over(points, triangles)
        row, which = np.nonzero(over)
        over[row, which] = self._height(points[row], triangles[which]) > points[row, 2]
        return over

    def _over(self, points: Array, triangles: npt.NDArray[np.int64]) -> Mask:
        """Shape (points, triangles): whether a triangle lies straight above or below a point."""
        corner = self.triangles[triangles]
        x, y = (points[:, k, None] for k in range(2))
        odd = np.zeros((len(points), len(triangles)), dtype=bool)
        for k in range(3):
            a, b = corner[:, k], corner[:, (k + 1) % 3]
            low, high = np.minimum(a, b), np.maximum(a, b)  # the same for both its triangles
            (ax, ay, _), (bx, by, _) = self.corners_mm[low].T, self.corners_mm[high].T
            passes = (ay > y) != (by > y)
            rise = np.where(by == ay, 1.0, by - ay)
            odd ^= passes & (x < ax + (y - ay) / rise * (bx - ax))
        return np.asarray(odd & (self._normals(triangles)[:, 2] != 0.0))

    def _normals(self, triangles: npt.NDArray[np.int64]) -> Array:
        p, q, r = np.moveaxis(self.corners_mm[self.triangles[triangles]], 1, 0)
        return np.cross(q - p, r - p)

    def _height(self, points: Array, triangles: npt.NDArray[np.int64]) -> Array:
        """Shape (k,): at what z the plane of a triangle lies straight above or below a point."""
        normal = self._normals(triangles)
        away = points[:, :2] - self.corners_mm[self.triangles[triangles, 0], :2]
        level = self.corners_mm[self.triangles[triangles, 0], 2]
        lean = (normal[:, :2] * away).sum(axis=1)
        return np.asarray(level - lean / normal[:, 2])


def seen_along(way: Array) -> Array:
    """A rotation, shape (3, 3): points @ it have their z along a unit vector."""
    x = np.eye(3)[int(np.argmin(np.abs(way)))]
    x = x - (x @ way) * way
    x /= np.linalg.norm(x)
    return np.column_stack([x, np.cross(way, x), way])
