"""The solids that bodies claim, inside out, cut by the CAD kernel and held against sampling."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

import cadquery as cq
import numpy as np

from shapes import solid
from shapes.boundary import moments_of_lumps
from shapes.claims import lie
from shapes.counted import SAMPLES, WRONG_SHARE, counted
from shapes.errors import SolidError
from shapes.halfplane import Relation
from shapes.moments import Array, Mask
from shapes.placed import Placed

Lumps = tuple[cq.Solid, ...]
_SEAM_SPINS_DEG = (0.0, 37.0, 101.0)


@lru_cache(maxsize=8)
def carve(bodies: tuple[Placed, ...]) -> tuple[Lumps, ...]:
    """What each body claims, as solids in the ball frame: none, one or several lumps a body.

    Raises:
        SolidError: the kernel gave no valid solid, or removed what sampling says it should not.
    """
    return tuple(_lumps(body, bodies[:index]) for index, body in enumerate(bodies))


def _lumps(body: Placed, earlier: Sequence[Placed]) -> Lumps:
    """What a body claims of its own space.

    Where the seam of a turned face meets another body just so, the kernel has been seen to lose a
    cut.  A spin about its own axis moves the seam and changes nothing else, so it is tried again.
    """
    chosen = _tools(body, earlier)
    if chosen is None:
        return ()
    tools = [earlier[k] for k in chosen]
    for spin in _SEAM_SPINS_DEG[:-1]:
        try:
            return _cut(body, tools, spin)
        except SolidError:
            continue
    return _cut(body, tools, _SEAM_SPINS_DEG[-1])


def _cut(body: Placed, tools: Sequence[Placed], spin_deg: float) -> Lumps:
    whole = _built(body, spin_deg)
    if not tools:
        return (whole,)
    lumps = tuple(solid.cut(whole, [_built(tool, spin_deg) for tool in tools]))
    _check(body, tools, lumps)
    return lumps


def _built(body: Placed, spin_deg: float) -> cq.Solid:
    """The whole body as a solid; a body that is the same all round, with its seam spun on."""
    placement = body.placement
    if body.shape.section() is not None:
        placement = replace(placement, spin_deg=placement.spin_deg + spin_deg)
    return solid.placed(body.shape.solid(), placement)


def _tools(body: Placed, earlier: Sequence[Placed]) -> list[int] | None:
    """Which earlier bodies to cut with: not those apart, nor those inside another that cuts.

    None for a body that lies within an earlier one and has nothing left.
    """
    relations = [lie(body, other) for other in earlier]
    if Relation.WITHIN in relations:
        return None
    near = [k for k, r in enumerate(relations) if r is not Relation.APART]
    return [
        k
        for k in near
        if not any(
            lie(earlier[k], earlier[other]) is Relation.WITHIN
            and (other > k or lie(earlier[other], earlier[k]) is not Relation.WITHIN)
            for other in near
            if other != k
        )
    ]


def _check(body: Placed, tools: Sequence[Placed], lumps: Lumps) -> None:
    """Hold what a cut removed against a count of points that lie in body and tools."""
    if not tools:
        return
    removed = body.moments().volume_mm3 - moments_of_lumps(lumps).volume_mm3

    def in_tools(points: Array) -> Mask:
        return np.asarray(np.logical_or.reduce([tool.contains(points) for tool in tools]))

    expected, box = counted(body, in_tools)
    if abs(removed - expected) > WRONG_SHARE * box:
        raise SolidError(
            f"a cut removed {removed:.0f} mm3 where {expected:.0f} mm3 are shared (counted on "
            f"{SAMPLES} points)"
        )
