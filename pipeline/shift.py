"""What drilling did to a ball: where its marks went, and how far its axes turned."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pipeline.drilled import Drilled
from shapes.moments import Array


@dataclass(frozen=True)
class Moved:
    """How far an axis went; None where it is undefined before or after.

    Attributes:
        angle_deg: between the axes, as lines.
        on_surface_mm: along the surface between where they leave the ball.
    """

    angle_deg: float | None
    on_surface_mm: float | None


def pin_moved(drilled: Drilled) -> Moved:
    """The low-RG axis."""
    before, after = drilled.undrilled, drilled.properties
    return _moved(
        before.principal.low, after.principal.low, before.pin_mm(), after.pin_mm(),
        after.radius_mm,
    )  # fmt: skip


def psa_moved(drilled: Drilled) -> Moved:
    """The high-RG axis; it has nowhere to come from on a ball that was symmetrical."""
    before, after = drilled.undrilled, drilled.properties
    return _moved(
        before.principal.high, after.principal.high, before.psa_mm(), after.psa_mm(),
        after.radius_mm,
    )  # fmt: skip


def _moved(
    before: Array | None, after: Array | None, start: Array | None, end: Array | None, radius: float
) -> Moved:
    if before is None or after is None or start is None or end is None:
        return Moved(None, None)
    angle = _angle(before, after)
    # an axis leaves the ball twice: the same one of its two ends is followed
    if float(before @ after) < 0.0:
        end = end - 2.0 * float(end @ after) * after
    return Moved(float(np.degrees(min(angle, np.pi - angle))), radius * _angle(start, end))


def _angle(a: Array, b: Array) -> float:
    return float(np.arctan2(np.linalg.norm(np.cross(a, b)), float(a @ b)))


def rg_about_mm(drilled: Drilled, axis: Array) -> float:
    """RG of the drilled ball about a unit vector through its centre of gravity."""
    inertia, mass = drilled.properties.inertia_g_mm2, drilled.properties.mass_g
    return float(np.sqrt(axis @ inertia @ axis / mass))
