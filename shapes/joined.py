"""Composed bodies as solids: united and cut by the CAD kernel, and held to be one sound solid."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

import cadquery as cq
import numpy as np

from shapes import solid
from shapes.boundary import moments_of_lumps
from shapes.composed import Composed
from shapes.contact import why_not_one
from shapes.counted import SAMPLES, counted
from shapes.errors import ShapeError, SolidError
from shapes.flipped import Flipped
from shapes.moments import Array, Mask
from shapes.placed import Placed
from shapes.shape import Shape

_SEAM_STEPS_DEG = (0.0, 163.7, 101.0, 37.0, 11.3)  # how far the seam moves from body to body
_BALANCE = 1e-7
_WRONG_SHARE = 0.002  # of the box: counting was within 0.0011 of every sound body tried
_COUNT = f"counted on {SAMPLES} points"


@lru_cache(maxsize=64)
def lumps_of(shape: Composed) -> tuple[cq.Solid, ...]:
    """The solids that a composed body comes out as: one where all is well.

    The kernel has been seen to miss where curved faces meet, most of all where they meet alike on
    both sides of a plane.  So every step is held against the sum of volumes and the whole against
    a count of points, and whatever fails is tried again with the seams of round bodies elsewhere.

    Raises:
        SolidError: no try held.
    """
    said = ""
    for step in _SEAM_STEPS_DEG:
        try:
            return _lumps(shape, step)
        except SolidError as error:
            said = said or str(error)
    raise SolidError(
        f"the CAD kernel could not join or cut the bodies ({said}); it fails most where curved "
        "faces meet symmetrically: move, tilt or resize one of them a little"
    )


def _lumps(shape: Composed, step_deg: float) -> tuple[cq.Solid, ...]:
    kept, *others = [_solids(b, step_deg * (k + 1)) for k, b in enumerate(shape.kept())]
    found = kept
    for other in others:
        found = _united(found, other)
    for k, body in enumerate(shape.taken()):
        found = _left(found, _solids(body, -step_deg * (k + 0.5)))
    _check(shape, found)
    return tuple(found)


def _united(found: list[cq.Solid], other: list[cq.Solid]) -> list[cq.Solid]:
    """All lumps of two bodies as one, held against V(A) + V(B) = V(A or B) + V(A and B)."""
    united, shared = solid.meeting(found, other, "fuse")
    _balance([*found, *other], [*united, *shared])
    return united


def _left(found: list[cq.Solid], tools: list[cq.Solid]) -> list[cq.Solid]:
    """What is left outside the tools, held against V(A) = V(A less B) + V(A and B)."""
    left, shared = solid.meeting(found, tools, "cut")
    _balance(found, [*left, *shared])
    return left


def _balance(before: Sequence[cq.Solid], after: Sequence[cq.Solid]) -> None:
    one, two = moments_of_lumps(before).volume_mm3, moments_of_lumps(after).volume_mm3
    if abs(two / one - 1.0) > _BALANCE:
        raise SolidError(f"{one:.3f} mm3 of bodies came out as {two:.3f} mm3")


def _solids(body: Placed, spin_deg: float) -> list[cq.Solid]:
    """A body where it stands, in one lump or more; a round one with its seam spun on."""
    placement = body.placement
    if body.shape.section() is not None:
        placement = replace(placement, spin_deg=placement.spin_deg + spin_deg)
    return [solid.placed(one, placement) for one in _as_drawn(body.shape)]


def _as_drawn(shape: Shape) -> tuple[cq.Solid, ...]:
    """The lumps of a shape; one that is composed may have several as long as the whole has not."""
    if isinstance(shape, Composed):
        return lumps_of(shape)
    if isinstance(shape, Flipped):
        return tuple(solid.flipped(lump) for lump in _as_drawn(shape.shape))
    return (shape.solid(),)


def _check(shape: Composed, found: Sequence[cq.Solid]) -> None:
    """Hold the volume against a count of points."""
    volume = moments_of_lumps(found).volume_mm3
    due, box = counted(shape, lambda points: np.ones(len(points), dtype=bool))
    if abs(volume - due) > _WRONG_SHARE * box:
        raise SolidError(
            f"the kernel made {volume:.0f} mm3 where {due:.0f} mm3 are due (counted on {SAMPLES} "
            "points)"
        )


def prove(shape: Composed) -> None:
    """Hold that a composed body is one sound solid, and that every body adds to it or takes.

    Raises:
        ShapeError: with the parameter to change first.
        SolidError: the kernel could not tell.
    """
    _prove_bodies(shape, "")
    why = why_not_one(lumps_of(shape))
    if why:
        raise ShapeError(shape.field_of(0), why)


def _prove_bodies(shape: Composed, within: str) -> None:
    """Hold that every body is sound and takes or adds something, to the innermost."""
    kept, taken = shape.kept(), shape.taken()
    for index, body in enumerate((*taken, *kept)):
        _prove_body(body.shape, within + shape.field_of(index))
    for index, body in enumerate(taken):
        if not counted(body, lambda points: _in_any(kept, points))[0]:
            raise ShapeError(
                within + shape.field_of(index),
                f"it takes nothing away ({_COUNT}); move it or leave it out",
            )
    for index, body in enumerate(kept):
        others = [b for b in kept if b is not body]
        if others and not counted(body, lambda points, o=others: ~_in_any(o, points))[0]:  # type: ignore[misc]
            raise ShapeError(
                within + shape.field_of(len(taken) + index),
                f"the others hold it whole ({_COUNT}): it adds nothing; leave it out or move it",
            )


def _prove_body(shape: Shape, field: str) -> None:
    """Hold that a body inside another is sound by itself; one that is composed may be in lumps."""
    inner = shape.shape if isinstance(shape, Flipped) else shape
    if isinstance(inner, Composed):
        _prove_bodies(inner, f"{field}.")
    elif inner.needs_proof:
        try:
            inner.prove()
        except ShapeError as error:
            raise ShapeError(f"{field}.{error.field}", error.reason) from error


def _in_any(bodies: Sequence[Placed], points: Array) -> Mask:
    return np.asarray(np.logical_or.reduce([body.contains(points) for body in bodies]))
