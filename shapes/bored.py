"""What drilled bores take of bodies that claim their space inside out, without the CAD kernel.

Every bore is cut into columns along its own axis, at the nodes of Gauss's rule across its radius
and of the trapezoidal rule round it.  Along a column all ends are exact: where it enters and leaves
the bore, the bores before it and every body.  So what is left to the rules is smooth, but for where
a bore's wall or a body's edge makes columns begin or end.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import pi

import numpy as np

from shapes.chords import Lines, combined, of_intervals, within
from shapes.curves import Curve, box_of
from shapes.moments import Array, Indices, Mask, Moments
from shapes.placed import Placed
from shapes.quadrature import gauss

_FAR_MM = 1e6  # beyond any ball
_LEVEL = 1e-12  # a column that runs along a plane is taken to lean by so much
_SAME = 1e-9  # mm, or of a unit vector: nearer than this, two axes are one


@dataclass(frozen=True, eq=False)
class Columns:
    """Columns through bores; an earlier bore keeps its space, as bodies do.

    Attributes:
        lines: along the bores, inwards, shape (n, 3).
        area_mm2: of every column, shape (n,).
        bore: which bore a column belongs to, shape (n,).
        own: where a column runs in its bore and in no earlier one; see `shapes.chords`.
        bores: how many bores there are.
    """

    lines: Lines
    area_mm2: Array
    bore: Indices
    own: Array
    bores: int


@dataclass(frozen=True, eq=False)
class Taken:
    """What bores take of bodies, about the origin of the frame of the bodies.

    Attributes:
        of_bodies: of the space that each body claims.
        by_bores: what each bore takes that no earlier one does, of all bodies together.
    """

    of_bodies: tuple[Moments, ...]
    by_bores: tuple[Moments, ...]


def columns_of(bores: Sequence[Placed], fineness: int) -> Columns:
    """Columns through bores, over the whole disc of each.

    Args:
        bores: bodies of revolution, each with its Z along its axis, outwards.
        fineness: 1 for three nodes across a radius, fewer where a step is narrow, and eight round
            it; twice as much has twice as many of both.
    """
    angle = 2.0 * pi * (np.arange(8 * fineness) + 0.5) / (8 * fineness)
    found = []
    for k, bore in enumerate(bores):
        steps = radii(bore, bores)
        rings = []
        for low, high in pairwise(steps):
            share = min(1.0, 2.0 * (high - low) / steps[-1])
            node, weight = gauss(max(2, round(3 * fineness * share)))
            rings.append((low + (high - low) * node, (high - low) * weight))
        r, dr = (np.concatenate(column) for column in zip(*rings, strict=True))
        at, round_ = np.meshgrid(r, angle, indexing="ij")
        area = np.outer(r * dr, np.full(len(angle), 2.0 * pi / len(angle)))
        found.append((np.full(area.size, k), at.ravel(), round_.ravel(), area.ravel()))
    every = columns_at(bores, *(np.concatenate(column) for column in zip(*found, strict=True)))
    real = np.asarray(np.isfinite(every.own).any(axis=1))  # the rest lie in earlier bores all along
    return Columns(
        every.lines.some(real), every.area_mm2[real], every.bore[real], every.own[real], len(bores)
    )


def columns_at(
    bores: Sequence[Placed], bore: Indices, radius_mm: Array, angle_rad: Array, area_mm2: Array
) -> Columns:
    """Columns at places of the discs: the bore, and there radius, angle and area, shape (n,)."""
    start, way = np.empty((len(bore), 3)), np.empty((len(bore), 3))
    own: list[tuple[Mask, Array]] = []
    for k, body in enumerate(bores):
        mine = bore == k
        if not mine.any():
            continue
        r, angle = radius_mm[mine], angle_rad[mine]
        flat = np.column_stack([r * np.cos(angle), r * np.sin(angle), np.zeros_like(r)])
        start[mine], way[mine] = body.placement.to_ball(flat), -body.axis()
        lines = Lines(start[mine], way[mine])
        near = [other for other in bores[:k] if _may_meet(body, other)]
        every = [body.chords(lines), *(other.chords(lines) for other in near)]
        own.append((mine, combined(every, _only_first) if near else every[0]))
    left = np.full((len(bore), max(found.shape[1] for _, found in own)), np.inf)
    for mine, found in own:
        left[mine, : found.shape[1]] = found
    return Columns(Lines(start, way), area_mm2, bore, left, len(bores))


def beyond(columns: Columns, normal: Array) -> Columns:
    """The columns where they run on the side of a plane through the origin that its normal shows.

    Args:
        columns: any.
        normal: shape (3,).
    """
    rise = columns.lines.way @ normal
    rise = np.where(np.abs(rise) < _LEVEL, _LEVEL, rise)
    at = -(columns.lines.start @ normal) / rise
    side = of_intervals(
        np.where(rise > 0.0, at, np.minimum(-_FAR_MM, at - 1.0)),
        np.where(rise > 0.0, np.maximum(_FAR_MM, at + 1.0), at),
    )
    own = combined([columns.own, side], lambda inside: inside[0] & inside[1])
    return replace(columns, own=own)


def taken(columns: Columns, bodies: Sequence[Placed]) -> Taken:
    """What the bores take of bodies that claim their space inside out."""
    (one,) = taken_turned(columns, bodies, np.eye(3)[None])
    return one


def taken_turned(columns: Columns, bodies: Sequence[Placed], turns: Array) -> list[Taken]:
    """The same for bores that are turned about the origin, by each of n rotations (n, 3, 3)."""
    count, each = len(turns), len(columns.lines)
    start = np.einsum("lij,nj->lni", turns, columns.lines.start)
    way = np.einsum("lij,nj->lni", turns, columns.lines.way)
    lines = Lines(start.reshape(-1, 3), way.reshape(-1, 3))
    ends = [body.chords(lines) for body in bodies]
    own = np.tile(columns.own, (count, 1))
    along = sums(own, ends).reshape(len(bodies), 3, count, each) * columns.area_mm2
    of_bodies = [moments_along(along[p], start, way) for p in range(len(bodies))]
    by_bores = []
    for k in range(columns.bores):
        mine = columns.bore == k
        by_bores.append(
            moments_along(along[:, :, :, mine].sum(axis=0), start[:, mine], way[:, mine])
        )
    return [
        Taken(tuple(m[k] for m in of_bodies), tuple(m[k] for m in by_bores)) for k in range(count)
    ]


def sums(own: Array, ends: Sequence[Array]) -> Array:
    """Integrals of 1, t and t^2 along what each body claims of the columns, shape (p, 3, n)."""
    places = np.sort(np.concatenate([own, *ends], axis=1), axis=1)
    places = places[:, : np.isfinite(places).any(axis=0).sum()]
    low, high = places[:, :-1], places[:, 1:]
    there = np.isfinite(high)
    low, high = np.where(there, low, 0.0), np.where(there, high, 0.0)
    middle = 0.5 * (low + high)
    open_: Mask = within(own, middle) & there
    square = high * high - low * low
    parts = high - low, square / 2.0, (high * high * high - low * low * low) / 3.0
    found = np.zeros((len(ends), 3, len(own)))
    for p, body in enumerate(ends):
        mine = open_ & within(body, middle)
        open_ = open_ & ~mine
        for k, part in enumerate(parts):
            found[p, k] = np.where(mine, part, 0.0).sum(axis=1)
    return found


def moments_along(along: Array, start: Array, way: Array) -> list[Moments]:
    """Moments of n sets of columns from their sums (3, n, k), starts and ways (n, k, 3)."""
    length, first, second = along
    volume = length.sum(axis=1)
    lead = np.einsum("nk,nki->ni", length, start) + np.einsum("nk,nki->ni", first, way)
    cross = np.einsum("nk,nki,nkj->nij", first, start, way)
    square = (
        np.einsum("nk,nki,nkj->nij", length, start, start)
        + cross
        + cross.transpose(0, 2, 1)
        + np.einsum("nk,nki,nkj->nij", second, way, way)
    )
    return [Moments(float(v), a, b) for v, a, b in zip(volume, lead, square, strict=True)]


def radii(bore: Placed, bodies: Sequence[Placed]) -> list[float]:
    """Where the integrand across a bore bends: at its own steps and at those of coaxial bodies."""
    most = max(box_of(c).r_high for c in _section(bore))
    every = {0.0}
    for body in bodies:
        if body.shape.section() is not None and _coaxial(bore, body):
            every |= {round(r, 9) for c in _section(body) for r in (c.start[0], c.end[0])}
            every |= {round(box_of(c).r_high, 9) for c in _section(body)}
    return [r for r in sorted(every) if r < most - _SAME] + [most]


def _section(bore: Placed) -> tuple[Curve, ...]:
    section = bore.shape.section()
    assert section is not None
    return section.curves


def _coaxial(one: Placed, other: Placed) -> bool:
    axis, along = one.axis(), other.axis()
    cosine = float(axis @ along)
    if abs(cosine) < 0.999:
        return False
    apart = other.placement.offset() - one.placement.offset()
    aside = apart - (apart @ axis) * axis
    leans = np.linalg.norm(along - cosine * axis)
    return bool(np.linalg.norm(aside) <= _SAME and leans <= _SAME)


def _may_meet(one: Placed, other: Placed) -> bool:
    """Whether bounding cylinders, as capsules, come near each other."""
    (a, p, r), (b, q, s) = _capsule(one), _capsule(other)
    return _apart(a, p, b, q) <= r + s


def _capsule(bore: Placed) -> tuple[Array, Array, float]:
    curves = _section(bore)
    low = min(min(c.start[1], c.end[1]) for c in curves)
    high = max(max(c.start[1], c.end[1]) for c in curves)
    most = max(max(c.start[0], c.end[0]) for c in curves)
    place = bore.placement
    ends = place.to_ball(np.array([[0.0, 0.0, low], [0.0, 0.0, high]]))
    return ends[0], ends[1], most


def _apart(a: Array, p: Array, b: Array, q: Array) -> float:
    """Distance between the stretches a-p and b-q.

    After Ericson, Real-Time Collision Detection, 5.1.9; from memory.
    """
    u, v, w = p - a, q - b, a - b
    uu, uv, vv, uw, vw = u @ u, u @ v, v @ v, u @ w, v @ w
    det = uu * vv - uv * uv
    s = float(np.clip((uv * vw - vv * uw) / det, 0.0, 1.0)) if det > 1e-12 * uu * vv else 0.0
    t = float(np.clip((uv * s + vw) / vv, 0.0, 1.0))
    s = float(np.clip((uv * t - uw) / uu, 0.0, 1.0))
    return float(np.linalg.norm(w + s * u - t * v))


def _only_first(inside: list[Mask]) -> Mask:
    return np.asarray(inside[0] & ~np.logical_or.reduce(inside[1:]))
