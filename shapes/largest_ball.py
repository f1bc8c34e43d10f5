"""The largest ball that fits into a body."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.optimize import linprog

from shapes.moments import Array, Indices, Mask
from shapes.skin import Skin
from shapes.triples import dot, greatest, length

WORTH = 0.9  # of the largest tangent ball: smaller ones are not pushed about
_STARTS = 3  # balls that are
_PUSHES = 40
_ROOM = 0.1  # of the radius: the farthest push
_GAIN = 1e-5  # of the radius: a push that promises less is the last
_BINS = 8.0  # directions in which the nearest triangle is asked to stay clear, along each axis


def largest_ball(skin: Skin, diameters: Array) -> tuple[Array, float]:
    """Centre, shape (3,), and radius of the largest ball that fits into the body, mm.

    The largest tangent balls are pushed about until they cannot grow: at each place the distances
    to the triangles are convex, so that their tangents bound from below how far the ball may grow
    by a step, and the best step is a linear program.  The distance is to the mesh: right to its
    sag.

    Args:
        skin: n facets.
        diameters: `shapes.thickness.tangent_balls_mm` of it; those less than `WORTH` of the
            greatest do not matter.
    """
    flat = skin.net.flat()
    middles = flat.mean(axis=1)
    reach = greatest(np.linalg.norm(flat - middles[:, None], axis=2))
    centres = skin.middles_mm - diameters[:, None] / 2.0 * skin.normals
    best, radius = centres[0], -np.inf
    for start in _apart(centres, diameters / 2.0):
        centre, found = _pushed(_Triangles(flat, middles, reach), start)
        if found > radius:
            best, radius = centre, found
    return best, radius


@dataclass(frozen=True, eq=False)
class _Triangles:
    """Triangles, shape (n, 3, 3), their middles, (n, 3), and how far they reach from those."""

    flat: Array
    middles: Array
    reach: Array

    def about(self, point: Array, room: float) -> Array:
        """Those that may be the nearest to a point, or farther than it by no more than a room."""
        away = length(self.middles - point)
        (near,) = np.nonzero(away - self.reach <= away.min() + room)
        return self.flat.take(near, axis=0)


def _apart(centres: Array, radii: Array) -> list[Array]:
    """Centres of the largest balls, none within half a radius of a larger one's."""
    left, found = np.ones(len(radii), dtype=bool), []
    for _ in range(_STARTS):
        if not left.any():
            break
        row = int(np.where(left, radii, -np.inf).argmax())
        found.append(centres[row])
        left &= length(centres - centres[row]) > radii[row] / 2.0
        left &= radii > WORTH * radii[row]
    return found


def _pushed(triangles: _Triangles, centre: Array) -> tuple[Array, float]:
    """A ball pushed away from what it touches until it cannot grow: its centre and radius."""
    near, away = _nearest(triangles.about(centre, 0.0), centre)
    radius, room = float(away.min()), _ROOM * float(away.min())
    near, away = _nearest(triangles.about(centre, 2.0 * room), centre)
    for _ in range(_PUSHES):
        rows = _foremost(near - centre, away, away < radius + 2.0 * room)
        ways = (centre - near[rows]) / away[rows, None]
        # r <= away + way . step for every triangle, the step no longer than the room
        result = linprog(
            [0.0, 0.0, 0.0, -1.0],
            A_ub=np.column_stack([-ways, np.ones(len(rows))]),
            b_ub=away[rows],
            bounds=[(-room, room)] * 3 + [(None, None)],
        )
        step, promised = result.x[:3], float(result.x[3])
        if promised - radius < _GAIN * radius or room < _GAIN * radius:
            break
        other = centre + step
        other_near, other_away = _nearest(triangles.about(other, 2.0 * room), other)
        found = float(other_away.min())
        if found > radius:
            centre, near, away = other, other_near, other_away
        if found < radius + 0.5 * (promised - radius):
            room /= 4.0
        radius = max(radius, found)
    return centre, radius


def _foremost(to: Array, away: Array, near: Mask) -> Indices:
    """The nearest triangle in each of many directions, of those that are near."""
    (rows,) = np.nonzero(near)
    order = rows[np.argsort(away[rows], kind="stable")]
    bins = np.round(to[order] / away[order, None] * _BINS).astype(np.int64)
    _, first = np.unique(bins @ np.array([1, 1000, 1_000_000]), return_index=True)
    return np.asarray(order[np.sort(first)])


def _nearest(flat: Array, point: Array) -> tuple[Array, Array]:
    """The nearest point of every triangle, shape (n, 3), and its distance, (n,).

    By the regions that the planes square to the sides cut off (Ericson 2005, Real-time collision
    detection, 5.1.5; from memory).
    """
    a, b, c = (flat[:, k] for k in range(3))
    ab, ac, ap, bp, cp = b - a, c - a, point - a, point - b, point - c
    d1, d2 = dot(ab, ap), dot(ac, ap)
    d3, d4 = dot(ab, bp), dot(ac, bp)
    d5, d6 = dot(ab, cp), dot(ac, cp)
    va, vb, vc = d3 * d6 - d5 * d4, d5 * d2 - d1 * d6, d1 * d4 - d3 * d2
    with np.errstate(divide="ignore", invalid="ignore"):
        total = va + vb + vc
        on_bc = (d4 - d3) / (d4 - d3 + d5 - d6)
        regions = [
            (d1 <= 0) & (d2 <= 0),
            (d3 >= 0) & (d4 <= d3),
            (d6 >= 0) & (d5 <= d6),
            (vc <= 0) & (d1 >= 0) & (d3 <= 0),
            (vb <= 0) & (d2 >= 0) & (d6 <= 0),
            (va <= 0) & (d4 >= d3) & (d5 >= d6),
        ]
        first: list[Any] = [0.0, 1.0, 0.0, d1 / (d1 - d3), 0.0, 1.0 - on_bc]
        second: list[Any] = [0.0, 0.0, 1.0, 0.0, d2 / (d2 - d6), on_bc]
        v = np.select(regions, first, vb / total)
        w = np.select(regions, second, vc / total)
    near = a + v[:, None] * ab + w[:, None] * ac
    return near, length(near - point)
