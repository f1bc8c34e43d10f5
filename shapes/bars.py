"""Round bars along any line, straight or tapered: rods, gates, vents, pins and keys."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
from OCP.BRepClass3d import BRepClass3d_SolidClassifier
from OCP.gp import gp_Ax3, gp_Dir, gp_Lin, gp_Pnt, gp_Trsf
from OCP.IntCurvesFace import IntCurvesFace_ShapeIntersector
from OCP.TopAbs import TopAbs_State

from shapes.curves import Line
from shapes.moments import Array, Mask
from shapes.profile import Profile
from shapes.solid import gate, turned

if TYPE_CHECKING:
    import cadquery as cq

_ON_MM = 1e-7
_FAR_MM = 1e5


@dataclass(frozen=True)
class Bar:
    """A round bar along a line, its radius changing evenly between stations.

    Attributes:
        origin_mm: a point of its axis, shape (3,).
        way: unit vector of the axis.
        stations_mm: (distance along the axis from the origin, radius there), ascending.
    """

    origin_mm: tuple[float, float, float]
    way: tuple[float, float, float]
    stations_mm: tuple[tuple[float, float], ...]

    def point_mm(self, along_mm: float) -> Array:
        """A point of its axis."""
        return np.array(self.origin_mm) + along_mm * np.array(self.way)

    @property
    def radius_mm(self) -> float:
        """The greatest radius."""
        return max(radius for _, radius in self.stations_mm)

    @property
    def volume_mm3(self) -> float:
        """Of the frustums that it is made of: pi h (a2 + ab + b2) / 3."""
        return sum(
            np.pi * (q - p) * (a * a + a * b + b * b) / 3.0
            for (p, a), (q, b) in pairwise(self.stations_mm)
        )


def section_of(bar: Bar) -> Profile:
    """The half-section of a bar, about its own origin and axis."""
    (low, first), (high, last) = bar.stations_mm[0], bar.stations_mm[-1]
    points = [
        (0.0, low),
        (first, low),
        *((r, w) for w, r in bar.stations_mm),
        (last, high),
        (0.0, high),
    ]
    kept = [points[0]]
    for point in points[1:]:
        if abs(point[0] - kept[-1][0]) + abs(point[1] - kept[-1][1]) > _ON_MM:
            kept.append(point)
    return Profile(tuple(Line(a, b) for a, b in pairwise(kept)))


def solid_of(bar: Bar) -> cq.Solid:
    """The bar as a solid, its seam turned away from the planes that a mould parts at."""
    frame = gp_Ax3(gp_Pnt(*bar.origin_mm), gp_Dir(*bar.way))
    spun = gp_Ax3(frame.Location(), frame.Direction(), _seam(bar.way))
    move = gp_Trsf()
    move.SetTransformation(spun, gp_Ax3())
    return gate(
        BRepBuilderAPI_Transform(turned(section_of(bar)).wrapped, move, True).Shape(), "a round bar"
    )


def _seam(way: Sequence[float]) -> gp_Dir:
    """A direction across the bar that no usual plane holds."""
    across = np.cross(way, (0.4387, -0.6174, 0.6531))
    return gp_Dir(*(across / np.linalg.norm(across)))


def crossings_mm(solid: cq.Solid, origin_mm: Array, way: Array) -> Array:
    """Where a line crosses a solid's faces: ascending distances along a unit vector.

    A line that only touches an edge may be told twice, or once.
    """
    finder = IntCurvesFace_ShapeIntersector()
    finder.Load(solid.wrapped, _ON_MM)
    finder.Perform(gp_Lin(gp_Pnt(*origin_mm), gp_Dir(*way)), -_FAR_MM, _FAR_MM)
    found = sorted(finder.WParameter(k) for k in range(1, finder.NbPnt() + 1))
    return np.array([w for k, w in enumerate(found) if k == 0 or w - found[k - 1] > _ON_MM])


def contains(solid: cq.Solid, points: Array) -> Mask:
    """Which of the points, shape (n, 3), lie in a solid or on its surface."""
    sorter = BRepClass3d_SolidClassifier(solid.wrapped)
    found = []
    for point in points:
        sorter.Perform(gp_Pnt(*point), _ON_MM)
        found.append(sorter.State() in (TopAbs_State.TopAbs_IN, TopAbs_State.TopAbs_ON))
    return np.array(found, dtype=bool)
