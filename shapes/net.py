"""A triangle mesh that knows where its corners lie on the surfaces of a CAD body.

So points and normals between the corners are exact, and triangles can be cut along a level of any
function without leaving the surface.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from shapes.moments import Array, Indices, Mask
from shapes.surfaces import Surface

_ON_LEVEL = 1e-7  # a cut so near to a corner, as a share of the side, goes through the corner
_STEPS = 10  # of regula falsi: most sides are done after three
_DONE = 0.1  # of what counts as on the level
_OFF_TIP = 1e-5  # the way from a tip to a triangle's middle at which its normal there is taken
_SLENDER = 1.0 / 8.0  # of the square of the longest side allowed: half of a good triangle's area

# a triangle whose corners are 0, 1, 2 and whose sides from them carry the cuts 3, 4, 5
_CHILDREN = (
    ((0, 1, 2),),
    ((0, 3, 2), (3, 1, 2)),  # its first side is cut
    ((3, 1, 4), (0, 3, 4), (0, 4, 2)),  # its first two
    ((0, 3, 5), (3, 1, 4), (5, 4, 2), (3, 4, 5)),
)

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
        points, slopes = np.empty((len(rows), 3)), np.empty((2, len(rows), 3))
        faces = self.faces[rows]
        order = np.argsort(faces, kind="stable")
        cuts = np.flatnonzero(np.diff(faces[order])) + 1
        for own in np.split(order, cuts) if len(rows) else ():
            found = self.surfaces[faces[own[0]]].evaluate(uv[own, 0], uv[own, 1])
            points[own], slopes[0, own], slopes[1, own] = found
        normals = np.cross(slopes[0], slopes[1])
        size = np.sqrt(np.einsum("ij,ij->i", normals, normals))
        normals *= (self.outward[faces] / np.where(size > 0.0, size, 1.0))[:, None]
        return points, normals, size

    def at_middles(self, rows: Indices) -> tuple[Array, Array, Array]:
        """The same at the middle of the corners' u and v."""
        uv = self.uv[rows]
        return self.at(rows, (uv[:, 0] + uv[:, 1] + uv[:, 2]) / 3.0)

    def at_corners(self, rows: Indices) -> tuple[Array, Array]:
        """Normals, shape (m, 3, 3), and |S_u x S_v|, (m, 3); a tip's from close beside it."""
        uv, tips = self.uv[rows], self.tips[rows]
        off = uv + _OFF_TIP * (uv.mean(axis=1, keepdims=True) - uv)
        beside = np.where((tips > 0)[..., None], off, uv)
        found = [self.at(rows, beside[:, k]) for k in range(3)]
        return np.stack([f[1] for f in found], axis=1), np.stack([f[2] for f in found], axis=1)

    def flat(self) -> Array:
        """The corners of every triangle, shape (n, 3, 3)."""
        return self.corners_mm[self.triangles]

    def sides(self) -> tuple[Array, Array]:
        """Where the sides, from each corner to the next, start and end in u and v: (n, 3, 2)."""
        start, end = self.uv.copy(), np.roll(self.uv, -1, axis=1)
        tip_start, tip_end = self.tips, np.roll(self.tips, -1, axis=1)
        for axis in (0, 1):  # towards a pole a side runs straight
            there, here = tip_start == axis + 1, tip_end == axis + 1
            start[there, axis], end[here, axis] = end[there, axis], start[here, axis]
        return start, end


def halved(net: Net, longest_mm: float) -> Net:
    """Triangles with a longer side are halved, across their longest first, until none is left.

    One that is longer but has little area is left: its halves would be no less slender.
    """
    while True:
        flat = net.flat()
        ways = np.roll(flat, -1, axis=1) - flat
        length = np.sqrt(np.einsum("ijk,ijk->ij", ways, ways))
        across = np.cross(ways[:, 0], ways[:, 1])
        area = np.sqrt(np.einsum("ij,ij->i", across, across)) / 2.0
        large = (length > longest_mm).any(axis=1) & (area > _SLENDER * longest_mm**2)
        (row,) = np.nonzero(large)
        if not len(row):
            return net
        keys = _keys(net)
        split = np.isin(keys, keys[row, length[row].argmax(axis=1)])
        start, end = net.sides()
        net, _ = _split(net, split, (start + end) / 2.0)


def _keys(net: Net) -> Indices:
    """Shape (n, 3), a number for every side, the same from both of its triangles."""
    start, end = net.triangles, np.roll(net.triangles, -1, axis=1)
    return np.asarray(np.minimum(start, end) * len(net.corners_mm) + np.maximum(start, end))


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
    start, end = (ends[row, side] for ends in net.sides())

    def along(which: Indices, t: Array) -> Array:
        uv = start[which] + t[:, None] * (end[which] - start[which])
        return value(row[which], *net.at(row[which], uv)[:2])

    t = _zero(low[row, side], high[row, side], along, _DONE * near)
    crossed[row, side] = (t > _ON_LEVEL) & (t < 1.0 - _ON_LEVEL)
    uv = np.zeros((len(net), 3, 2))
    uv[row, side] = start + t[:, None] * (end - start)
    return _split(net, crossed, uv)


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


def _split(net: Net, where: Mask, uv: Array) -> tuple[Net, Indices]:
    """Triangles split at points of their sides; those that are not come first, as they were.

    Args:
        net: the mesh.
        where: shape (n, 3), the sides that are split.
        uv: shape (n, 3, 2), where.
    """
    row, side = np.nonzero(where)
    count = len(net.corners_mm)
    _, first, index = np.unique(_keys(net)[row, side], return_index=True, return_inverse=True)
    points = net.at(row[first], uv[row[first], side[first]])[0]
    middles = np.full((len(net), 3), -1)
    middles[row, side] = count + index
    numbers = np.concatenate([net.triangles, middles], axis=1)
    places = np.concatenate([net.uv, uv], axis=1)
    tips = np.concatenate([net.tips, np.zeros_like(net.tips)], axis=1)
    cuts = where.sum(axis=1)
    # turned so that the cut sides come first
    turn = np.where(cuts == 1, where.argmax(axis=1), 0)
    turn = np.where(cuts == 2, (where.argmin(axis=1) + 1) % 3, turn)
    parents, chosen = [], []
    for number, children in enumerate(_CHILDREN):
        (own,) = np.nonzero(cuts == number)
        for child in children:
            spots = np.array(child)
            chosen.append((spots + turn[own, None]) % 3 + spots // 3 * 3)
            parents.append(own)
    parent, spot = np.concatenate(parents), np.concatenate(chosen)
    across = (parent[:, None], spot)
    made = Net(
        net.surfaces,
        net.outward,
        np.concatenate([net.corners_mm, points]),
        numbers[across],
        settled(places[across], tips[across]),
        tips[across],
        net.faces[parent],
    )
    return made, parent


def settled(uv: Array, tips: Indices) -> Array:
    """A pole gets the u, or v, between those of the triangle's other two corners."""
    found = uv.copy()
    for axis in (0, 1):
        row, corner = np.nonzero(tips == axis + 1)
        others = uv[row, (corner + 1) % 3, axis] + uv[row, (corner + 2) % 3, axis]
        found[row, corner, axis] = others / 2.0
    return found
