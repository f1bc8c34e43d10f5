"""What drilling took of the core, as bodies drawn out along the holes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pipeline.drilled import Drilled
from pipeline.kernel import kernel
from pipeline.scene import Surface
from pipeline.shells import patch_of, together
from pipeline.solids import solids_of
from pipeline.units import G_PER_MM3, G_PER_OZ
from pipeline.views import core_parts
from shapes.moments import Array

_CHORD_MM, _ANGLE_RAD = 0.06, 0.12
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
    found: list[Plug] = []
    with kernel():
        from OCP.BRepMesh import BRepMesh_IncrementalMesh

        from shapes import solid
        from shapes.boundary import faces_of, moments_of_solid
        from shapes.solid import fresh

        lumps = [(k, lump) for k, one in enumerate(solids_of(ball)) for lump in one.lumps]
        tools = [
            (hole, solid.placed(hole.bore().shape.solid(), hole.bore().placement))
            for hole in drilled.holes
        ]
        for j, (hole, tool) in enumerate(tools):
            for k, lump in lumps:
                if k not in core:
                    continue
                for shared in solid.common(lump, [tool]):
                    pieces = solid.cut(shared, [t for _, t in tools[:j]]) if j else [shared]
                    for piece in pieces:
                        moments = moments_of_solid(piece)
                        if moments.volume_mm3 < _LEAST_MM3:
                            continue
                        shape = fresh(piece)
                        BRepMesh_IncrementalMesh(shape, _CHORD_MM, False, _ANGLE_RAD, False)
                        shell = together(k, False, [patch_of(f) for f in faces_of(shape)])
                        away = -_OUT * ball.radius_mm * hole.way
                        part = ball.parts[k]
                        found.append(
                            Plug(
                                hole.name,
                                moments.volume_mm3 * part.density_g_cm3 * G_PER_MM3 / G_PER_OZ,
                                Surface(
                                    shell.points_mm + away, shell.normals, shell.triangles,
                                    part.colour, "skin",
                                ),
                                np.asarray(moments.centroid_mm() + away),
                            )
                        )  # fmt: skip
    return found
