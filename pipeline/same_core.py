"""Whether two balls hold the same inner core, by its geometry alone: whatever name, file or pose.

What does not change when a body is turned or moved is compared first: volumes, second moments about
the principal axes, the farthest point.  Then one core is laid over the other, principal axes on
principal axes, and many points must lie in the same part of both.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import reduce
from itertools import permutations

import numpy as np

from pipeline.ball import Ball, Part
from shapes.moments import Array, Moments

_NEAR = 2e-5  # share: numbers of a file are rounded, solids are built to a tolerance
_EVEN = 1e-4  # principal moments nearer than this share are one, and their axes undefined
POINTS = 4000
_MOST_PARTS = 6  # of which every order is tried
_SPINS = 720  # tried where an axis has no direction of its own
_FIRST_RAD, _LAST_RAD, _NUDGES = 0.15, 0.002, 600
_STRAY = 0.004  # share of points that may lie on the other side of a wall, by rounding


@dataclass(frozen=True)
class Likeness:
    """How two cores compare.

    Attributes:
        same: they are one shape and one size.
        size: by how much the second is larger where they are one shape; else NaN.
        why: what tells them apart; empty when they are the same.
    """

    same: bool
    size: float
    why: str


def core_of(ball: Ball) -> tuple[Part, ...]:
    """The parts inside the outer core."""
    return tuple(p for p in ball.parts if p.role in ("inner core", "insert"))


def likeness(one: Ball, other: Ball) -> Likeness:
    """Compare the cores of two balls."""
    first, second = core_of(one), core_of(other)
    if not first or not second:
        return Likeness(False, np.nan, "one of them has no core inside an outer core")
    if len(first) != len(second):
        return Likeness(False, np.nan, f"one core has {len(first)} parts, the other {len(second)}")
    whole, whole_other = _whole(first), _whole(second)
    size = float((whole_other.volume_mm3 / whole.volume_mm3) ** (1.0 / 3.0))
    order = _matched(first, second, size)
    if order is None:
        return Likeness(False, np.nan, _told_apart(first, second))
    matched = [second[k] for k in order]
    share = _misfit(first, matched, size)
    if share > _STRAY:
        return Likeness(
            False, np.nan, f"laid over one another {100.0 * share:.1f} % of the space differs"
        )
    if abs(size - 1.0) > _NEAR:
        return Likeness(False, size, f"the same shape, {size:.4f} times as large")
    return Likeness(True, 1.0, "")


def _whole(parts: Sequence[Part]) -> Moments:
    return reduce(lambda a, b: a + b, (p.claimed for p in parts))


def _signature(part: Part) -> Array:
    """Volume, principal second moments and reach, each as a length of the same size."""
    claimed = part.claimed
    spread = np.linalg.eigvalsh(claimed.central_second_mm5())
    reach = part.body.reach_mm(part.body.moments().centroid_mm())
    rooted = np.maximum(spread, 0.0) / claimed.volume_mm3
    return np.array([claimed.volume_mm3 ** (1.0 / 3.0), *np.sqrt(rooted), reach])


def _matched(first: Sequence[Part], second: Sequence[Part], size: float) -> list[int] | None:
    """For each part of the first core the one of the second that is like it, or None."""
    left = list(range(len(second)))
    found = []
    for part in first:
        mine = _signature(part) * size
        near = [k for k in left if np.allclose(_signature(second[k]), mine, rtol=_NEAR * 2.0)]
        if not near:
            return None
        found.append(near[0])
        left.remove(near[0])
    orders = permutations(range(len(second))) if len(second) <= _MOST_PARTS else iter([found])
    return next((list(o) for o in orders if _arranged(first, [second[k] for k in o], size)), None)


def _arranged(first: Sequence[Part], second: Sequence[Part], size: float) -> bool:
    """Whether parts are alike, in order, and their centroids as far apart."""
    for a, b in zip(first, second, strict=True):
        if not np.allclose(_signature(b), _signature(a) * size, rtol=_NEAR * 2.0):
            return False
    one = np.array([p.claimed.centroid_mm() for p in first]) * size
    other = np.array([p.claimed.centroid_mm() for p in second])
    apart = np.linalg.norm(one[:, None] - one[None, :], axis=2)
    apart_other = np.linalg.norm(other[:, None] - other[None, :], axis=2)
    return bool(np.allclose(apart, apart_other, atol=5e-3))


def _told_apart(first: Sequence[Part], second: Sequence[Part]) -> str:
    """The greatest difference of what does not depend on the pose."""
    names = ("volume", "least spread", "middle spread", "greatest spread", "reach")
    if len(first) > 1:
        return "their parts differ in size, or lie differently to one another"
    one, other = _signature(first[0]), _signature(second[0])
    off = other / one - 1.0
    worst = int(np.argmax(np.abs(off)))
    share = off[worst] if worst else (1.0 + off[0]) ** 3 - 1.0
    return f"the {names[worst]} of the second is {100.0 * share:+.3f} % off"


def _misfit(first: Sequence[Part], second: Sequence[Part], size: float) -> float:
    """The least share of points in different parts when one core is laid over the other."""
    whole, other = _whole(first), _whole(second)
    reach = max(p.body.reach_mm(whole.centroid_mm()) for p in first)
    g = np.random.default_rng(1)
    points = g.normal(size=(POINTS, 3))
    points *= (reach * g.random(POINTS) ** (1.0 / 3.0) / np.linalg.norm(points, axis=1))[:, None]
    mine = _labels(first, points + whole.centroid_mm())
    filled = max(1, int((mine >= 0).sum()))

    def off(turn: Array) -> float:
        there = points @ turn.T * size + other.centroid_mm()
        return float((_labels(second, there) != mine).sum()) / filled

    best, at = 2.0, np.eye(3)
    for turn in _turns(whole, other):
        share = off(turn)
        if share < best:
            best, at = share, turn
        if best <= _STRAY:
            return best
    for angle in np.geomspace(_FIRST_RAD, _LAST_RAD, _NUDGES):  # from the best a little farther
        turn = _nudge(g, float(angle)) @ at
        share = off(turn)
        if share < best:
            best, at = share, turn
        if best <= _STRAY:
            break
    return best


def _labels(parts: Sequence[Part], points: Array) -> Array:
    """For each point the first part that holds it, -1 for none."""
    found = np.full(len(points), -1.0)
    for k, part in reversed(list(enumerate(parts))):
        found[part.body.contains(points)] = float(k)
    return found


def _turns(one: Moments, other: Moments) -> Iterator[Array]:
    """Rotations that lay the principal axes of one body on those of another."""
    values, axes = np.linalg.eigh(one.central_second_mm5())
    _, there = np.linalg.eigh(other.central_second_mm5())
    if np.linalg.det(axes) < 0.0:
        axes[:, 0] *= -1.0
    if np.linalg.det(there) < 0.0:
        there[:, 0] *= -1.0
    low = values[1] - values[0] <= _EVEN * values[2]
    high = values[2] - values[1] <= _EVEN * values[2]
    flips = [np.diag(d) for d in ((1, 1, 1), (1, -1, -1), (-1, 1, -1), (-1, -1, 1))]
    if low and high:
        yield from (there @ q @ axes.T for q in _all_round())
        return
    spins = [np.eye(3)]
    if low or high:
        axis = 2 if low else 0
        spins = [_about(axis, a) for a in np.arange(_SPINS) * (2.0 * np.pi / _SPINS)]
    for spin in spins:
        for flip in flips:
            yield there @ spin @ flip @ axes.T


def _nudge(g: np.random.Generator, angle: float) -> Array:
    """A turn by an angle about any axis (Rodrigues's formula)."""
    x, y, z = (v := g.normal(size=3)) / np.linalg.norm(v)
    cross = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    found: Array = np.eye(3) + np.sin(angle) * cross + (1.0 - np.cos(angle)) * cross @ cross
    return found


def _about(axis: int, angle: float) -> Array:
    c, s = np.cos(angle), np.sin(angle)
    i, j = [(1, 2), (2, 0), (0, 1)][axis]
    found = np.eye(3)
    found[i, i] = found[j, j] = c
    found[i, j], found[j, i] = -s, s
    return found


def _all_round() -> Iterator[Array]:
    """Rotations strewn evenly, for bodies whose principal axes are all undefined.

    Unit quaternions from three uniform numbers (Shoemake 1992; from memory).
    """
    g = np.random.default_rng(2)
    yield np.eye(3)
    for u, v, w in g.random((4000, 3)):
        a, b = np.sqrt(1.0 - u), np.sqrt(u)
        x, y, z, t = (
            a * np.sin(2 * np.pi * v), a * np.cos(2 * np.pi * v),
            b * np.sin(2 * np.pi * w), b * np.cos(2 * np.pi * w),
        )  # fmt: skip
        yield np.array(
            [
                [1 - 2 * (y * y + z * z), 2 * (x * y - z * t), 2 * (x * z + y * t)],
                [2 * (x * y + z * t), 1 - 2 * (x * x + z * z), 2 * (y * z - x * t)],
                [2 * (x * z - y * t), 2 * (y * z + x * t), 1 - 2 * (x * x + y * y)],
            ]
        )
