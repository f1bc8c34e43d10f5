"""How thick a body is: straight through from its surface, and by the balls that fit into it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from scipy.optimize import linprog
from scipy.spatial import cKDTree

from shapes.moments import Array, Indices, Mask
from shapes.rays import exits
from shapes.skin import Skin
from shapes.triples import dot, greatest, length

_FACING = 0.5  # cosine of 60 degrees
_SHRUNK = 1e-6  # of the radius: a ball that shrinks by less stays
_ROUNDS = 60
_APART = 0.15  # of a ball's radius between the samples that it is held against
_COARSEST, _FINEST = 20.0, 6  # parts of the body's size between samples, and halvings of that
_FEW = 6000
_AT_ONCE = 60_000  # pairs of a ball and a sample
_TURNS = 8  # in which balls are shrunk, those that may be large first
_SHARP = 0.09  # between normals at one corner: 5 degrees
_STARTS = 3  # balls that are pushed about
WORTH = 0.9  # of the largest: balls that are
_PUSHES = 40
_ROOM = 0.1  # of the radius: the farthest push
_GAIN = 1e-5  # of the radius: a push that promises less is the last
_BINS = 8.0  # directions in which the nearest triangle is asked to stay clear, along each axis


@dataclass(frozen=True, eq=False)
class Walls:
    """How thick a body is, straight through from each facet of its skin.

    Attributes:
        through_mm: shape (n,).
        met: shape (n,), the facet that is met on the far side.
        facing: shape (n,), whether that one looks the other way, to within 60 degrees.  Beside an
            edge a line may meet the side next to it, which makes no wall.
    """

    through_mm: Array
    met: Indices
    facing: Mask

    @property
    def thinnest(self) -> int | None:
        """The facet at the least wall; None for a body without any."""
        if not self.facing.any():
            return None
        return int(np.where(self.facing, self.through_mm, np.inf).argmin())


def walls_of(skin: Skin) -> Walls:
    """The walls of a body.

    Along minus the exact normal; the middle is exact, the far end on the mesh, so right to the
    mesh's sag over the sine at which the line meets it.

    Raises:
        SolidError: the mesh does not close.
    """
    starts = skin.flat_middles_mm
    through, met = exits(starts, -skin.normals, np.arange(len(skin)), skin.net.flat())
    lift = dot(skin.middles_mm - starts, skin.normals)
    opposed = -dot(skin.normals, skin.normals.take(met, axis=0))
    return Walls(np.asarray(through + lift), met, opposed >= _FACING)


def tangent_balls_mm(skin: Skin, walls: Array, worth: float = 0.0) -> Array:
    """Shape (n,), diameters of the largest balls inside that touch the surface at the middles.

    By shrinking a ball until no sample of the surface lies in it (Ma, Bae and Choi 2012, 3D medial
    axis point approximation using nearest neighbors and the normal field; from memory).  Samples
    lie about a seventh of the radius apart, or as the facets do: so a ball may come out larger, by
    about a hundredth, or by the square of half a facet's side over its diameter; but never larger
    than the wall there.

    Args:
        skin: n facets.
        walls: `Walls.through_mm` of it.
        worth: the share of the largest ball below which a ball is not worth shrinking on; it may
            come out too large, but below that share.
    """
    levels = _levels(skin)
    # no ball that touches from inside bends more gently than the surface itself
    bend = np.maximum(skin.most_curved_per_mm, 1e-300)
    radius = np.minimum(walls / 2.0, 1.0 / bend)
    largest = 0.0
    for rows in np.array_split(np.argsort(-radius, kind="stable"), _TURNS):
        _shrink(radius, rows[radius[rows] >= worth * largest], skin, levels)
        largest = max(largest, float(radius[rows].max(initial=0.0)))
    return 2.0 * radius


def _shrink(radius: Array, rows: Indices, skin: Skin, levels: list[_Samples]) -> None:
    """Shrink the balls at some facets until no sample lies in them."""
    for _ in range(_ROUNDS):
        own, middles, normals = (
            radius[rows],
            *(a.take(rows, axis=0) for a in (skin.middles_mm, skin.normals)),
        )
        to = middles - _nearest_samples(levels, middles - own[:, None] * normals, own)
        square, lean = dot(to, to), dot(to, normals)
        smaller = square / (2.0 * np.where(lean > 0.0, lean, np.inf))
        (real,) = np.nonzero((lean > 0.0) & (square > 0.0) & (smaller < own * (1.0 - _SHRUNK)))
        rows = rows[real]
        if not len(rows):
            break
        radius[rows] = smaller[real]


@dataclass(frozen=True, eq=False)
class _Samples:
    """Samples of a surface: how far apart they lie, and where, shape (n, 3)."""

    apart_mm: float
    places_mm: Array

    @cached_property
    def tree(self) -> cKDTree:
        """For the nearest of many."""
        return cKDTree(self.places_mm)


def _levels(skin: Skin) -> list[_Samples]:
    """Ever fewer samples of a surface.

    Of those close together the one stays that reaches farthest into the body: a corner of a sharp
    edge, else the middle of the facet that is hollowed most.
    """
    sharp = np.zeros(len(skin.corners_mm), dtype=bool)
    for along in np.ascontiguousarray(skin.corner_normals.reshape(-1, 3).T):
        low, high = np.full((2, len(sharp)), [[np.inf], [-np.inf]])
        np.minimum.at(low, skin.triangles.ravel(), along)
        np.maximum.at(high, skin.triangles.ravel(), along)
        sharp |= high - low > _SHARP
    hollowed = skin.middles_mm[np.argsort(skin.least_curved_per_mm, kind="stable")]
    samples = np.concatenate([skin.corners_mm[sharp], hollowed, skin.corners_mm[~sharp]])
    size = float(np.ptp(samples, axis=0).max())
    found = [_Samples(0.0, samples)]
    for k in reversed(range(_FINEST)):
        apart = size / _COARSEST / 2.0**k
        x, y, z = np.floor((samples - samples.min(axis=0)) / apart).astype(np.int64).T
        side = int(size / apart) + 2
        _, first = np.unique((x * side + y) * side + z, return_index=True)
        found.append(_Samples(apart, samples[first]))
    return found


def _nearest_samples(levels: list[_Samples], centres: Array, radii: Array) -> Array:
    """The sample nearest to each centre, shape (n, 3), of those that do for its radius.

    A tree is no help to the centre of a ball that all samples lie about, so few are all tried.
    """
    level = np.searchsorted([one.apart_mm for one in levels], _APART * radii, side="right") - 1
    found = np.empty_like(centres)
    for k, one in enumerate(levels):
        (own,) = np.nonzero(level == k)
        samples = one.places_mm
        if len(own) and len(samples) > _FEW:
            found[own] = samples[one.tree.query(centres[own])[1]]
        elif len(own):
            half = dot(samples, samples) / 2.0
            across = np.vstack([-samples.T, half])  # of it (centre, 1) makes half a square
            with_one = np.column_stack([centres[own], np.ones(len(own))])
            step = max(1, _AT_ONCE // len(samples))
            for start in range(0, len(own), step):
                least = (with_one[start : start + step] @ across).argmin(axis=1)
                found[own[start : start + step]] = samples[least]
    return found


def largest_ball(skin: Skin, diameters: Array) -> tuple[Array, float]:
    """Centre, shape (3,), and radius of the largest ball that fits into the body, mm.

    The largest tangent balls are pushed about until they cannot grow: at each place the distances
    to the triangles are convex, so that their tangents bound from below how far the ball may grow
    by a step, and the best step is a linear program.  The distance is to the mesh: right to its
    sag.

    Args:
        skin: n facets.
        diameters: `tangent_balls_mm` of it.
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
