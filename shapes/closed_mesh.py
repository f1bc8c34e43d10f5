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

from shapes.moments import Array, Mask, Moments

_CELLS = 96  # at most, along one side of the grid that points are sorted into
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
        cells, owners = [], []
        span = (last - first).max(axis=0) + 1
        for i in range(int(span[0])):
            for j in range(int(span[1])):
                at = first + np.array([i, j])
                (there,) = np.nonzero((at <= last).all(axis=1))
                cells.append(at[there, 0] * side + at[there, 1])
                owners.append(there)
        cell, owner = np.concatenate(cells), np.concatenate(owners)
        order = np.argsort(cell, kind="stable")
        starts = np.searchsorted(cell[order], np.arange(side * side + 1))
        return low, size, side, starts, owner[order]

    def _above(self, points: Array, triangles: npt.NDArray[np.int64]) -> Mask:
        """Shape (points, triangles): whether a triangle lies straight above a point."""
        corner = self.triangles[triangles]
        x, y, z = (points[:, k, None] for k in range(3))
        odd = np.zeros((len(points), len(triangles)), dtype=bool)
        for k in range(3):
            a, b = corner[:, k], corner[:, (k + 1) % 3]
            low, high = np.minimum(a, b), np.maximum(a, b)  # the same for both its triangles
            (ax, ay, _), (bx, by, _) = self.corners_mm[low].T, self.corners_mm[high].T
            passes = (ay > y) != (by > y)
            rise = np.where(by == ay, 1.0, by - ay)
            odd ^= passes & (x < ax + (y - ay) / rise * (bx - ax))
        p, q, r = np.moveaxis(self.corners_mm[corner], 1, 0)
        normal = np.cross(q - p, r - p)
        upright = normal[:, 2] == 0.0
        slope = np.where(upright, 1.0, normal[:, 2])
        level = p[:, 2] - (normal[:, 0] * (x - p[:, 0]) + normal[:, 1] * (y - p[:, 1])) / slope
        return np.asarray(odd & ~upright & (level > z))
