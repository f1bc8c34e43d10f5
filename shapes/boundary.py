"""Moments of any solid from its boundary: contour integrals along the edges of its faces.

For a homogeneous function f of degree d the divergence theorem gives

    int_V f dV = 1 / (3 + d)  o_S f (x . n) dS

and on each face, in its parameters (u, v) with N = S_u x S_v, Green's theorem turns the area
integral into one along the edges' own parameter curves:

    int g du dv = o ( int_{u0}^{u} g du' ) dv,     g = f (S . N)

Gauss points go on every span between knots, so the surface is integrated as the kernel defines it,
with no triangles in between.  The kernel's own mass properties are off by up to 0.016 in of radius
of gyration on spline faces; these agree with closed forms to 1.5e-8 in (see docs/accuracy.md).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import ceil, pi
from typing import TYPE_CHECKING

import numpy as np
from OCP.BRepAdaptor import BRepAdaptor_Curve2d
from OCP.BRepTools import BRepTools
from OCP.Geom2d import Geom2d_BSplineCurve
from OCP.GeomAbs import GeomAbs_CurveType
from OCP.gp import gp_Pnt2d, gp_Vec2d
from OCP.TopAbs import TopAbs_Orientation, TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Face, TopoDS_Shape

from shapes.moments import Array, Moments
from shapes.quadrature import gauss
from shapes.surfaces import Surface, spans_of_curve, surface_of
from shapes.triples import cross, length

if TYPE_CHECKING:
    import cadquery as cq

ORDER = 10  # Gauss points a span: rational faces need more than the 8 that polynomials do
_TURN = pi / 2.0  # longest span of an angle
_SCANNED = 4  # parts of a curve's span that are looked into for where it passes a break


Density = Callable[[Array, Array, Array], Array]


def moments_of_solid(solid: cq.Solid, order: int = ORDER) -> Moments:
    """Moments about the origin of the frame that the solid stands in; negative if inside out."""
    totals = np.zeros(13)
    for face in faces_of(solid.wrapped):
        totals += _face(face, order)
    second = totals[4:].reshape(3, 3) / 5.0
    return Moments(float(totals[0] / 3.0), totals[1:4] / 4.0, (second + second.T) / 2.0)


def moments_of_lumps(lumps: Sequence[cq.Solid], order: int = ORDER) -> Moments:
    """Moments of a body in several lumps, or in none."""
    total = Moments.zero()
    for lump in lumps:
        total = total + moments_of_solid(lump, order)
    return total


def _face(face: TopoDS_Face, order: int) -> Array:
    """Shape (13,): boundary integrals of 1, x, y, z and the nine x_i x_j over one face."""
    sign = -1.0 if face.Orientation() == TopAbs_Orientation.TopAbs_REVERSED else 1.0
    return sign * _integrated(face, order, _flux)


def area_of_solid(solid: cq.Solid, order: int = ORDER) -> float:
    """Area of a solid's whole surface, mm2."""
    return sum(area_of_face(face, order)[0] for face in faces_of(solid.wrapped))


def area_of_face(face: TopoDS_Face, order: int = ORDER) -> tuple[float, Array]:
    """The area of a face, mm2, and its centre, shape (3,), mm."""
    total = _integrated(face, order, _stretch)
    return float(total[0]), total[1:4] / total[0]


def _integrated(face: TopoDS_Face, order: int, density: Density) -> Array:
    """Shape (13,): integrals over a face's u and v of a density times 1, x_i and x_i x_j."""
    surface = surface_of(face)
    forward = TopoDS.Face_s(face.Oriented(TopAbs_Orientation.TopAbs_FORWARD))
    u0, u1, v0, v1 = BRepTools.UVBounds_s(forward)
    u_breaks = _breaks(u0, u1, surface.u_knots, surface.u_turns)
    v_breaks = _breaks(v0, v1, surface.v_knots, surface.v_turns)
    pieces = [
        _edge_nodes(edge, forward, u_breaks[1:-1], v_breaks[1:-1], order)
        for edge in edges_of(forward)
    ]
    u, v, weight = (np.concatenate(column) for column in zip(*pieces, strict=True))
    return _inner(surface, u_breaks, u, v, weight, order, density)


def _flux(points: Array, su: Array, sv: Array) -> Array:
    """S . N, for volumes."""
    return np.asarray(np.einsum("ij,ij->i", points, cross(su, sv)))


def _stretch(_points: Array, su: Array, sv: Array) -> Array:
    """|N|, for areas."""
    return length(cross(su, sv))


def _inner(
    surface: Surface,
    u_breaks: Array,
    u: Array,
    v: Array,
    weight: Array,
    order: int,
    density: Density,
) -> Array:
    """The inner integrals, from the face's left edge to each boundary node, span by span."""
    x, w = gauss(order)
    low, high = u_breaks[:-1].copy(), u_breaks[1:].copy()
    low[0], high[-1] = (
        -np.inf,
        np.inf,
    )  # a boundary may stray past its face's box by rounding
    along = np.clip(u[:, None], low, high) - u_breaks[:-1]
    node, span = np.nonzero(along)
    size = along[node, span]
    at_u = (u_breaks[span][:, None] + size[:, None] * x).ravel()
    at_v = np.repeat(v[node], order)
    total = ((weight[node] * size)[:, None] * w).ravel()
    # along an edge that runs along u nothing is added; it keeps its place in the sums
    (live,) = np.nonzero(total)
    points, flux = np.zeros((len(total), 3)), np.zeros(len(total))
    points[live], su, sv = surface.evaluate(at_u[live], at_v[live])
    flux[live] = total[live] * density(points[live], su, sv)
    carried = points * flux[:, None]
    return np.concatenate([[flux.sum()], carried.sum(axis=0), (carried.T @ points).ravel()])


def _edge_nodes(
    edge: TopoDS_Edge, face: TopoDS_Face, u_breaks: Array, v_breaks: Array, order: int
) -> tuple[Array, Array, Array]:
    """Nodes along an edge's parameter curve on the face: u, v and weight dv."""
    curve = BRepAdaptor_Curve2d(edge, face)
    first, last = curve.FirstParameter(), curve.LastParameter()
    straight = curve.GetType() == GeomAbs_CurveType.GeomAbs_Line
    cuts = _cuts(curve, first, last, straight, u_breaks, v_breaks)
    x, w = gauss(order)
    starts, sizes = cuts[:-1], np.diff(cuts)
    t = (starts[:, None] + sizes[:, None] * x).ravel()
    weight = (sizes[:, None] * w).ravel()
    u, v, dv = walk(curve, t, straight)
    sense = 1.0 if edge.Orientation() == TopAbs_Orientation.TopAbs_FORWARD else -1.0
    return u, v, sense * weight * dv


def walk(curve: BRepAdaptor_Curve2d, t: Array, straight: bool) -> tuple[Array, Array, Array]:
    """u, v and dv/dt of a parameter curve."""
    if straight:
        line = curve.Line()
        base, way = line.Location(), line.Direction()
        u, v = base.X() + t * way.X(), base.Y() + t * way.Y()
        return u, v, np.full_like(t, way.Y())
    point, tangent = gp_Pnt2d(), gp_Vec2d()
    rows = []
    for parameter in t.tolist():
        curve.D1(parameter, point, tangent)
        rows.append((point.X(), point.Y(), tangent.Y()))
    u, v, dv = np.array(rows).T
    return u, v, dv


def _cuts(
    curve: BRepAdaptor_Curve2d,
    first: float,
    last: float,
    straight: bool,
    u_breaks: Array,
    v_breaks: Array,
) -> Array:
    """Where to cut an edge: its own knots, and where it passes a break of the surface."""
    if straight:
        line = curve.Line()
        base, way = line.Location(), line.Direction()
        cuts = [first, last]
        for breaks, start, slope in (
            (u_breaks, base.X(), way.X()),
            (v_breaks, base.Y(), way.Y()),
        ):
            if abs(slope) > 1e-14:
                cuts.extend((breaks - start) / slope)
        return _ordered(cuts, first, last)
    if curve.GetType() == GeomAbs_CurveType.GeomAbs_BSplineCurve:
        own = _knots(curve.BSpline())
    else:
        own = list(np.linspace(first, last, max(5, ceil((last - first) / (pi / 4.0)) + 1)))
    cuts = list(_ordered([first, last, *own], first, last))
    if len(u_breaks) or len(v_breaks):
        steps = np.diff(cuts)[:, None] / _SCANNED * np.arange(_SCANNED)
        scan = np.append((np.array(cuts[:-1])[:, None] + steps).ravel(), last)
        u, v, _ = walk(curve, scan, False)
        for breaks, values, axis in ((u_breaks, u, 0), (v_breaks, v, 1)):
            for level in breaks:
                gap = values - level
                for k in np.nonzero(gap[:-1] * gap[1:] < 0.0)[0]:
                    cuts.append(_crossing(curve, float(scan[k]), float(scan[k + 1]), level, axis))
    return _ordered(cuts, first, last)


def _knots(spline: Geom2d_BSplineCurve) -> list[float]:
    """The knots of a spline, and cuts of its spans where its weights are uneven."""
    if spline.IsRational():
        return list(spans_of_curve(spline))
    return [spline.Knot(k) for k in range(1, spline.NbKnots() + 1)]


def _crossing(
    curve: BRepAdaptor_Curve2d, low: float, high: float, level: float, axis: int
) -> float:
    """Where a parameter curve passes a level of u (axis 0) or v (axis 1), by halving."""
    point, tangent = gp_Pnt2d(), gp_Vec2d()

    def below(t: float) -> bool:
        curve.D1(t, point, tangent)
        return bool((point.Y() if axis else point.X()) < level)

    sign = below(low)
    for _ in range(45):
        middle = (low + high) / 2.0
        if below(middle) == sign:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


def _ordered(cuts: list[float], first: float, last: float) -> Array:
    inside = sorted({float(t) for t in cuts if first < t < last})
    return np.array([first, *inside, last])


def _breaks(low: float, high: float, knots: tuple[float, ...], turns: bool) -> Array:
    """The ends of a parameter range with the knots inside it, or even cuts of an angle."""
    if knots:
        inside = [k for k in knots if low + 1e-12 < k < high - 1e-12]
        return np.array([low, *inside, high])
    pieces = max(1, ceil((high - low) / _TURN - 1e-9)) if turns else 1
    return np.linspace(low, high, pieces + 1)


def faces_of(shape: TopoDS_Shape) -> list[TopoDS_Face]:
    """Every face of a shape, oriented as the shape has it."""
    explorer = TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_FACE)
    found = []
    while explorer.More():
        found.append(TopoDS.Face_s(explorer.Current()))
        explorer.Next()
    return found


def edges_of(face: TopoDS_Face) -> list[TopoDS_Edge]:
    """The edges that bound the face; edges drawn inside it do not."""
    explorer = TopExp_Explorer(face, TopAbs_ShapeEnum.TopAbs_EDGE)
    found = []
    while explorer.More():
        edge = TopoDS.Edge_s(explorer.Current())
        if edge.Orientation() in (
            TopAbs_Orientation.TopAbs_FORWARD,
            TopAbs_Orientation.TopAbs_REVERSED,
        ):
            found.append(edge)
        explorer.Next()
    return found
