"""The ball's parts as solids of the CAD kernel, held against the exact moments."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from pipeline.ball import Ball, Part
from pipeline.errors import BallError, KernelFault
from pipeline.kernel import kernel
from shapes.moments import Moments
from shapes.placed import Placed
from shapes.shape import Shape

if TYPE_CHECKING:
    import cadquery as cq

_AGREE = 1e-7  # share of a part's volume
_DRILLED_MM3 = 2.0  # and what columns through drilled holes may miss, a few hundred-thousandths


@dataclass(frozen=True)
class PartSolid:
    """A part with the solids it is made of: one, or more when earlier parts cut it asunder."""

    part: Part
    lumps: tuple[cq.Solid, ...]


def solids_of(ball: Ball) -> tuple[PartSolid, ...]:
    """Every part as valid solids that share no volume, inside out.

    Raises:
        KernelFault: the kernel's solids are not what the design asks for.
        BallError: they are, but not when they are drilled; names the holes that cannot be cut.
    """
    try:
        return _solids(ball)
    except KernelFault as error:
        if not ball.bores or not _can_be_cut(replace(ball, bores=())):
            raise
        raise BallError(_blamed(ball, str(error))) from error


def _solids(ball: Ball) -> tuple[PartSolid, ...]:
    with kernel():
        from shapes.boundary import moments_of_lumps
        from shapes.carve import carve

        bores = [bore.body for bore in ball.bores]
        carved = carve((*bores, *ball.bodies))[len(bores) :]
        found = tuple(
            PartSolid(part, _in_ball(ball, lumps) if part.role == "grip insert" else lumps)
            for part, lumps in zip(ball.parts, carved, strict=True)
        )
        for one in found:
            volume, due = (
                moments_of_lumps(one.lumps).volume_mm3,
                one.part.claimed.volume_mm3,
            )
            if abs(volume - due) > _AGREE * due + (_DRILLED_MM3 if ball.bores else 0.0):
                raise KernelFault(
                    f"part '{one.part.name}': the solid has {volume:.3f} mm3 where {due:.3f} mm3 "
                    "are due"
                )
    return found if not ball.bores else tuple(_measured(one) for one in found)


def _can_be_cut(ball: Ball) -> bool:
    """Whether the kernel cuts a ball's parts without a fault that it tells of."""
    try:
        with kernel():
            from shapes.carve import carve

            carve((*(bore.body for bore in ball.bores), *ball.bodies))
    except KernelFault:
        return False
    return True


def _blamed(ball: Ball, reason: str) -> str:
    """The holes that the kernel cannot cut one by one; all of them when it is none alone."""
    alone = [b.name for b in ball.bores if not _can_be_cut(replace(ball, bores=(b,)))]
    named = alone or [bore.name for bore in ball.bores]
    said = ", ".join(f"'{name}'" for name in named)
    file = ball.design.drilling_file or ball.design.file
    where = f"{file}: " if file else ""
    what = "it" if len(named) == 1 else ("them" if alone else "them together")
    return (
        f"{where}drilling: hole {said}: the CAD kernel cannot cut {what} out of this ball "
        f"({reason}); move a hole by 0.001 in or turn it a little. Figures need no cut: "
        "`corewright weigh` gives them"
    )


def _measured(one: PartSolid) -> PartSolid:
    """A drilled part as its solids are measured, which is surer than columns to the last figure."""
    from shapes.boundary import moments_of_lumps

    return replace(one, part=replace(one.part, claimed=moments_of_lumps(one.lumps)))


def _in_ball(ball: Ball, lumps: Sequence[cq.Solid]) -> tuple[cq.Solid, ...]:
    """What of an insert lies in the ball: its body is as long as the drill."""
    from shapes import solid

    return tuple(p for lump in lumps for p in solid.common(lump, [solid.sphere(ball.radius_mm)]))


def prove_shape(shape: Shape) -> None:
    """Hold that a body made of bodies, or read from a file, is one sound solid.

    Raises:
        ShapeError: it is not; with the field to change.
        KernelFault: the kernel could not join or cut the bodies.
    """
    with kernel():
        shape.prove()


def reach_of_solid_mm(body: Placed) -> float:
    """The greatest distance of a body from the ball's centre, measured on its solid.

    No more than it is by more than the sag of a fine mesh.
    """
    with kernel():
        from shapes.facets import facets_of
        from shapes.solid import placed

        mesh = facets_of(placed(body.shape.solid(), body.placement))
    return float(np.linalg.norm(mesh.corners_mm, axis=1).max())


def claimed_by_solids(bodies: tuple[Placed, ...]) -> list[Moments]:
    """Moments of what each body claims, by the boundary route, about the ball's centre."""
    with kernel():
        from shapes.boundary import moments_of_lumps
        from shapes.carve import carve

        return [moments_of_lumps(lumps) for lumps in carve(bodies)]
