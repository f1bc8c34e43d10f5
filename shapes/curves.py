"""The three curves of a half-section in the (r, z) half-plane: line, arc of an ellipse, cubic.

Every curve runs over t in [0, 1].  `at` and `slope` take arrays of parameters and give arrays of
the same shape; `point` and `way` do the same for one plain number, which is much quicker for one.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from shapes.arc import Arc
from shapes.cubic import Cubic
from shapes.line import Line, Point

__all__ = ["Arc", "Box", "Cubic", "Curve", "Line", "Point", "box_of"]

Curve = Line | Arc | Cubic


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
