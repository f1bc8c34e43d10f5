"""What drilling took of the core, as bodies drawn out along the holes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from pipeline.drilled import Drilled
from pipeline.holes import Hole
from pipeline.kernel import kernel
from pipeline.scene import Surface
from pipeline.shells import shell_of
from pipeline.solids import solids_of
from pipeline.staging import core_parts
from pipeline.units import G_PER_MM3, G_PER_OZ
from shapes.moments import Array

if TYPE_CHECKING:
    import cadquery as cq

_OUT = 0.42  # of the radius: how far a plug is drawn out
_LEAST_MM3 = 1.0


@dataclass(frozen=True, eq=False)
class Plug:
    """A piece of the core.

    Attributes:
        hole: the hole that took it.
        ounces: its weight.
        surface: where it is drawn.
        middle_mm: of its centroid there, shape (3,).
    """

    hole: str
    ounces: float
    surface: Surface
    middle_mm: Array


def plugs_of(drilled: Drilled) -> list[Plug]:
    """The pieces of inner core and inserts that the holes took, each with the first that did."""
    ball = drilled.ball
    core = core_parts(ball)
    with kernel():
        from shapes import solid

        lumps = [
            (k, lump) for k, one in enumerate(solids_of(ball)) if k in core for lump in one.lumps
        ]
        tools = [
            solid.placed(hole.bore().shape.solid(), hole.bore().placement) for hole in drilled.holes
        ]
        return [
            _plug(drilled, hole, k, piece)
            for j, hole in enumerate(drilled.holes)
            for k, lump in lumps
            for piece in _pieces(lump, tools[j], tools[:j])
        ]


def _pieces(lump: cq.Solid, tool: cq.Solid, before: list[cq.Solid]) -> list[cq.Solid]:
    """What a drill takes of a body that earlier ones have been in; no crumbs."""
    from shapes import solid
    from shapes.boundary import moments_of_solid

    found = [
        piece
        for shared in solid.common(lump, [tool])
        for piece in (solid.cut(shared, before) if before else [shared])
    ]
    return [piece for piece in found if moments_of_solid(piece).volume_mm3 >= _LEAST_MM3]


def _plug(drilled: Drilled, hole: Hole, k: int, piece: cq.Solid) -> Plug:
    """A piece of the k-th part, drawn out along its hole."""
    from shapes.boundary import moments_of_solid

    part, moments = drilled.ball.parts[k], moments_of_solid(piece)
    shell = shell_of(piece, k)
    away = -_OUT * drilled.ball.radius_mm * hole.way
    return Plug(
        hole.name,
        moments.volume_mm3 * part.density_g_cm3 * G_PER_MM3 / G_PER_OZ,
        Surface(shell.points_mm + away, shell.normals, shell.triangles, part.colour, "skin"),
        np.asarray(moments.centroid_mm() + away),
    )
