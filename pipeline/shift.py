"""What drilling did to a ball: where its marks went, and how far its axes turned."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from pipeline.drilled import Drilled
from shapes.moments import Array


@dataclass(frozen=True)
class Moved:
    """How far an axis went; None where it is undefined before or after.

    Attributes:
        angle_deg: between the axes, as lines.
        on_surface_mm: along the surface between where they leave the ball.
        within_rad: how far the axis itself may be off: the bound over the nearest difference of RG.
    """

    angle_deg: float | None
    on_surface_mm: float | None
    within_rad: float = field(default=0.0, compare=False)

    @property
    def decimals(self) -> int:
        """Of the angle in degrees, and of the way in inches, that the bound defends; at most 3."""
        within = max(float(np.degrees(self.within_rad)), 1e-9)
        return int(np.clip(np.floor(-np.log10(within)), 0, 3))


def pin_moved(drilled: Drilled) -> Moved:
    """The low-RG axis."""
    before, after = drilled.undrilled, drilled.properties
    return _moved(
        before.principal.low, after.principal.low, before.pin_mm(), after.pin_mm(),
        after.radius_mm, _within(drilled, 0),
    )  # fmt: skip


def psa_moved(drilled: Drilled) -> Moved:
    """The high-RG axis; it has nowhere to come from on a ball that was symmetrical."""
    before, after = drilled.undrilled, drilled.properties
    return _moved(
        before.principal.high, after.principal.high, before.psa_mm(), after.psa_mm(),
        after.radius_mm, _within(drilled, 2),
    )  # fmt: skip


def _within(drilled: Drilled, end: int) -> float:
    """How far an axis of the drilled ball may be off, radians: end is 0 for low, 2 for high."""
    rg = drilled.properties.principal.rg_mm
    gap = abs(float(rg[1] - rg[end]))
    return drilled.properties.bound.rg_mm / gap if gap > 0.0 else np.pi


def _moved(
    before: Array | None,
    after: Array | None,
    start: Array | None,
    end: Array | None,
    radius: float,
    within_rad: float,
) -> Moved:
    if before is None or after is None or start is None or end is None:
        return Moved(None, None)
    angle = _angle(before, after)
    # an axis leaves the ball twice: the same one of its two ends is followed
    if float(before @ after) < 0.0:
        end = end - 2.0 * float(end @ after) * after
    angle_deg = float(np.degrees(min(angle, np.pi - angle)))
    return Moved(angle_deg, radius * _angle(start, end), within_rad)


def _angle(a: Array, b: Array) -> float:
    return float(np.arctan2(np.linalg.norm(np.cross(a, b)), float(a @ b)))


def rg_about_mm(drilled: Drilled, axis: Array) -> float:
    """RG of the drilled ball about a unit vector through its centre of gravity."""
    inertia, mass = drilled.properties.inertia_g_mm2, drilled.properties.mass_g
    return float(np.sqrt(axis @ inertia @ axis / mass))
