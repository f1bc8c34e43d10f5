"""Corner fillets of a half-section: an arc of given radius that touches both neighbours."""

from __future__ import annotations

from math import acos, atan2, hypot, pi, tan

from shapes.curves import Arc, Curve

SMOOTH_RAD = 1e-4  # neighbours that turn by less meet smoothly: there is no corner to round
_STEP = 1e-6


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
    s = 1.0 - room / hypot(*before.way(1.0))
    t = room / hypot(*after.way(0.0))
    offset = side * radius
    for _ in range(60):
        (r0, z0), (r1, z1) = _centre(before, s, offset), _centre(after, t, offset)
        gap_r, gap_z = r0 - r1, z0 - z1
        if hypot(gap_r, gap_z) < 1e-12 * max(1.0, radius):
            break
        (a, c), (b, d) = _drift(before, s, offset), _drift(after, t, offset)
        volume = b * c - a * d
        if volume == 0.0:
            raise NoFit("no arc of that radius touches both sides")
        s += max(-0.5, min(0.5, (d * gap_r - b * gap_z) / volume))
        t += max(-0.5, min(0.5, (c * gap_r - a * gap_z) / volume))
    else:
        raise NoFit("no arc of that radius touches both sides")
    if not 0.0 <= s < 1.0 or not 0.0 < t <= 1.0:
        raise NoFit("the curves beside it are too short")
    centre = ((r0 + r1) / 2.0, (z0 + z1) / 2.0)
    first = _angle(before, s, centre)
    sweep = (side * (_angle(after, t, centre) - first)) % (2.0 * pi) * side
    return (
        s,
        Arc(centre, (radius, radius), first, sweep),
        t,
    )


def _direction(curve: Curve, t: float) -> tuple[float, float]:
    dr, dz = curve.way(t)
    size = hypot(dr, dz)
    return dr / size, dz / size


def _centre(curve: Curve, t: float, offset: float) -> tuple[float, float]:
    """The point at a distance to the left of the curve."""
    r, z = curve.point(t)
    along = _direction(curve, t)
    return r - offset * along[1], z + offset * along[0]


def _drift(curve: Curve, t: float, offset: float) -> tuple[float, float]:
    """How that point moves with t, by central differences."""
    (r0, z0), (r1, z1) = (_centre(curve, t + step, offset) for step in (-_STEP, _STEP))
    return (r1 - r0) / (2.0 * _STEP), (z1 - z0) / (2.0 * _STEP)


def _angle(curve: Curve, t: float, centre: tuple[float, float]) -> float:
    r, z = curve.point(t)
    return atan2(z - centre[1], r - centre[0])
