"""The curves of a half-section in the (r, z) half-plane: line, arc of an ellipse, Bezier curve.

Every curve runs over t in [0, 1].  `at` and `slope` take arrays of parameters and give arrays of
the same shape; `point` and `way` do the same for one plain number, which is much quicker for one.
`sums` are the integrals of r^2, r^2 z, r^4 and r^2 z^2 over dz along the curve, `flat_sums` those
of r, r^2, r^3, r z, r z^2 and r^2 z.

Coordinates may be columns of numbers, shape (n, 1), for n curves of one kind at once (see
`shapes.stack`): `at`, `slope`, `nodes` and the sums then work on all of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from shapes.arc import Arc
from shapes.bezier import Bezier
from shapes.line import Line, Point

__all__ = ["Arc", "Bezier", "Box", "Curve", "Line", "Point", "box_of"]

Curve = Line | Arc | Bezier


@dataclass(frozen=True)
class Box:
    """The least upright rectangle round a curve, mm."""

    r_low: float
    r_high: float
    z_low: float
    z_high: float


@lru_cache(maxsize=4096)
def box_of(curve: Curve) -> Box:
    """The rectangle round a curve."""
    points = [curve.point(t) for t in (0.0, *curve.widest(), *curve.turning_points(), 1.0)]
    r, z = [p[0] for p in points], [p[1] for p in points]
    return Box(min(r), max(r), min(z), max(z))
