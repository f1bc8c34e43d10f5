"""How a drilled ball's axis wanders when it is let go about its axis point: the flare index."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from pipeline.drilled import Drilled
from pipeline.flare import Flare, constant_rg, spun
from shapes.moments import Array

REVOLUTIONS = 8


def let_go(drilled: Drilled, revolutions: int = REVOLUTIONS) -> Flare | None:
    """The flare of a ball that turns about its axis point; None without one.

    A ball that rolls away from the bowler turns about an axis that points to the bowler's left, by
    the right-hand rule.  A right hand's ring finger, and with it the positive axis point, is on the
    left when the palm is behind the ball; so seen from there the ball turns counter-clockwise, and
    a left hand's clockwise (worked out here).
    """
    axis, hand = drilled.laid.axis_point, drilled.laid.hand
    if axis is None or hand is None:
        return None
    sense = 1.0 if hand == "right" else -1.0
    found = spun(
        drilled.properties.inertia_g_mm2,
        drilled.properties.mass_g,
        sense * axis,
        drilled.properties.radius_mm,
        revolutions,
    )
    if sense > 0.0:
        return found
    return replace(
        found,
        axis_points_mm=-found.axis_points_mm,
        path_mm=-found.path_mm,
        rings_mm=-found.rings_mm,
    )


def same_rg(drilled: Drilled) -> tuple[Array, ...]:
    """The curves on the surface on which the RG is that about the axis point; none without one.

    Each has shape (k, 3), mm, in the ball frame.
    """
    axis = drilled.laid.axis_point
    if axis is None:
        return ()
    properties = drilled.properties
    return tuple(
        np.asarray(curve)
        for curve in constant_rg(
            properties.inertia_g_mm2, properties.mass_g, axis, properties.radius_mm
        )
    )
