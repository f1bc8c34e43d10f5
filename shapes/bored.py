"""What drilled bores take of bodies that claim their space inside out, without the CAD kernel.

Every bore is cut into columns along its own axis, at the nodes of Gauss's rule across its radius
and of the trapezoidal rule round it.  Along a column all ends are exact: where it enters and leaves
the bore, the bores before it and every body.  So what is left to the rules is smooth, but for where
a bore's wall or a body's edge makes columns begin or end.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import pi

import numpy as np

from shapes.chords import Lines, combined, within
from shapes.curves import Curve
from shapes.moments import Array, Mask, Moments
from shapes.placed import Placed
from shapes.quadrature import gauss

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
    bore: Array
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
    """Columns through bores.

    Args:
        bores: bodies of revolution, each with its Z along its axis, outwards.
        fineness: 1 for three nodes across a radius and eight round it; twice as much has twice as
            many of both.
    """
    found = []
    for k, bore in enumerate(bores):
        lines, area = _disc(bore, _radii(bore, bores), 3 * fineness, 8 * fineness)
        near = [other for other in bores[:k] if _may_meet(bore, other)]
        own = [bore.chords(lines), *(other.chords(lines) for other in near)]
        left = own[0] if not near else combined(own, _only_first)
        found.append((lines, area, np.full(len(lines), k), left))
    wide = max(left.shape[1] for *_, left in found)
    return Columns(
        Lines(
            np.concatenate([lines.start for lines, *_ in found]),
            np.concatenate([lines.way for lines, *_ in found]),
        ),
        np.concatenate([area for _, area, _, _ in found]),
        np.concatenate([which for _, _, which, _ in found]),
        np.concatenate([_padded(left, wide) for *_, left in found]),
        len(bores),
    )


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
    sums = _sums(own, ends).reshape(len(bodies), 3, count, each) * columns.area_mm2
    of_bodies = [_moments(sums[p], start, way) for p in range(len(bodies))]
    by_bores = []
    for k in range(columns.bores):
        mine = columns.bore == k
        by_bores.append(_moments(sums[:, :, :, mine].sum(axis=0), start[:, mine], way[:, mine]))
    return [
        Taken(tuple(m[k] for m in of_bodies), tuple(m[k] for m in by_bores)) for k in range(count)
    ]


def _sums(own: Array, ends: Sequence[Array]) -> Array:
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


def _moments(sums: Array, start: Array, way: Array) -> list[Moments]:
    """Moments of n sets of columns from their sums (3, n, k), starts and ways (n, k, 3)."""
    length, first, second = sums
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


def _disc(bore: Placed, radii: Sequence[float], across: int, round_: int) -> tuple[Lines, Array]:
    """Columns over the disc of a bore, with the rule's nodes between radii; and their areas."""
    nodes, weights = gauss(across)
    r = np.concatenate([a + (b - a) * nodes for a, b in pairwise(radii)])
    dr = np.concatenate([(b - a) * weights for a, b in pairwise(radii)])
    angle = 2.0 * pi * (np.arange(round_) + 0.5) / round_
    x, y = np.outer(r, np.cos(angle)).ravel(), np.outer(r, np.sin(angle)).ravel()
    own = np.column_stack([x, y, np.zeros_like(x)])
    area = np.repeat(r * dr * 2.0 * pi / round_, round_)
    way = np.broadcast_to(-bore.axis(), own.shape)
    return Lines(bore.placement.to_ball(own), way), area


def _radii(bore: Placed, bores: Sequence[Placed]) -> list[float]:
    """Where the integrand across a bore bends: at its own steps and at those of coaxial ones."""
    coaxial = [other for other in bores if _coaxial(bore, other)]
    every = {0.0}
    for body in coaxial:
        every |= {round(r, 9) for c in _section(body) for r in (c.start[0], c.end[0])}
    most = max(max(c.start[0], c.end[0]) for c in _section(bore))
    return [r for r in sorted(every) if r <= most + _SAME]


def _section(bore: Placed) -> tuple[Curve, ...]:
    section = bore.shape.section()
    assert section is not None
    return section.curves


def _coaxial(one: Placed, other: Placed) -> bool:
    apart = other.placement.offset() - one.placement.offset()
    aside = apart - (apart @ one.axis()) * one.axis()
    leans = np.linalg.norm(one.axis() - other.axis())
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


def _padded(ends: Array, wide: int) -> Array:
    more = np.full((len(ends), wide - ends.shape[1]), np.inf)
    return np.concatenate([ends, more], axis=1)
