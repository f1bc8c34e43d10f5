"""Principal axes as angles: to the ball's own Z and X, to the pin, and to the grip."""

from __future__ import annotations

from math import atan2, degrees
from typing import Any

import numpy as np

from pipeline.drilled import Drilled
from pipeline.figures import rounded
from pipeline.weigh import MassProperties
from shapes.moments import Array

_MOST = 3  # decimals of a degree
_NAMES = ("low", "intermediate", "high")


def axis_angles(properties: MassProperties, drilled: Drilled | None) -> list[dict[str, Any]]:
    """One row for each principal axis, in degrees; what is undefined or too unsure is None.

    An angle to a mark is that between the axis, as a line, and the line from the ball's centre to
    the mark: 0 to 90.  The pin and the grip are those of the drilling where there is one, and the
    pin is then the one that the layout was measured from; else the pin is the low-RG axis's own.

    Args:
        properties: of the ball that is told of.
        drilled: the same with its holes, or None.
    """
    principal = properties.principal
    marks = _marks(properties, drilled)
    rows = []
    for k, axis in enumerate((principal.low, principal.intermediate, principal.high)):
        doubt = _doubt_deg(properties, k)
        row: dict[str, Any] = {
            "axis": _NAMES[k],
            "azimuth_deg": None,
            "from_z_deg": None,
            **{f"to_{name}_deg": None for name in marks},
        }
        if axis is not None:
            aside = float(np.hypot(axis[0], axis[1]))
            row["from_z_deg"] = _told(degrees(atan2(aside, float(axis[2]))), doubt)
            turned = _told(degrees(atan2(axis[1], axis[0])) % 360.0, doubt / max(aside, 1e-12))
            row["azimuth_deg"] = None if turned is None else turned % 360
            for name, at in marks.items():
                row[f"to_{name}_deg"] = None if at is None else _told(_between(axis, at), doubt)
        rows.append(row)
    return rows


def _marks(properties: MassProperties, drilled: Drilled | None) -> dict[str, Array | None]:
    """Directions from the ball's centre; only those that this ball can have."""
    if drilled is None:
        return {"pin": properties.pin_mm()}
    laid = drilled.laid
    found: dict[str, Array | None] = {"pin": laid.pin}
    if laid.frame is not None:
        found |= dict(zip(("grip_centre", "midline", "fingers"), laid.frame.T, strict=True))
    if laid.axis_point is not None:
        found["axis_point"] = laid.axis_point
    return found


def _between(axis: Array, at: Array) -> float:
    """Degrees between a line and a direction."""
    along, across = abs(float(axis @ at)), float(np.linalg.norm(np.cross(axis, at)))
    return degrees(atan2(across, along))


def _told(angle_deg: float, doubt_deg: float) -> float | None:
    """An angle to the decimals that it is sure to; None where not even whole degrees are."""
    places = int(np.floor(-np.log10(2.0 * max(doubt_deg, 1e-9))))
    if places < 0:
        return None
    return rounded(angle_deg, min(places, _MOST)) if places else round(angle_deg)


def _doubt_deg(properties: MassProperties, axis: int) -> float:
    """How far an axis may be turned from where it is said to be.

    It may be turned by twice the bound of an RG over the gap to the nearest other one (Davis and
    Kahan's theorem to first order; from memory).
    """
    rg = properties.principal.rg_mm
    gap = min((abs(float(rg[k] - rg[axis])) for k in range(3) if rg[k] != rg[axis]), default=np.inf)
    return degrees(2.0 * properties.bound.rg_mm / gap)
