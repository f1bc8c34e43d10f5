"""Corners of a half-section that are rounded, and the theoretical points they are rounded from."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, pi

from shapes.curves import Arc, Curve, Line, Point
from shapes.profile import Profile

SAME_MM = 1e-6
_TANGENT_RAD = 1e-4
_NEARLY_BACK_RAD = 2.8  # lines that turn by more meet too far away to be a corner


@dataclass(frozen=True)
class Sharp:
    """A theoretical sharp point, and the ends of the lines that lead to it."""

    at: Point
    ends: tuple[Point, Point]


def _neighbours(profile: Profile, k: int) -> tuple[Curve, Curve] | None:
    curves, n = profile.curves, len(profile.curves)
    if not profile.is_ring and k in (0, n - 1):
        return None
    return curves[k - 1], curves[(k + 1) % n]


def is_fillet(profile: Profile, k: int) -> bool:
    """Whether a curve is an arc of a circle that runs into both its neighbours."""
    arc, beside = profile.curves[k], _neighbours(profile, k)
    if not isinstance(arc, Arc) or not is_circular(arc) or beside is None:
        return False
    before, after = beside
    return (
        _angle(before.way(1.0), arc.way(0.0)) < _TANGENT_RAD
        and _angle(arc.way(1.0), after.way(0.0)) < _TANGENT_RAD
    )


def sharps_of(profile: Profile) -> tuple[list[Sharp], set[int]]:
    """Theoretical points, and which curves are the fillets that they stand for."""
    found, rounded = [], set()
    for k, curve in enumerate(profile.curves):
        beside = _neighbours(profile, k)
        if beside is None or not is_fillet(profile, k) or not isinstance(curve, Arc):
            continue
        before, after = beside
        straight = isinstance(before, Line) and isinstance(after, Line)
        if straight and abs(curve.sweep_rad) < _NEARLY_BACK_RAD:
            found.append(Sharp(_crossing(before, after), (curve.start, curve.end)))
            rounded.add(k)
    return found, rounded


def _crossing(one: Curve, other: Curve) -> Point:
    """Where two straight lines, made longer, meet."""
    (r, z), (u, v) = one.start, one.way(0.0)
    (p, q), (s, t) = other.start, other.way(0.0)
    share = ((p - r) * t - (q - z) * s) / (u * t - v * s)
    return r + share * u, z + share * v


def is_circular(arc: Arc) -> bool:
    """Whether an arc is one of a circle."""
    return abs(arc.semi[0] - arc.semi[1]) < SAME_MM


def _angle(one: Point, other: Point) -> float:
    turn = atan2(other[1], other[0]) - atan2(one[1], one[0])
    return abs((turn + pi) % (2.0 * pi) - pi)
