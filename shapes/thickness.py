"""How thick a body is: straight through from its surface, and by the balls that touch it inside."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.spatial import cKDTree

from shapes.moments import Array, Indices, Mask
from shapes.rays import exits
from shapes.skin import Skin
from shapes.triples import dot

_FACING = 0.5  # cosine of 60 degrees
_SHRUNK = 1e-6  # of the radius: a ball that shrinks by less stays
_ROUNDS = 60
_APART = 0.15  # of a ball's radius between the samples that it is held against
_COARSEST, _FINEST = 20.0, 6  # parts of the body's size between samples, and halvings of that
_FEW = 6000
_AT_ONCE = 60_000  # pairs of a ball and a sample
_TURNS = 8  # in which balls are shrunk, those that may be large first
_SHARP = 0.09  # between normals at one corner: 5 degrees


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
    least = 0.0
    for rows in np.array_split(np.argsort(-radius, kind="stable"), _TURNS):
        _shrink(radius, rows[radius[rows] >= least], skin, levels, least)
        least = max(least, worth * float(radius[rows].max(initial=0.0)))
    return 2.0 * radius


def _shrink(
    radius: Array, rows: Indices, skin: Skin, levels: list[_Samples], least_mm: float
) -> None:
    """Shrink balls at some facets until no sample lies in them, or they are small enough."""
    for _ in range(_ROUNDS):
        own, middles, normals = (
            radius[rows],
            *(a.take(rows, axis=0) for a in (skin.middles_mm, skin.normals)),
        )
        to = middles - _nearest_samples(levels, middles - own[:, None] * normals, own)
        square, lean = dot(to, to), dot(to, normals)
        smaller = square / (2.0 * np.where(lean > 0.0, lean, np.inf))
        (real,) = np.nonzero((lean > 0.0) & (square > 0.0) & (smaller < own * (1.0 - _SHRUNK)))
        radius[rows[real]] = smaller[real]
        rows = rows[real[smaller[real] >= least_mm]]
        if not len(rows):
            break


@dataclass(frozen=True, eq=False)
class _Samples:
    """Samples of a surface that lie so far apart.

    Of those that are closer together the first stays.
    """

    apart_mm: float
    all_mm: Array

    @cached_property
    def places_mm(self) -> Array:
        """Shape (n, 3)."""
        if self.apart_mm == 0.0:
            return self.all_mm
        low, size = self.all_mm.min(axis=0), float(np.ptp(self.all_mm, axis=0).max())
        x, y, z = np.floor((self.all_mm - low) / self.apart_mm).astype(np.int64).T
        side = int(size / self.apart_mm) + 2
        _, first = np.unique((x * side + y) * side + z, return_index=True)
        return self.all_mm.take(first, axis=0)

    @cached_property
    def tree(self) -> cKDTree:
        """For the nearest of many."""
        return cKDTree(self.places_mm)


def _levels(skin: Skin) -> list[_Samples]:
    """Ever fewer samples of a surface.

    First, so that they stay, come those that reach farthest into the body: corners of sharp edges,
    then the middles of facets, those that are hollowed most first.
    """
    sharp = np.zeros(len(skin.corners_mm), dtype=bool)
    for along in np.ascontiguousarray(skin.corner_normals.reshape(-1, 3).T):
        low, high = np.full((2, len(sharp)), [[np.inf], [-np.inf]])
        np.minimum.at(low, skin.triangles.ravel(), along)
        np.maximum.at(high, skin.triangles.ravel(), along)
        sharp |= high - low > _SHARP
    hollowed = skin.middles_mm[np.argsort(skin.least_curved_per_mm, kind="stable")]
    samples = np.concatenate([skin.corners_mm[sharp], hollowed, skin.corners_mm[~sharp]])
    coarsest = float(np.ptp(samples, axis=0).max()) / _COARSEST
    finer = [coarsest / 2.0**k for k in reversed(range(_FINEST))]
    return [_Samples(apart, samples) for apart in (0.0, *finer)]


def _nearest_samples(levels: list[_Samples], centres: Array, radii: Array) -> Array:
    """The sample nearest to each centre, shape (n, 3), of those that do for its radius.

    A tree is no help to the centre of a ball that all samples lie about, so few are all tried.
    """
    level = np.searchsorted([one.apart_mm for one in levels], _APART * radii, side="right") - 1
    found = np.empty_like(centres)
    for k, one in enumerate(levels):
        (own,) = np.nonzero(level == k)
        if not len(own):
            continue
        samples = one.places_mm
        if len(samples) > _FEW:
            found[own] = samples[one.tree.query(centres[own])[1]]
        else:
            half = dot(samples, samples) / 2.0
            across = np.vstack([-samples.T, half])  # of it (centre, 1) makes half a square
            with_one = np.column_stack([centres[own], np.ones(len(own))])
            step = max(1, _AT_ONCE // len(samples))
            for start in range(0, len(own), step):
                least = (with_one[start : start + step] @ across).argmin(axis=1)
                found[own[start : start + step]] = samples[least]
    return found
