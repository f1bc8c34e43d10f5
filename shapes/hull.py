"""Points round a body of revolution, for columns of numbers: how far it reaches, at most.

What lies within the convex hull of some points of the half-plane, turned about Z, is no farther
from anywhere than the farthest of those points turned.  A Bezier curve lies within the hull of its
poles, and an arc within that of its tangents (Farin, Curves and Surfaces for CAGD; from memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from shapes.arc import Arc
from shapes.curves import Curve, Line
from shapes.moments import Array, Column

Hull = Sequence[tuple[Column, Column]]  # (r, z), mm
_TANGENTS = 6  # of an arc: half a circle is overstated by 3.5 %


def hull_of(curves: Iterable[Curve]) -> Hull:
    """Points whose convex hull holds the curves; columns where the curves have them."""
    found: list[tuple[Column, Column]] = []
    for curve in curves:
        if isinstance(curve, Line):
            found += [curve.start, curve.end]
        elif isinstance(curve, Arc):
            found += _round_arc(curve)
        else:
            found += curve.poles
    return found


def _round_arc(arc: Arc) -> Hull:
    """The ends of an arc and the corners of tangents to it, evenly apart."""
    step = arc.sweep_rad / _TANGENTS
    out = 1.0 / np.cos(step / 2.0)
    angles = [arc.from_rad + step * (k + 0.5) for k in range(_TANGENTS)]
    corners = [(np.cos(a) * out, np.sin(a) * out) for a in angles]
    ends = [(np.cos(a), np.sin(a)) for a in (arc.from_rad, arc.from_rad + arc.sweep_rad)]
    (r, z), (a, b) = arc.centre, arc.semi
    return [(r + a * c, z + b * s) for c, s in corners + ends]


def farthest_mm(hull: Hull, off_axis: Column, height: Column) -> Array:
    """How far, at most, the body reaches from points of its own frame.

    Args:
        hull: columns of shape (n, 1) or numbers.
        off_axis: distance of each point from the axis, shape (n, 1).
        height: of each point along the axis, shape (n, 1).
    """
    square: Column = -np.inf
    for r, z in hull:
        square = np.maximum(square, (np.abs(r) + off_axis) ** 2 + (z - height) ** 2)
    return np.asarray(np.sqrt(square))
