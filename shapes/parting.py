"""Where the mould of a shape parts, and the draft that the shape has by itself.

Draft is the angle between a face and the way a mould half is drawn; a negative one is an undercut.
Terms as in any text on die casting and injection moulding (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, degrees

import numpy as np

from shapes.curves import Curve, box_of
from shapes.moments import Array

_LEVEL_MM = 1e-6
_ASIDE = 1e-6
_NEAR_PLANE = 0.01  # of the height: there the draft of a rounded side is next to nothing


@dataclass(frozen=True)
class Parting:
    """A parting plane and the least draft on either side of it.

    Attributes:
        normal: the way one half is drawn, a unit vector; the other half goes the other way.
        height_mm: the plane is n . x = height.
        draft_deg: least angle between the body's faces and the way each half is drawn.  Zero where
            a face stands upright, as that of a ball does at its equator; negative for an undercut.
    """

    normal: tuple[float, float, float]
    height_mm: float
    draft_deg: float


ACROSS = (0.0, 0.0, 1.0)
ALONG = (0.0, 1.0, 0.0)


def parting_of(curves: Iterable[Curve]) -> Parting:
    """The better of two ways to part a body whose faces follow a half-section.

    Square to Z at the widest place, when nothing then is an undercut; else along Z, where a body of
    revolution always comes free, with no draft at the parting plane itself.
    """
    square = across(curves)
    return square if square.draft_deg >= 0.0 else Parting(ALONG, 0.0, 0.0)


def across(curves: Iterable[Curve]) -> Parting:
    """Square to Z at the widest place, whether or not that leaves an undercut."""
    drawn = tuple(curves)
    height = _widest(drawn)
    least = min(_draft(curve, height) for curve in drawn)
    return Parting(ACROSS, height, round(least, 9) if least < -1e-3 else max(0.0, round(least, 9)))


def _widest(curves: tuple[Curve, ...]) -> float:
    """The height of the greatest radius, the middle where it is upright."""
    radius = max(box_of(c).r_high for c in curves)
    heights = [
        z
        for c in curves
        for r, z in map(c.point, (0.0, *c.widest(), 1.0))
        if radius - r <= _LEVEL_MM
    ]
    return (min(heights) + max(heights)) / 2.0


def _draft(curve: Curve, height: float) -> float:
    """Least draft along a curve of a half-section, degrees."""
    cuts = sorted({0.0, *curve.turning_points(), *curve.widest(), 1.0})
    inside = np.linspace(_ASIDE, 1.0 - _ASIDE, 9)  # at its ends a curve may touch the plane
    t = np.concatenate([a + (b - a) * inside for a, b in pairwise(cuts)])
    least = 90.0
    for dr, dz, z in zip(*curve.slope(t), curve.at(t)[1], strict=True):
        # the outward normal is (dz, -dr): above the plane it must lean up, below it down
        lean, across = -dr if z > height else dr, dz
        if abs(z - height) <= _LEVEL_MM:  # a flat end that is the plane itself
            lean = abs(dr)
        least = min(least, degrees(atan2(lean, abs(across))))
    return least


def sampled_draft(
    points: Array, normals: Array, way: tuple[float, float, float], height: float
) -> float:
    """The least draft at points of a surface for a parting plane, to a tenth of a degree.

    Args:
        points: shape (n, 3), mm.
        normals: shape (n, 3), outward unit vectors.
        way: the normal of the parting plane.
        height: the plane is way . x = height, mm.
    """
    above = points @ np.array(way) - height
    lean = np.degrees(np.arcsin(np.clip(normals @ np.array(way), -1.0, 1.0))) * np.sign(above)
    clear = np.abs(above) > _NEAR_PLANE * float(np.ptp(above))
    return float(np.round(lean[clear].min(), 1)) + 0.0
