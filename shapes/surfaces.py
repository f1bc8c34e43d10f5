"""Points and tangents of a CAD face's surface, many at a time: S, dS/du and dS/dv over (u, v)."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import cos, sin
from typing import Any

import numpy as np
import numpy.typing as npt
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.Geom import Geom_BSplineSurface
from OCP.GeomAbs import GeomAbs_CurveType, GeomAbs_SurfaceType
from OCP.GeomConvert import GeomConvert
from OCP.gp import gp_Pnt, gp_Vec
from OCP.TopoDS import TopoDS_Face

from shapes.moments import Array

_GENTLE = 0.65  # ratio of the weights over a span that needs no cut
_MOST_PIECES = 16

Evaluate = Callable[[Array, Array], tuple[Array, Array, Array]]


@dataclass(frozen=True)
class Surface:
    """The surface of a face.

    Attributes:
        evaluate: (u, v), each shape (n,), to S, S_u and S_v, each shape (n, 3), mm.
        u_knots: parameters where the surface is less than smooth in u; empty for analytic ones.
        v_knots: the same in v.
        u_turns: u is an angle, so that spans must be kept short.
        v_turns: v is an angle.
    """

    evaluate: Evaluate
    u_knots: tuple[float, ...] = ()
    v_knots: tuple[float, ...] = ()
    u_turns: bool = False
    v_turns: bool = False


def surface_of(face: TopoDS_Face) -> Surface:
    """The evaluator for a face, where the face stands."""
    adaptor = BRepAdaptor_Surface(face, False)
    kind = adaptor.GetType()
    if kind == GeomAbs_SurfaceType.GeomAbs_Plane:
        return _plane(adaptor)
    if kind == GeomAbs_SurfaceType.GeomAbs_Cylinder:
        return _slanted(adaptor.Cylinder().Position(), adaptor.Cylinder().Radius(), 0.0)
    if kind == GeomAbs_SurfaceType.GeomAbs_Cone:
        cone = adaptor.Cone()
        return _slanted(cone.Position(), cone.RefRadius(), cone.SemiAngle())
    if kind == GeomAbs_SurfaceType.GeomAbs_Sphere:
        return _torus(adaptor.Sphere().Position(), 0.0, adaptor.Sphere().Radius())
    if kind == GeomAbs_SurfaceType.GeomAbs_Torus:
        torus = adaptor.Torus()
        return _torus(torus.Position(), torus.MajorRadius(), torus.MinorRadius())
    if kind == GeomAbs_SurfaceType.GeomAbs_BSplineSurface:
        return _nurbs(adaptor.BSpline().Copy())
    if kind == GeomAbs_SurfaceType.GeomAbs_BezierSurface:
        return _nurbs(GeomConvert.SurfaceToBSplineSurface_s(adaptor.Bezier()))
    if kind == GeomAbs_SurfaceType.GeomAbs_SurfaceOfRevolution:
        return _revolution(adaptor)
    return _any(adaptor)


def _xyz(point: object) -> Array:
    return np.array([point.X(), point.Y(), point.Z()])  # type: ignore[attr-defined]


def _frame(position: object) -> tuple[Array, Array, Array, Array]:
    """Origin and the three directions of a gp_Ax3."""
    return (
        _xyz(position.Location()),  # type: ignore[attr-defined]
        _xyz(position.XDirection()),  # type: ignore[attr-defined]
        _xyz(position.YDirection()),  # type: ignore[attr-defined]
        _xyz(position.Direction()),  # type: ignore[attr-defined]
    )


def _plane(adaptor: BRepAdaptor_Surface) -> Surface:
    origin, x, y, _ = _frame(adaptor.Plane().Position())

    def evaluate(u: Array, v: Array) -> tuple[Array, Array, Array]:
        shape = (len(u), 3)
        points = origin + u[:, None] * x + v[:, None] * y
        return points, np.broadcast_to(x, shape), np.broadcast_to(y, shape)

    return Surface(evaluate)


def _slanted(position: object, radius: float, semi_angle: float) -> Surface:
    """A cone with its radius at v = 0; a cylinder when the semi-angle is zero."""
    origin, x, y, z = _frame(position)
    grow, rise = sin(semi_angle), cos(semi_angle)

    def evaluate(u: Array, v: Array) -> tuple[Array, Array, Array]:
        c, s, v = np.cos(u)[:, None], np.sin(u)[:, None], v[:, None]
        out, r = c * x + s * y, radius + v * grow
        return (
            origin + r * out + v * rise * z,
            r * (c * y - s * x),
            grow * out + rise * z,
        )

    return Surface(evaluate, u_turns=True)


def _torus(position: object, major: float, minor: float) -> Surface:
    """A torus; a sphere when the major radius is zero."""
    origin, x, y, z = _frame(position)

    def evaluate(u: Array, v: Array) -> tuple[Array, Array, Array]:
        cu, su, cv, sv = (f[:, None] for f in (np.cos(u), np.sin(u), np.cos(v), np.sin(v)))
        out, r = cu * x + su * y, major + minor * cv
        points = origin + r * out + minor * sv * z
        return points, r * (cu * y - su * x), minor * (cv * z - sv * out)

    return Surface(evaluate, u_turns=True, v_turns=True)


def _revolution(adaptor: BRepAdaptor_Surface) -> Surface:
    """A curve turned about an axis: u is the angle, v the curve's parameter."""
    axis = adaptor.AxeOfRevolution()
    origin, z = _xyz(axis.Location()), _xyz(axis.Direction())
    curve = adaptor.BasisCurve()
    knots: tuple[float, ...] = ()
    if curve.GetType() == GeomAbs_CurveType.GeomAbs_BSplineCurve:
        knots = spans_of_curve(curve.BSpline())
    turns = curve.GetType() in (
        GeomAbs_CurveType.GeomAbs_Circle,
        GeomAbs_CurveType.GeomAbs_Ellipse,
    )

    def along(v: Array) -> tuple[Array, Array]:
        point, tangent = gp_Pnt(), gp_Vec()
        rows = np.empty((len(v), 6))
        for k, parameter in enumerate(v):
            curve.D1(float(parameter), point, tangent)
            rows[k] = (
                point.X(), point.Y(), point.Z(), tangent.X(), tangent.Y(), tangent.Z()
            )  # fmt: skip
        return rows[:, :3] - origin, rows[:, 3:]

    def evaluate(u: Array, v: Array) -> tuple[Array, Array, Array]:
        values, where = np.unique(v, return_inverse=True)
        points, tangents = (rows[where] for rows in along(values))
        c, s = np.cos(u)[:, None], np.sin(u)[:, None]

        def turn(p: Array, cosine: Array, sine: Array, along_z: float) -> Array:
            lift = (p @ z)[:, None] * z
            return np.asarray(cosine * (p - lift) + sine * np.cross(z, p) + along_z * lift)

        return (
            origin + turn(points, c, s, 1.0),
            turn(points, -s, c, 0.0),
            turn(tangents, c, s, 1.0),
        )

    return Surface(evaluate, v_knots=knots, u_turns=True, v_turns=turns)


def _any(adaptor: BRepAdaptor_Surface) -> Surface:
    """Any other surface, a point at a time: right, but slow."""

    def evaluate(u: Array, v: Array) -> tuple[Array, Array, Array]:
        point, du, dv = gp_Pnt(), gp_Vec(), gp_Vec()
        rows = np.empty((len(u), 9))
        for k, (a, b) in enumerate(zip(u, v, strict=True)):
            adaptor.D1(float(a), float(b), point, du, dv)
            rows[k, :3] = point.X(), point.Y(), point.Z()
            rows[k, 3:6] = du.X(), du.Y(), du.Z()
            rows[k, 6:] = dv.X(), dv.Y(), dv.Z()
        return rows[:, :3], rows[:, 3:6], rows[:, 6:]

    return Surface(evaluate, u_turns=True, v_turns=True)


def _nurbs(spline: Geom_BSplineSurface) -> Surface:
    """A B-spline surface, rational or not (Piegl & Tiller, The NURBS Book, ch. 4; from memory)."""
    if spline.IsUPeriodic():
        spline.SetUNotPeriodic()
    if spline.IsVPeriodic():
        spline.SetVNotPeriodic()
    u_knots, v_knots = (_flat_knots(spline, d) for d in "UV")
    p, q = spline.UDegree(), spline.VDegree()
    poles = np.empty((spline.NbUPoles(), spline.NbVPoles(), 4))
    for i in range(poles.shape[0]):
        for j in range(poles.shape[1]):
            weight = spline.Weight(i + 1, j + 1)
            poles[i, j] = (*(_xyz(spline.Pole(i + 1, j + 1)) * weight), weight)

    def evaluate(u: Array, v: Array) -> tuple[Array, Array, Array]:
        i, n, dn = _basis(u_knots, p, u)
        j, m, dm = _basis(v_knots, q, v)
        rows = i[:, None] - p + np.arange(p + 1)
        columns = j[:, None] - q + np.arange(q + 1)
        net = poles[rows[:, :, None], columns[:, None, :]]
        strip = np.einsum("mijk,mj->mik", net, m)
        s = np.einsum("mik,mi->mk", strip, n)
        su = np.einsum("mik,mi->mk", strip, dn)
        sv = np.einsum("mijk,mj,mi->mk", net, dm, n)
        w = s[:, 3:]
        points = s[:, :3] / w
        return (
            points,
            (su[:, :3] - su[:, 3:] * points) / w,
            (sv[:, :3] - sv[:, 3:] * points) / w,
        )

    weights = poles[..., 3]
    return Surface(evaluate, even_spans(u_knots, p, weights), even_spans(v_knots, q, weights.T))


def even_spans(knots: Array, degree: int, weights: Array) -> tuple[float, ...]:
    """The knots of a spline, and even cuts of each span over which its weights fall off steeply.

    A quarter of a circle has the ratio cos 45 degrees, for which the usual Gauss points do; the
    further the weights fall below that, the nearer lies the pole of the rational function.

    Args:
        knots: flat.
        degree: of the spline this way.
        weights: shape (n, m), this way along the first axis.
    """
    found = [float(knots[degree])]
    # a loop that was opened has knots beyond its ends
    inside = np.diff(knots[degree : len(knots) - degree])
    for span in degree + np.flatnonzero(inside > 0.0):
        own = weights[span - degree : span + 1]
        ratio = float((own.min(axis=0) / own.max(axis=0)).min())
        pieces = int(np.clip(np.ceil(np.log(ratio) / np.log(_GENTLE)), 1, _MOST_PIECES))
        found += [float(k) for k in np.linspace(knots[span], knots[span + 1], pieces + 1)[1:]]
    return tuple(found)


def spans_of_curve(spline: Any) -> tuple[float, ...]:
    """The same for a B-spline curve of the kernel, in space or in a face's parameters."""
    if spline.IsPeriodic():
        spline = spline.Copy()
        spline.SetNotPeriodic()
    flat = np.array(
        [
            spline.Knot(k)
            for k in range(1, spline.NbKnots() + 1)
            for _ in range(spline.Multiplicity(k))
        ]
    )
    weights = np.array([spline.Weight(k) for k in range(1, spline.NbPoles() + 1)])
    return even_spans(flat, spline.Degree(), weights[:, None])


def _flat_knots(spline: Geom_BSplineSurface, direction: str) -> Array:
    count = getattr(spline, f"Nb{direction}Knots")()
    return np.array(
        [
            getattr(spline, f"{direction}Knot")(k)
            for k in range(1, count + 1)
            for _ in range(getattr(spline, f"{direction}Multiplicity")(k))
        ]
    )


def _basis(knots: Array, degree: int, x: Array) -> tuple[npt.NDArray[np.int64], Array, Array]:
    """Span indices, shape (n,), and the basis functions and slopes there, (n, degree + 1)."""
    span = np.clip(np.searchsorted(knots, x, side="right") - 1, degree, len(knots) - degree - 2)
    values = np.zeros((len(x), degree + 1))
    values[:, 0] = 1.0
    lower = values[:, :degree].copy()
    for j in range(1, degree + 1):
        if j == degree:
            lower = values[:, :degree].copy()
        saved = np.zeros(len(x))
        for r in range(j):
            right, left = knots[span + r + 1] - x, x - knots[span + 1 - j + r]
            share = values[:, r] / (right + left)
            values[:, r] = saved + right * share
            saved = left * share
        values[:, j] = saved
    slopes = np.zeros((len(x), degree + 1))
    for r in range(degree + 1):
        if r > 0:
            slopes[:, r] += lower[:, r - 1] / (knots[span + r] - knots[span + r - degree])
        if r < degree:
            slopes[:, r] -= lower[:, r] / (knots[span + r + 1] - knots[span + r + 1 - degree])
    return span, values, slopes * degree
