"""How bodies of revolution about one axis share space: their union in the (r, z) half-plane.

The outline of a union is made of those stretches of the given outlines that lie outside all the
other sections.  So every curve is cut where it meets another, each stretch is kept or dropped by
where its inside points lie, and Green's theorem runs over what is kept, along each curve's own
parameter.  Stretches that two sections share count once when the bodies lie on the same side, and
not at all when they lie on either side of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from functools import lru_cache
from itertools import pairwise

import numpy as np

from shapes.curves import Curve, box_of
from shapes.moments import Array, Mask, Moments
from shapes.profile import Profile, moments_of

ON_MM = 1e-7  # closer than this, two outlines are the same line
_PROBES = np.array([0.2113, 0.5377, 0.8391])  # odd fractions: no drawing touches at all three


class Unclear(Exception):
    """Two outlines run so close that their order cannot be told; the CAD kernel must decide."""


class Side(Enum):
    """Where a stretch of outline lies as seen from another section."""

    INSIDE = "inside"
    OUTSIDE = "outside"
    ALONG = "along, bodies on the same side"
    AGAINST = "along, bodies on either side"


class Relation(Enum):
    """How two coaxial bodies lie to each other."""

    WITHIN = "the first lies within the second"
    AROUND = "the second lies within the first"
    APART = "they share no volume"
    CROSSING = "each has volume outside the other, and some in common"


def union_moments(profiles: Sequence[Profile]) -> Moments:
    """Moments of the union of coaxial bodies, all sections in one frame.

    Raises:
        Unclear: where two outlines run closer together than can be told.
    """
    return moments_of(union_outline(profiles))


def union_outline(profiles: Sequence[Profile]) -> list[Curve]:
    """The stretches that bound the union, in no particular order, body on the left."""
    kept = []
    for index, profile in enumerate(profiles):
        others = [(k, other) for k, other in enumerate(profiles) if k != index]
        for stretch in _stretches(profile, tuple(other for _, other in others)):
            sides = [(k, side_of(stretch, other)) for k, other in others]
            covered = any(
                side is Side.INSIDE
                or side is Side.AGAINST
                or (side is Side.ALONG and k < index)  # the first of equals stands for all
                for k, side in sides
            )
            if not covered:
                kept.append(stretch)
    return kept


def relation(first: Profile, second: Profile) -> Relation:
    """How two coaxial bodies lie to each other; raises `Unclear` as `union_moments` does."""
    of_first = {side_of(s, second) for s in _stretches(first, (second,))}
    of_second = {side_of(s, first) for s in _stretches(second, (first,))}
    if Side.OUTSIDE not in of_first and Side.AGAINST not in of_first:
        return Relation.WITHIN
    if Side.OUTSIDE not in of_second and Side.AGAINST not in of_second:
        return Relation.AROUND
    if not {Side.INSIDE, Side.ALONG} & (of_first | of_second):
        return Relation.APART
    return Relation.CROSSING


@lru_cache(maxsize=1024)
def side_of(stretch: Curve, section: Profile) -> Side:
    """Where a stretch that crosses no outline of the section lies."""
    r, z = stretch.at(_PROBES)
    gap, same_way = _nearest(stretch, section)
    near = gap <= ON_MM
    if near.all():
        return Side.ALONG if same_way.all() else Side.AGAINST
    inside = section.contains(r, z)[~near]
    if inside.all():
        return Side.INSIDE
    if not inside.any():
        return Side.OUTSIDE
    raise Unclear(f"outlines near r = {r[1]:.6f} mm, z = {z[1]:.6f} mm")


@lru_cache(maxsize=64)
def _stretches(profile: Profile, others: tuple[Profile, ...]) -> tuple[Curve, ...]:
    """The curves of a section cut wherever they meet the outlines of the others.

    Kept, since how two bodies lie is asked before what they share.
    """
    found: list[Curve] = []
    for curve in profile.rising:
        cuts = {0.0, 1.0}
        for other in others:
            for facing in other.rising:
                cuts.update(meetings(curve, facing))
        ordered = sorted(cuts)
        kept = [0.0]
        for t in ordered[1:-1]:
            if t - kept[-1] > 1e-10 and 1.0 - t > 1e-10:
                kept.append(t)
        kept.append(1.0)
        found.extend(curve.part(a, b) for a, b in pairwise(kept) if _length(curve, a, b) > ON_MM)
    return tuple(found)


def _length(curve: Curve, a: float, b: float) -> float:
    r, z = curve.at(np.array([a, (a + b) / 2.0, b]))
    return float(np.hypot(np.diff(r), np.diff(z)).sum())


def meetings(curve: Curve, other: Curve) -> list[float]:
    """Parameters of `curve` where it crosses `other` or where an end of `other` lies on it."""
    if not _boxes_touch(curve, other):
        return []
    found = [t for end in (other.start, other.end) if (t := _on(curve, end)) is not None]
    level, other_level = _is_level(curve), _is_level(other)
    if level and other_level:
        return found
    if level or other_level:
        flat, rising = (curve, other) if level else (other, curve)
        height = flat.start[1]
        low, high = sorted((rising.start[1], rising.end[1]))
        if low <= height <= high:
            s = rising.t_at_height(np.array([height]))
            r = float(rising.at(s)[0][0])
            t = (r - flat.start[0]) / (flat.end[0] - flat.start[0])
            if 0.0 < t < 1.0:
                found.append(t if level else float(s[0]))
        return found
    low = max(min(curve.start[1], curve.end[1]), min(other.start[1], other.end[1]))
    high = min(max(curve.start[1], curve.end[1]), max(other.start[1], other.end[1]))
    if high - low > ON_MM:
        crossings = _crossing_heights(curve, other, low, high)
        found.extend(float(t) for t in curve.t_at_height(crossings))
    return found


def _crossing_heights(curve: Curve, other: Curve, low: float, high: float) -> Array:
    """Heights between low and high where two rising or falling curves cross."""

    def gap(z: Array) -> Array:
        return np.asarray(curve.at(curve.t_at_height(z))[0] - other.at(other.t_at_height(z))[0])

    # crowded towards the ends, where outlines run level and meet at a slant
    z = low + (high - low) * (1.0 - np.cos(np.linspace(0.0, np.pi, 129))) / 2.0
    g = gap(z)
    clear = np.abs(g) > ON_MM / 10.0
    if not clear.any():
        return np.empty(0)
    z, g = z[clear], g[clear]
    change = np.nonzero(g[:-1] * g[1:] < 0.0)[0]
    # a pair of crossings can hide between two points of one sign: look where the gap is least
    dips = [
        k
        for k in range(1, len(g) - 1)
        if abs(g[k]) < abs(g[k - 1]) and abs(g[k]) <= abs(g[k + 1]) and g[k - 1] * g[k + 1] > 0
    ]
    brackets = [(z[k], z[k + 1]) for k in change]
    for k in dips:
        fine = np.linspace(z[k - 1], z[k + 1], 513)
        values = gap(fine)
        brackets += [(fine[j], fine[j + 1]) for j in np.nonzero(values[:-1] * values[1:] < 0.0)[0]]
    if not brackets:
        return np.empty(0)
    a = np.array([b[0] for b in brackets])
    b = np.array([b[1] for b in brackets])
    sign = np.sign(gap(a))
    for _ in range(60):
        middle = (a + b) / 2.0
        same = np.sign(gap(middle)) == sign
        a, b = np.where(same, middle, a), np.where(same, b, middle)
    return np.asarray((a + b) / 2.0)


def _boxes_touch(a: Curve, b: Curve) -> bool:
    one, two = box_of(a), box_of(b)
    return (
        one.r_low <= two.r_high + ON_MM
        and two.r_low <= one.r_high + ON_MM
        and one.z_low <= two.z_high + ON_MM
        and two.z_low <= one.z_high + ON_MM
    )


def _in_box(curve: Curve, r: Array, z: Array) -> Mask:
    """Which points lie within ON_MM of the curve's box."""
    box = box_of(curve)
    return np.asarray(
        (box.r_low - ON_MM <= r)
        & (r <= box.r_high + ON_MM)
        & (box.z_low - ON_MM <= z)
        & (z <= box.z_high + ON_MM)
    )


def _is_level(curve: Curve) -> bool:
    return abs(curve.start[1] - curve.end[1]) <= ON_MM and not curve.turning_points()


def _on(curve: Curve, point: tuple[float, float]) -> float | None:
    """The parameter at which a point lies on the curve, or None."""
    r, z = np.array([point[0]]), np.array([point[1]])
    if not _in_box(curve, r, z).any():
        return None
    t, gap = _closest(curve, r, z)
    return float(t[0]) if gap[0] <= ON_MM else None


def _nearest(stretch: Curve, section: Profile) -> tuple[Array, Array]:
    """How far the probes of a stretch are from an outline, and whether the two run the same way."""
    r, z = stretch.at(_PROBES)
    dr, dz = stretch.slope(_PROBES)
    best = np.full(r.shape, np.inf)
    same = np.zeros(r.shape, dtype=bool)
    for curve in section.rising:
        if not _in_box(curve, r, z).any():
            continue  # farther than ON_MM, and more is not asked
        t, gap = _closest(curve, r, z)
        along = curve.slope(t)
        closer = gap < best
        best = np.where(closer, gap, best)
        same = np.where(closer, dr * along[0] + dz * along[1] > 0.0, same)
    return best, same


def _closest(curve: Curve, r: Array, z: Array) -> tuple[Array, Array]:
    """Parameters of the points of a curve nearest to the given points, and the distances."""
    grid = np.linspace(0.0, 1.0, 33)
    on_r, on_z = curve.at(grid)
    distance = np.hypot(on_r[None, :] - r[:, None], on_z[None, :] - z[:, None])
    t = grid[np.argmin(distance, axis=1)]
    for _ in range(12):  # Gauss-Newton: the error shrinks with the distance, which is what counts
        at_r, at_z = curve.at(t)
        dr, dz = curve.slope(t)
        speed = dr * dr + dz * dz
        step = ((r - at_r) * dr + (z - at_z) * dz) / np.where(speed > 0.0, speed, 1.0)
        t = np.clip(t + step, 0.0, 1.0)
    at_r, at_z = curve.at(t)
    return t, np.hypot(at_r - r, at_z - z)
