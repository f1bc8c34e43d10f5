"""Curves as a DXF file knows them, and ours and the CAD kernel's as such, exactly.

DXF runs arcs and ellipses counter-clockwise only, so a curve may come out run the other way.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, cos, hypot, pi, sin
from typing import TYPE_CHECKING, Any

import numpy as np

from pipeline.errors import KernelFault
from shapes.curves import Arc, Bezier, Curve, Line, Point
from shapes.moments import Array

if TYPE_CHECKING:
    import cadquery as cq

_FLAT_MM = 1e-5  # an edge may leave its plane by as much as ends in a drawing may lie apart
_MOST_DEGREE = 9  # readers of DXF files are seen to give up on higher ones
_NEAR_MM = 1e-6
_WHOLE = 2.0 * pi - 1e-9  # a sweep of this is all the way round


@dataclass(frozen=True)
class Ellipse:
    """An arc of an ellipse or a circle, counter-clockwise.

    Attributes:
        centre: mm.
        major: vector of the longer half axis, mm; any half axis of a circle.
        ratio: of the shorter half axis to the longer, at most 1; 1 for a circle.
        from_rad: parameter of the start, from the longer half axis.
        sweep_rad: positive, at most a whole turn.
    """

    centre: Point
    major: Point
    ratio: float
    from_rad: float
    sweep_rad: float

    @property
    def is_whole(self) -> bool:
        """Whether it closes on itself."""
        return self.sweep_rad >= _WHOLE


@dataclass(frozen=True)
class Spline:
    """A clamped B-spline.

    Attributes:
        degree: of its polynomials.
        poles: control points, mm.
        knots: len(poles) + degree + 1 of them.
        weights: one a pole; empty when they are all the same.
    """

    degree: int
    poles: tuple[Point, ...]
    knots: tuple[float, ...]
    weights: tuple[float, ...] = ()


DxfCurve = Line | Ellipse | Spline


def dxf_curve(curve: Curve) -> DxfCurve:
    """A curve of a half-section as a DXF file knows it: x is r, y is z."""
    if isinstance(curve, Line):
        return curve
    if isinstance(curve, Arc):
        return _ellipse(curve)
    if curve.degree == 1:
        return Line(curve.start, curve.end)
    return Spline(curve.degree, curve.poles, _clamped(curve))


def _clamped(curve: Bezier) -> tuple[float, ...]:
    return (0.0,) * (curve.degree + 1) + (1.0,) * (curve.degree + 1)


def _ellipse(arc: Arc) -> Ellipse:
    (a, b), sweep = arc.semi, abs(arc.sweep_rad)
    start = arc.from_rad if arc.sweep_rad > 0.0 else arc.from_rad + arc.sweep_rad
    if a >= b:
        return Ellipse(arc.centre, (a, 0.0), b / a, start, min(sweep, 2.0 * pi))
    # from the longer, upright half axis the parameter is a quarter turn less
    return Ellipse(arc.centre, (0.0, b), a / b, start - pi / 2.0, min(sweep, 2.0 * pi))


def in_plane(edges: Sequence[cq.Edge], origin_mm: Array, x: Array, y: Array) -> list[DxfCurve]:
    """Edges of the CAD kernel in a plane's own frame.

    Args:
        edges: all in the plane.
        origin_mm: shape (3,), of the drawing.
        x: shape (3,), a unit vector, to the right in the drawing.
        y: shape (3,), a unit vector square to it, upwards in the drawing.

    Raises:
        KernelFault: an edge leaves the plane, or is of a kind that cannot be drawn exactly.
    """
    frame = np.array([x, y, np.cross(x, y)], dtype=float)
    origin = np.asarray(origin_mm, dtype=float)
    found = [_edge(edge.wrapped, frame, origin) for edge in edges]
    return [curve for curve in found if curve is not None]


def _edge(edge: Any, frame: Array, origin: Array) -> DxfCurve | None:
    from OCP.BRep import BRep_Tool
    from OCP.BRepAdaptor import BRepAdaptor_Curve
    from OCP.GeomAbs import GeomAbs_CurveType as Kind

    if BRep_Tool.Degenerated_s(edge):
        return None  # a point
    curve = BRepAdaptor_Curve(edge)
    first, last = curve.FirstParameter(), curve.LastParameter()
    kind = curve.GetType()
    if kind == Kind.GeomAbs_Line:
        start, end = _flat([curve.Value(first), curve.Value(last)], frame, origin)
        return Line(start, end)
    if kind in (Kind.GeomAbs_Circle, Kind.GeomAbs_Ellipse):
        round_ = curve.Circle() if kind == Kind.GeomAbs_Circle else curve.Ellipse()
        quarter = [curve.Value(first + k * (last - first) / 4.0) for k in range(5)]
        _flat(quarter, frame, origin)
        return _turning(round_, kind == Kind.GeomAbs_Circle, first, last, frame, origin)
    if kind in (Kind.GeomAbs_OffsetCurve, Kind.GeomAbs_OtherCurve):
        raise KernelFault("an edge is of a kind that no DXF file can hold exactly")
    return _spline(edge, first, last, frame, origin)


def _turning(
    curve: Any, is_circle: bool, first: float, last: float, frame: Array, origin: Array
) -> Ellipse:
    """A circle or an ellipse of the kernel; its own parameter may run clockwise here."""
    (centre,) = _flat([curve.Location()], frame, origin)
    place = curve.Position()
    right, up = (
        frame[:2] @ (way.X(), way.Y(), way.Z()) for way in (place.XDirection(), place.YDirection())
    )
    big = curve.Radius() if is_circle else curve.MajorRadius()
    ratio = 1.0 if is_circle else curve.MinorRadius() / big
    along = hypot(*right)
    major = (float(big * right[0] / along), float(big * right[1] / along))
    clockwise = right[0] * up[1] - right[1] * up[0] < 0.0
    start = -last if clockwise else first
    return Ellipse(centre, major, ratio, start, min(last - first, 2.0 * pi))


def _spline(edge: Any, first: float, last: float, frame: Array, origin: Array) -> Spline:
    from OCP.BRep import BRep_Tool
    from OCP.Geom import Geom_TrimmedCurve
    from OCP.GeomConvert import GeomConvert

    whole = BRep_Tool.Curve_s(edge, 0.0, 1.0)
    spline = GeomConvert.CurveToBSplineCurve_s(Geom_TrimmedCurve(whole, first, last))
    if spline.IsPeriodic():
        spline.SetNotPeriodic()
    if spline.Degree() > _MOST_DEGREE:
        spline = _lowered(spline)
    count = spline.NbPoles()
    poles = _flat([spline.Pole(k) for k in range(1, count + 1)], frame, origin)
    weights = tuple(float(spline.Weight(k)) for k in range(1, count + 1))
    knots = tuple(
        float(spline.Knot(k))
        for k in range(1, spline.NbKnots() + 1)
        for _ in range(spline.Multiplicity(k))
    )
    return Spline(spline.Degree(), tuple(poles), knots, weights if spline.IsRational() else ())


def _lowered(spline: Any) -> Any:
    """A spline of a degree that readers of DXF take, within 1e-6 mm of the given one."""
    from OCP.GeomAbs import GeomAbs_Shape
    from OCP.GeomConvert import GeomConvert_ApproxCurve

    found = GeomConvert_ApproxCurve(spline, _NEAR_MM, GeomAbs_Shape.GeomAbs_C1, 400, 7)
    if not found.IsDone() or found.MaxError() > _FLAT_MM:
        raise KernelFault("an edge of high degree could not be drawn as a DXF spline")
    return found.Curve()


def _flat(points: Sequence[Any], frame: Array, origin: Array) -> list[Point]:
    """Points of the kernel in the frame's plane."""
    at = np.array([(p.X(), p.Y(), p.Z()) for p in points])
    placed = (at - origin) @ frame.T
    off = float(np.abs(placed[:, 2]).max())
    if off > _FLAT_MM:
        raise KernelFault(f"an edge leaves the plane that it is to be drawn in by {off:.6f} mm")
    return [(float(x), float(y)) for x, y in placed[:, :2]]


def angle_rad(curve: Ellipse) -> float:
    """The direction of the longer half axis."""
    return atan2(curve.major[1], curve.major[0])


def point_on(curve: Ellipse, at_rad: float) -> Point:
    """The point at a parameter."""
    (x, y), (u, v), ratio = curve.centre, curve.major, curve.ratio
    c, s = cos(at_rad), ratio * sin(at_rad)
    return x + c * u - s * v, y + c * v + s * u
