"""Corner fillets of a half-section: an arc of given radius that touches both neighbours."""

from __future__ import annotations

from math import acos, atan2, cos, hypot, pi, sin, tan

import numpy as np

from shapes.curves import Arc, Curve
from shapes.moments import Array

SMOOTH_RAD = 1e-4  # neighbours that turn by less meet smoothly: there is no corner to round


class NoFit(Exception):
    """The arc would begin before its curve does or end after it; str says how much room it asks."""


def turn_rad(before: Curve, after: Curve) -> float:
    """The angle by which the outline turns at a joint, positive to the left (a convex corner)."""
    a, b = _direction(before, 1.0), _direction(after, 0.0)
    angle = acos(max(-1.0, min(1.0, a[0] * b[0] + a[1] * b[1])))
    return angle if a[0] * b[1] - a[1] * b[0] >= 0.0 else -angle


def fillet(before: Curve, after: Curve, radius: float) -> tuple[float, Arc, float]:
    """Where the curve before ends, the arc between, and where the curve after begins.

    The centre lies at `radius` from both curves: P1(s) + r n1(s) = P2(t) + r n2(t), solved by
    Newton's method from the answer for straight neighbours.

    Raises:
        NoFit: the arc needs more room than the curves have.
    """
    turn = turn_rad(before, after)
    if abs(turn) > pi - 1e-3:
        raise NoFit("the outline folds back on itself there")
    side = 1.0 if turn > 0.0 else -1.0
    room = radius * tan(abs(turn) / 2.0)
    s = 1.0 - room / hypot(*_slope(before, 1.0))
    t = room / hypot(*_slope(after, 0.0))
    for _ in range(60):
        gap = _centre(before, s, side * radius) - _centre(after, t, side * radius)
        step = 1e-6
        jacobian = np.column_stack(
            [
                (
                    _centre(before, s + step, side * radius)
                    - _centre(before, s - step, side * radius)
                )
                / (2.0 * step),
                -(_centre(after, t + step, side * radius) - _centre(after, t - step, side * radius))
                / (2.0 * step),
            ]
        )
        try:
            ds, dt = np.linalg.solve(jacobian, -gap)
        except np.linalg.LinAlgError:
            raise NoFit("no arc of that radius touches both sides") from None
        s, t = s + float(np.clip(ds, -0.5, 0.5)), t + float(np.clip(dt, -0.5, 0.5))
        if hypot(*gap) < 1e-12 * max(1.0, radius):
            break
    else:
        raise NoFit("no arc of that radius touches both sides")
    if not 0.0 <= s < 1.0 or not 0.0 < t <= 1.0:
        raise NoFit("the curves beside it are too short")
    centre = (_centre(before, s, side * radius) + _centre(after, t, side * radius)) / 2.0
    first = _angle(before, s, centre)
    sweep = (side * (_angle(after, t, centre) - first)) % (2.0 * pi) * side
    return (
        s,
        Arc((float(centre[0]), float(centre[1])), (radius, radius), first, sweep),
        t,
    )


def _slope(curve: Curve, t: float) -> tuple[float, float]:
    dr, dz = curve.slope(np.array([t]))
    return float(dr[0]), float(dz[0])


def _direction(curve: Curve, t: float) -> tuple[float, float]:
    dr, dz = _slope(curve, t)
    angle = atan2(dz, dr)
    return cos(angle), sin(angle)


def _centre(curve: Curve, t: float, offset: float) -> Array:
    """The point at a distance to the left of the curve."""
    r, z = curve.at(np.array([t]))
    along = _direction(curve, t)
    return np.array([float(r[0]) - offset * along[1], float(z[0]) + offset * along[0]])


def _angle(curve: Curve, t: float, centre: Array) -> float:
    r, z = curve.at(np.array([t]))
    return atan2(float(z[0]) - centre[1], float(r[0]) - centre[0])
