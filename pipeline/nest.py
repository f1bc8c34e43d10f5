"""A design whose parts nest, for columns of numbers: who holds whom, and what each claims.

It is worked out once from the design as it stands.  Of a pair of parts of which one varies, one
must lie in the other, a sphere: that is held for every row by how far the inner one reaches.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np

from pipeline.ball import NOTHING, build_ball, roles_of
from pipeline.design import Design, FreeDensity
from pipeline.errors import CorewrightError, KernelFault
from pipeline.limits import COMPONENT_DENSITY_G_CM3
from pipeline.vary import Token, index_of, place_of, tokens
from pipeline.wanted import Varied
from shapes.claims import claims, lie
from shapes.halfplane import Relation
from shapes.hull import Hull, farthest_mm
from shapes.moments import Array, Mask, Moments
from shapes.placed import Placed
from shapes.placement import rotations
from shapes.shape import Shape
from shapes.sphere import Sphere
from shapes.stack import can_stack, variations

_WITHIN = 1.0 + 1e-12
_SAME = 1e-9
_ANY = FreeDensity(-100.0, COMPONENT_DENSITY_G_CM3)  # rows are held against the bounds, not this

Paths = tuple[tuple[tuple[str | int, ...], str], ...]  # steps to the number, path of the column


@dataclass(frozen=True)
class Nested:
    """One part for columns.

    Attributes:
        body: where it stands in the file.
        shape_paths, place_paths: which of its numbers are columns.
        holds: earlier parts whose claims lie within this one.
        fixed: what it claims, where no column can change that.
    """

    body: Placed
    shape_paths: Paths = ()
    place_paths: Paths = ()
    holds: tuple[int, ...] = ()
    fixed: Moments | None = None

    @property
    def varies(self) -> bool:
        """Whether any of its own numbers is a column."""
        return bool(self.shape_paths or self.place_paths)


@dataclass(frozen=True)
class Nest:
    """How the parts of a design lie, for columns.

    Attributes:
        parts: inside out.
        core: the indices of what lies inside the outer core.
        least_volume_mm3: what a part must claim to be there.
    """

    parts: tuple[Nested, ...]
    core: tuple[int, ...]
    least_volume_mm3: float

    def claims(self, numbers: Mapping[str, Array], count: int) -> tuple[list[Moments], Mask, Mask]:
        """What each part claims, rows whose shapes can be, and rows proven to nest so."""
        taken, proven = np.ones(count, dtype=bool), np.ones(count, dtype=bool)
        claimed: list[Moments] = []
        stood: list[_Stood] = []
        for part in self.parts:
            one = _stand(part, numbers, count)
            taken &= one.taken
            proven &= one.proven
            stood.append(one)
            if part.fixed is not None:
                claimed.append(_spread(part.fixed))
                continue
            own = one.moments
            for k in part.holds:
                own = own - claimed[k]
                if part.varies or self.parts[k].varies:
                    proven &= _holds(one, stood[k])
            claimed.append(own)
        return claimed, taken, proven


@dataclass(frozen=True, eq=False)
class _Stood:
    """A part in every row; arrays have one row where nothing of them varies.

    Attributes:
        part: what it is.
        moments: about the ball's centre.
        taken: where its shape can be.
        proven: where that is shown.
        hull: see `Shape.hull`.
        rotation, offset: shapes (n, 3, 3) and (n, 3).
        diameter: of a sphere, shape (n,).
    """

    part: Nested
    moments: Moments
    taken: Mask
    proven: Mask
    hull: Hull
    rotation: Array
    offset: Array
    diameter: Array


@lru_cache(maxsize=16)
def nest_of(design: Design, varied: tuple[Varied, ...]) -> Nest | None:
    """The nest of a design; None where its balls must be built one by one."""
    paths = [p for one in varied for p in (one.path, *(tie.path for tie in one.ties))]
    if not any(path.startswith("parts[") for path in paths):
        return _as_it_stands(design)
    bodies = [Placed(part.shape, part.placement) for part in design.parts]
    if any(not body.shape.exact or body.shape.needs_proof for body in bodies):
        return None
    own = [_own_paths(body.shape, k, paths) for k, body in enumerate(bodies)]
    claimed = [c for c in claims(bodies) if c is not None]
    if len(claimed) < len(bodies):
        return None
    parts: list[Nested] = []
    for j, body in enumerate(bodies):
        found = own[j]
        if found is None:
            return None
        part = _nested(bodies, parts, Nested(body, *found), claimed[j])
        if part is None:
            return None
        parts.append(part)
    core = [
        k
        for k, role in enumerate(roles_of(tuple(bodies), claimed))
        if role in ("inner core", "insert")
    ]
    least = NOTHING * Sphere(design.diameter_mm).moments().volume_mm3
    return Nest(tuple(parts), tuple(core), least)


def _as_it_stands(design: Design) -> Nest | None:
    """The nest of a design of which no shape or place varies: whatever its parts claim, stays."""
    materials = tuple(
        replace(m, density=_ANY) if isinstance(m.density, FreeDensity) else m
        for m in design.materials
    )
    try:
        parts = build_ball(replace(design, materials=materials)).parts
    except (CorewrightError, KernelFault):
        return None
    core = tuple(k for k, p in enumerate(parts) if p.role in ("inner core", "insert"))
    least = NOTHING * Sphere(design.diameter_mm).moments().volume_mm3
    return Nest(tuple(Nested(p.body, fixed=p.claimed) for p in parts), core, least)


def _nested(
    bodies: Sequence[Placed], before: Sequence[Nested], part: Nested, claimed: Moments
) -> Nested | None:
    """A part with what it holds; None where columns could change how it lies to those before it."""
    holds = []
    still = not part.varies
    relations = [lie(part.body, body) for body in bodies[: len(before)]]
    for k, (other, relation) in enumerate(zip(before, relations, strict=True)):
        if not part.varies and not other.varies:
            if relation is Relation.AROUND:
                still = still and other.fixed is not None
            elif relation is not Relation.APART:
                if other.fixed is None:
                    return None
                continue
        elif relation is not Relation.AROUND or not isinstance(part.body.shape, Sphere):
            return None
        else:
            still = False
        if relation is Relation.AROUND:
            holds.append(k)
    if still:
        return Nested(part.body, fixed=claimed)
    if any(relation not in (Relation.AROUND, Relation.APART) for relation in relations):
        return None
    return Nested(part.body, part.shape_paths, part.place_paths, tuple(holds))


def _own_paths(shape: Shape, k: int, paths: Sequence[str]) -> tuple[Paths, Paths] | None:
    """The columns of part k; None where one of them cannot be a column."""
    of_shape, of_place = [], []
    for path in paths:
        start = f"parts[{k}]."
        if not path.startswith(start):
            continue
        steps = tokens(path[len(start) :])
        word = place_of(steps)
        if word:
            number = index_of(steps[1], 3) if word == "move_mm" else 0
            of_place.append(((word, number), path))
            continue
        if not can_stack(shape, str(steps[0])):
            return None
        of_shape.append((_key(shape, steps), path))
    if of_shape and not _stacks(shape, tuple(of_shape)):
        return None
    return tuple(of_shape), tuple(of_place)


def _key(shape: Shape, steps: Sequence[Token]) -> tuple[str | int, ...]:
    """The steps of a path with numbers in place of x, y, z and r, z."""
    value, found = getattr(shape, str(steps[0])), [steps[0]]
    for step in steps[1:]:
        if isinstance(value, tuple):
            number = index_of(step, len(value))
            value = value[number]
            found.append(number)
        else:
            value = getattr(value, str(step))
            found.append(step)
    return tuple(found)


def _at(shape: Shape, key: Sequence[str | int]) -> float:
    """The number that a key means."""
    value: Any = shape
    for step in key:
        value = value[int(step)] if isinstance(value, tuple) else getattr(value, str(step))
    return float(value)


def _stacks(shape: Shape, of_shape: Paths) -> bool:
    """Whether the family really takes columns: families that packages add may not."""
    columns = {key: np.full(2, _at(shape, key)) for key, _ in of_shape}
    try:
        found = variations(shape, columns, 2)
        once = shape.moments()
        size = np.abs(once.second_mm5).max()
        return bool(
            found.moments.second_mm5.shape == (2, 3, 3)
            and found.proven.all()
            and (np.abs(found.moments.second_mm5 - once.second_mm5) <= _SAME * size).all()
        )
    except Exception:  # whatever it is, such a family is weighed one by one
        return False


def _stand(part: Nested, numbers: Mapping[str, Array], count: int) -> _Stood:
    placement = part.body.placement
    place = {key: numbers[path] for key, path in part.place_paths}
    angles = [
        place.get((word, 0), np.array([getattr(placement, word)]))
        for word in ("spin_deg", "tilt_by_deg", "tilt_toward_deg")
    ]
    turns = any(word != "move_mm" for word, _ in place)
    rotation = rotations(*angles) if turns else placement.rotation()[None]
    offset = np.column_stack(
        np.broadcast_arrays(
            *(place.get(("move_mm", k), np.array([placement.move_mm[k]])) for k in range(3))
        )
    )
    shape = part.body.shape
    if part.shape_paths:
        stack = variations(shape, {key: numbers[path] for key, path in part.shape_paths}, count)
        moments, taken, hull, proven = stack
        diameters = numbers.get(part.shape_paths[0][1], np.zeros(1))
    else:
        needed = part.fixed is None
        moments = _spread(shape.moments() if needed else Moments.zero())
        hull = shape.hull()
        taken = proven = np.ones(1, dtype=bool)
        diameters = np.array([getattr(shape, "diameter", 0.0)])
    stood = _placed(moments, rotation, offset, turned=turns or _leans(rotation))
    return _Stood(part, stood, taken, proven, hull, rotation, offset, diameters)


def _leans(rotation: Array) -> bool:
    return not np.array_equal(rotation[0], np.eye(3))


def _placed(moments: Moments, rotation: Array, offset: Array, *, turned: bool) -> Moments:
    """Moments of bodies turned and moved: see `Placement.place`."""
    volume: Array = np.asarray(moments.volume_mm3)
    first, second = moments.first_mm4, moments.second_mm5
    if turned:
        first = np.einsum("nij,nj->ni", rotation, first)
        second = rotation @ second @ rotation.transpose(0, 2, 1)
    if np.any(offset):
        cross = first[:, :, None] * offset[:, None, :]
        square = offset[:, :, None] * offset[:, None, :]
        second = second + cross + cross.transpose(0, 2, 1) + volume[:, None, None] * square
        first = first + volume[:, None] * offset
    return Moments(volume, first, second)  # type: ignore[arg-type]


def _spread(moments: Moments) -> Moments:
    """Moments of one body as a column of one row."""
    return Moments(
        np.atleast_1d(moments.volume_mm3),  # type: ignore[arg-type]
        moments.first_mm4.reshape(1, 3),
        moments.second_mm5.reshape(1, 3, 3),
    )


def _holds(outer: _Stood, inner: _Stood) -> Mask:
    """In which rows a sphere surely holds a body."""
    room = outer.diameter / 2.0 * _WITHIN
    apart = outer.offset - inner.offset
    if isinstance(inner.part.body.shape, Sphere):
        return np.asarray(np.linalg.norm(apart, axis=1) + inner.diameter / 2.0 <= room)
    if not inner.part.varies and not outer.part.place_paths:
        return np.asarray(inner.part.body.reach_mm(outer.offset[0]) <= room)
    if not inner.hull:
        return np.zeros(1, dtype=bool)
    seen = (apart[:, None, :] @ inner.rotation)[:, 0]  # the sphere's centre in the body's frame
    off_axis = np.hypot(seen[:, 0], seen[:, 1])[:, None]
    return np.asarray(farthest_mm(inner.hull, off_axis, seen[:, 2:])[:, 0] <= room)
