"""A drilled ball's figures by three routes: columns, contour integrals on cut solids, a mesh."""

from __future__ import annotations

import time

from pipeline.ball import Ball
from pipeline.drilled import Drilled, drill
from pipeline.prove import Proof, Route, prove


def drilled_route(ball: Ball) -> tuple[Drilled, Route]:
    """The drilled ball, and the route to its figures, timed.

    Raises:
        BallError: a hole or the layout cannot be.
    """
    start = time.perf_counter()
    drilled = drill(ball)
    assert drilled is not None
    return drilled, Route("columns", drilled.properties, time.perf_counter() - start)


def prove_drilled(drilled: Drilled, route: Route, mesh: tuple[float, float] | None = None) -> Proof:
    """Weigh a drilled ball by every route; see `pipeline.prove.prove`.

    Raises:
        KernelFault: the kernel's solids are not what the holes leave.
    """
    return prove(drilled.as_ball(), route, mesh)
