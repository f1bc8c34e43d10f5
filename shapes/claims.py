"""How bodies share space, inside out: an earlier body keeps its space, a later one flows round it.

Moments of what each body claims come from the bodies' own moments wherever that is exact: bodies
that lie within or apart from one another by adding and subtracting, bodies of revolution about one
axis in the half-plane.  Whatever is left needs real solids, and is left open here.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from shapes.halfplane import Relation, Unclear, relation, union_moments
from shapes.moments import Array, Moments
from shapes.placed import Placed, coaxial_sections, common_axis
from shapes.sphere import Sphere

_WITHIN = 1.0 + 1e-12


def claims(bodies: Sequence[Placed]) -> list[Moments | None]:
    """Moments about the ball's centre of what each body claims; None where solids must decide."""
    found: list[Moments | None] = []
    for index, body in enumerate(bodies):
        found.append(_claim(body, bodies[:index], found))
    return found


def _claim(
    body: Placed, earlier: Sequence[Placed], claimed: Sequence[Moments | None]
) -> Moments | None:
    relations = [lie(body, other) for other in earlier]
    if Relation.WITHIN in relations:
        return Moments.zero()
    if not body.shape.exact:
        return None
    if all(r in (Relation.AROUND, Relation.APART) for r in relations):
        taken = Moments.zero()
        for r, moments in zip(relations, claimed, strict=True):
            if r is Relation.AROUND:
                if moments is None:
                    return None
                taken = taken + moments
        return body.moments() - taken
    near = [o for o, r in zip(earlier, relations, strict=True) if r is not Relation.APART]
    sections = coaxial_sections([*near, body])
    if sections is None:
        return None
    try:
        claimed_here = union_moments(sections) - union_moments(sections[:-1])
    except Unclear:
        return None
    # the half-plane measures along the common axis: turn and move that frame into the ball's
    return _into_ball(claimed_here, [*near, body])


def _into_ball(moments: Moments, bodies: Sequence[Placed]) -> Moments:
    frame = common_axis(bodies)
    assert frame is not None
    origin, axis = frame
    return moments.turned(_turn_z_to(axis)).moved(origin)


def _turn_z_to(axis: Array) -> Array:
    """A rotation that takes +Z to a unit vector; any will do for a body of revolution."""
    helper = np.array([1.0, 0.0, 0.0]) if abs(axis[0]) < 0.9 else np.array([0.0, 1.0, 0.0])
    x = helper - (helper @ axis) * axis
    x /= np.linalg.norm(x)
    return np.column_stack([x, np.cross(axis, x), axis])


def lie(first: Placed, second: Placed) -> Relation | None:
    """How two placed bodies lie to each other, without solids; None when that cannot be told."""
    for inner, outer, answer in (
        (first, second, Relation.WITHIN),
        (second, first, Relation.AROUND),
    ):
        if isinstance(outer.shape, Sphere):
            reach = inner.reach_mm(outer.placement.offset())
            if reach <= outer.shape.diameter / 2.0 * _WITHIN:
                return answer
    if any(-second.support_mm(-n) >= first.support_mm(n) for n in _directions(first, second)):
        return Relation.APART
    sections = coaxial_sections([first, second])
    if sections is None:
        return None
    try:
        return relation(*sections)
    except Unclear:
        return None


def _directions(first: Placed, second: Placed) -> Iterator[Array]:
    """Normals of planes that are likely to part two bodies, from the first to the second."""
    between = second.placement.offset() - first.placement.offset()
    if np.linalg.norm(between) > 0.0:
        yield between / np.linalg.norm(between)
    for body in (first, second):
        for normal in body.placement.rotation().T:
            yield normal
            yield -normal
