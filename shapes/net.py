"""A triangle mesh that knows where its corners lie on the surfaces of a CAD body.

So points and normals between the corners are exact, and triangles can be cut along a level of any
function without leaving the surface.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from shapes.moments import Array, Indices
from shapes.surfaces import Surface
from shapes.triples import cross, greatest

_ON_LEVEL = 1e-7  # a cut so near to a corner, as a share of the side, goes through the corner
_STEPS = 10  # of regula falsi: most sides are done after three
_DONE = 0.1  # of what counts as on the level
_OFF_TIP = 1e-5  # the way from a tip to a triangle's middle at which its normal there is taken
_SLENDER = 1.0 / 8.0  # of the square of the longest side allowed: half of a good triangle's area

# a triangle whose corners are 0, 1, 2 and whose sides from them carry the cuts 3, 4, 5
_CHILDREN = {
    1: ((0, 3, 2), (3, 1, 2)),  # its first side is cut
    2: ((3, 1, 4), (0, 3, 4), (0, 4, 2)),  # its first two
    3: ((0, 3, 5), (3, 1, 4), (5, 4, 2), (3, 4, 5)),
}

Value = Callable[[Indices, Array, Array], Array]


@dataclass(frozen=True, eq=False)
class Net:
    """A closed mesh, every triangle counter-clockwise seen from outside.

    Attributes:
        surfaces: of the CAD faces.
        outward: shape (faces,), 1 where S_u x S_v points out of the body, else -1.
        corners_mm: shape (k, 3).
        triangles: shape (n, 3), indices into the corners.
        uv: shape (n, 3, 2), where each triangle's corners lie on the surface of its own face.
        tips: shape (n, 3), 1 where the corner is a pole, with no one u, 2 where it has no one v.
        faces: shape (n,), the CAD face that each triangle lies on.
    """

    surfaces: tuple[Surface, ...]
    outward: Array
    corners_mm: Array
    triangles: Indices
    uv: Array
    tips: Indices
    faces: Indices

    def __len__(self) -> int:
        return len(self.triangles)

    def at(self, rows: Indices, uv: Array) -> tuple[Array, Array, Array]:
        """The exact surface of the triangles' faces.

        Args:
            rows: shape (m,), triangles.
            uv: shape (m, 2).

        Returns:
            Points, outward unit normals, shape (m, 3) each, and |S_u x S_v|, shape (m,).
        """
        if not len(rows):
            return np.empty((0, 3)), np.empty((0, 3)), np.empty(0)
        faces = self.faces[rows]
        # as the smallest kind of number that holds them they are sorted ten times faster
        order = np.argsort(faces.astype(np.min_scalar_type(len(self.surfaces))), kind="stable")
        cuts = np.flatnonzero(np.diff(faces[order])) + 1
        found = [
            self.surfaces[faces[own[0]]].evaluate(uv[own, 0], uv[own, 1])
            for own in np.split(order, cuts)
        ]
        back = np.empty_like(order)
        back[order] = np.arange(len(order))
        points, along, across = (
            np.concatenate(parts).take(back, axis=0) for parts in zip(*found, strict=True)
        )
        normals = cross(along, across)
        size = np.sqrt(np.einsum("ij,ij->i", normals, normals))
        normals *= (self.outward[faces] / np.where(size > 0.0, size, 1.0))[:, None]
        return points, normals, size

    def at_middles(self, rows: Indices) -> tuple[Array, Array, Array]:
        """The same at the middle of the corners' u and v."""
        uv = self.uv.take(rows, axis=0)
        return self.at(rows, (uv[:, 0] + uv[:, 1] + uv[:, 2]) / 3.0)

    def at_corners(self, rows: Indices) -> tuple[Array, Array]:
        """Normals, shape (m, 3, 3), and |S_u x S_v|, (m, 3); a tip's from close beside it."""
        uv = self.uv.take(rows, axis=0)
        (row, corner) = np.nonzero(self.tips.take(rows, axis=0))
        middle = (uv[row, 0] + uv[row, 1] + uv[row, 2]) / 3.0
        uv[row, corner] += _OFF_TIP * (middle - uv[row, corner])
        found = [self.at(rows, uv[:, k]) for k in range(3)]
        return np.stack([f[1] for f in found], axis=1), np.stack([f[2] for f in found], axis=1)

    def flat(self) -> Array:
        """The corners of every triangle, shape (n, 3, 3)."""
        return self.corners_mm.take(self.triangles, axis=0)

    def ends(self, rows: Indices, sides: Indices) -> tuple[Array, Array]:
        """Where sides of triangles start and end in u and v, shape (m, 2) each.

        Args:
            rows: shape (m,), triangles.
            sides: shape (m,), 0 from the first corner to the second, and so forth.
        """
        after = (sides + 1) % 3
        start, end = self.uv[rows, sides], self.uv[rows, after]
        tip_start, tip_end = self.tips[rows, sides], self.tips[rows, after]
        for axis in (0, 1):  # towards a pole a side runs straight
            there, here = tip_start == axis + 1, tip_end == axis + 1
            start[there, axis], end[here, axis] = end[there, axis], start[here, axis]
        return start, end

    def keys(self, rows: Indices, sides: Indices) -> Indices:
        """Shape (m,), a number for each of some sides, the same from both of its triangles."""
        start, end = self.triangles[rows, sides], self.triangles[rows, (sides + 1) % 3]
        return np.asarray(np.minimum(start, end) * len(self.corners_mm) + np.maximum(start, end))


def halved(net: Net, longest_mm: float) -> Net:
    """Triangles with a longer side are halved, across their longest first, until none is left.

    One that is longer but has little area is left: its halves would be no less slender.
    """
    rows = np.arange(len(net))
    while True:
        flat = net.corners_mm.take(net.triangles.take(rows, axis=0), axis=0)
        ways = np.roll(flat, -1, axis=1) - flat
        length = np.sqrt(np.einsum("ijk,ijk->ij", ways, ways))
        across = cross(ways[:, 0], ways[:, 1])
        area = np.sqrt(np.einsum("ij,ij->i", across, across)) / 2.0
        large = (greatest(length) > longest_mm) & (area > _SLENDER * longest_mm**2)
        if not large.any():
            return net
        row, side = _from_both(net, rows[large], length[large].argmax(axis=1))
        start, end = net.ends(row, side)
        net, parent = _split(net, row, side, (start + end) / 2.0)
        rows = np.arange(_untouched(parent), len(net))  # the others were looked at before


def _from_both(net: Net, rows: Indices, sides: Indices) -> tuple[Indices, Indices]:
    """Sides of triangles as their rows and sides, in order, from both of the triangles of each."""
    ends = np.zeros(len(net.corners_mm), dtype=bool)
    for corner in (sides, (sides + 1) % 3):
        ends[net.triangles[rows, corner]] = True
    a, b, c = (ends[net.triangles[:, k]] for k in range(3))
    (near,) = np.nonzero((a & b) | (b & c) | (c & a))
    row, side = np.repeat(near, 3), np.tile(np.arange(3), len(near))
    own = np.isin(net.keys(row, side), net.keys(rows, sides))
    return row[own], side[own]


def _untouched(parents: Indices) -> int:
    """How many triangles of a mesh that was split are as they were: those that come first."""
    return int((np.bincount(parents) == 1).sum())


def cut(net: Net, values: Array, value: Value, near: float) -> tuple[Net, Indices]:
    """Cut the triangles along the zero of a function.

    Args:
        net: the mesh.
        values: shape (n, 3), of the function at every triangle's corners.
        value: triangles, exact points and normals there, shapes (m,), (m, 3) and (m, 3), to the
            function's values, (m,).
        near: corners with a value no greater than this lie on the level.

    Returns:
        The mesh cut, and the triangle that each of its triangles is a part of.
    """
    low, high = values, np.roll(values, -1, axis=1)
    crossed = (np.minimum(low, high) < -near) & (np.maximum(low, high) > near)
    row, side = np.nonzero(crossed)
    start, end = net.ends(row, side)

    def along(which: Indices, t: Array) -> Array:
        uv = start[which] + t[:, None] * (end[which] - start[which])
        return value(row[which], *net.at(row[which], uv)[:2])

    t = _zero(low[row, side], high[row, side], along, _DONE * near)
    inside = (t > _ON_LEVEL) & (t < 1.0 - _ON_LEVEL)
    uv = start + t[:, None] * (end - start)
    return _split(net, row[inside], side[inside], uv[inside])


def _zero(low: Array, high: Array, value: Callable[[Indices, Array], Array], done: float) -> Array:
    """Where between 0 and 1 functions with values of two signs there are zero: regula falsi.

    With the halving of the value at an end that stays twice (the Illinois rule; from memory).
    """
    a, b, fa, fb = np.zeros_like(low), np.ones_like(low), low.copy(), high.copy()
    t = fa / (fa - fb)
    rows, moved = np.arange(len(t)), np.zeros(len(t), dtype=np.int64)
    for _ in range(_STEPS):
        found = value(rows, t[rows])
        open_ = np.abs(found) > done
        rows, found = rows[open_], found[open_]
        if not len(rows):
            break
        first = (found > 0.0) == (fa[rows] > 0.0)
        twice = moved[rows] == np.where(first, 1, 2)
        moved[rows] = np.where(first, 1, 2)
        fb[rows[twice & first]] /= 2.0
        fa[rows[twice & ~first]] /= 2.0
        left, right = rows[first], rows[~first]
        fa[left], a[left] = found[first], t[left]
        fb[right], b[right] = found[~first], t[right]
        t[rows] = a[rows] + (b[rows] - a[rows]) * fa[rows] / (fa[rows] - fb[rows])
    return t


def _split(net: Net, rows: Indices, sides: Indices, uv: Array) -> tuple[Net, Indices]:
    """Triangles split at points of their sides; those that are not come first, as they were.

    Args:
        net: the mesh.
        rows: shape (m,), ascending, the triangles of the sides that are split.
        sides: shape (m,), which side of each.
        uv: shape (m, 2), where.
    """
    _, first, index = np.unique(net.keys(rows, sides), return_index=True, return_inverse=True)
    points = net.at(rows[first], uv[first])[0]
    touched, own = np.unique(rows, return_inverse=True)
    kept = np.delete(np.arange(len(net)), touched)
    middles, places = np.full((len(touched), 3), -1), np.zeros((len(touched), 3, 2))
    middles[own, sides], places[own, sides] = len(net.corners_mm) + index, uv
    numbers = np.concatenate([net.triangles[touched], middles], axis=1)
    places = np.concatenate([net.uv[touched], places], axis=1)
    tips = np.concatenate([net.tips[touched], np.zeros_like(net.tips[touched])], axis=1)
    where = middles >= 0
    cuts = where.sum(axis=1)
    # turned so that the cut sides come first
    turn = np.where(cuts == 1, where.argmax(axis=1), 0)
    turn = np.where(cuts == 2, (where.argmin(axis=1) + 1) % 3, turn)
    parents, chosen = [], []
    for number, children in _CHILDREN.items():
        (of,) = np.nonzero(cuts == number)
        for child in children:
            spots = np.array(child)
            chosen.append((spots + turn[of, None]) % 3 + spots // 3 * 3)
            parents.append(of)
    parent, spot = np.concatenate(parents), np.concatenate(chosen)
    across = (parent[:, None], spot)
    origin = np.concatenate([kept, touched[parent]])
    made = Net(
        net.surfaces,
        net.outward,
        np.concatenate([net.corners_mm, points]),
        np.concatenate([net.triangles.take(kept, axis=0), numbers[across]]),
        np.concatenate([net.uv.take(kept, axis=0), settled(places[across], tips[across])]),
        np.concatenate([net.tips.take(kept, axis=0), tips[across]]),
        net.faces[origin],
    )
    return made, origin


def settled(uv: Array, tips: Indices) -> Array:
    """A pole gets the u, or v, between those of the triangle's other two corners."""
    found = uv.copy()
    for axis in (0, 1):
        row, corner = np.nonzero(tips == axis + 1)
        others = uv[row, (corner + 1) % 3, axis] + uv[row, (corner + 2) % 3, axis]
        found[row, corner, axis] = others / 2.0
    return found
