"""The only door to the CAD kernel: build a solid, cut one from another, and the least gate.

Booleans here never touch their operands and never merge faces afterwards: a merge has been seen to
leave holes in valid solids.  Spheres stand with their poles turned away from the ball's axes, since
a cut whose wall passes close to a pole can be lost without any error.  Every solid that leaves this
file is one closed valid solid of positive volume.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, pi, sin
from typing import Literal

import numpy as np

try:
    import cadquery as cq
    from OCP.BOPAlgo import BOPAlgo_BOP, BOPAlgo_Operation, BOPAlgo_PaveFiller
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Common, BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse
    from OCP.BRepBuilderAPI import (
        BRepBuilderAPI_Copy,
        BRepBuilderAPI_GTransform,
        BRepBuilderAPI_MakeEdge,
        BRepBuilderAPI_MakeFace,
        BRepBuilderAPI_MakeWire,
        BRepBuilderAPI_Transform,
    )
    from OCP.BRepPrimAPI import (
        BRepPrimAPI_MakeCylinder,
        BRepPrimAPI_MakePrism,
        BRepPrimAPI_MakeRevol,
        BRepPrimAPI_MakeSphere,
    )
    from OCP.BRepTools import BRepTools
    from OCP.Geom import Geom_BezierCurve
    from OCP.gp import (
        gp_Ax1,
        gp_Ax2,
        gp_Circ,
        gp_Dir,
        gp_Elips,
        gp_GTrsf,
        gp_Mat,
        gp_Pnt,
        gp_Trsf,
        gp_Vec,
        gp_XYZ,
    )
    from OCP.TColgp import TColgp_Array1OfPnt
    from OCP.TopAbs import TopAbs_ShapeEnum
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopoDS import TopoDS_Edge, TopoDS_Shape
    from OCP.TopTools import TopTools_ListOfShape
except ImportError as error:  # the wheel is there but a system library that it links is not
    from shapes.errors import KernelMissing

    raise KernelMissing(str(error)) from error

from shapes.curves import Arc, Bezier, Curve, Line
from shapes.errors import SolidError
from shapes.moments import Array
from shapes.placement import Placement
from shapes.profile import Profile

_SOLID, _SHELL = TopAbs_ShapeEnum.TopAbs_SOLID, TopAbs_ShapeEnum.TopAbs_SHELL

# a direction that no axis, plane of symmetry or usual drilling angle runs along
_POLE = gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(0.4387, -0.6174, 0.6531), gp_Dir(0.7, 0.2, -0.3))


def sphere(radius: float) -> cq.Solid:
    """A ball about the origin."""
    return gate(BRepPrimAPI_MakeSphere(_POLE, radius).Shape(), "a sphere")


def ellipsoid(a: float, b: float, c: float) -> cq.Solid:
    """A unit ball stretched to the three semi-axes: an exact rational surface."""
    return stretched(np.diag([a, b, c]), (0.0, 0.0, 0.0))


def stretched(matrix: Array, centre: tuple[float, float, float]) -> cq.Solid:
    """A unit ball under a matrix, shape (3, 3), then moved: an exact rational surface."""
    stretch = gp_GTrsf()
    stretch.SetVectorialPart(gp_Mat(*(float(x) for x in matrix.ravel())))
    stretch.SetTranslationPart(gp_XYZ(*centre))
    unit = BRepPrimAPI_MakeSphere(_POLE, 1.0).Shape()
    return gate(BRepBuilderAPI_GTransform(unit, stretch, True).Shape(), "an ellipsoid")


def box(size: tuple[float, float, float], radius: float) -> cq.Solid:
    """A block about the origin, all edges rounded when the radius is not zero."""
    block = cq.Solid.makeBox(*size, pnt=cq.Vector(*(-s / 2.0 for s in size)))
    if radius > 0.0:
        block = block.fillet(radius, block.Edges())
    return gate(block.wrapped, "a box")


def turned(section: Profile) -> cq.Solid:
    """A half-section turned a whole turn about Z, one face a curve."""
    edges = [_edge(_kept_leaning(curve)) for curve in section.curves]
    bottom, top = section.curves[0].start, section.curves[-1].end
    wire = BRepBuilderAPI_MakeWire()
    for edge in edges:
        wire.Add(edge)
    if not section.is_ring:
        wire.Add(BRepBuilderAPI_MakeEdge(_at(0.0, top[1]), _at(0.0, bottom[1])).Edge())
    if not wire.IsDone():
        raise SolidError("the kernel could not chain the half-section")
    face = BRepBuilderAPI_MakeFace(wire.Wire(), True).Face()
    axis = gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1))
    return gate(BRepPrimAPI_MakeRevol(face, axis).Shape(), "a turned body")


def _kept_leaning(curve: Curve) -> Curve:
    """A side that leans by less than 1e-4 as a polynomial: as a line it would turn a cylinder."""
    if isinstance(curve, Line):
        (r, z), (s, w) = curve.start, curve.end
        if 0.0 < abs(s - r) < 2e-4 * abs(w - z):
            return Bezier((curve.start, curve.end))
    return curve


def prism(outline: Sequence[Curve], thickness: float) -> cq.Solid:
    """A closed outline in the x-z plane, as thick along Y as asked, half of it on either side."""
    wire = BRepBuilderAPI_MakeWire()
    for curve in outline:
        wire.Add(_edge(curve))
    if not wire.IsDone():
        raise SolidError("the kernel could not chain the outline")
    face = cq.Face(BRepBuilderAPI_MakeFace(wire.Wire(), True).Face())
    front = face.moved(cq.Location(cq.Vector(0.0, -thickness / 2.0, 0.0)))
    return gate(
        BRepPrimAPI_MakePrism(front.wrapped, gp_Vec(0.0, thickness, 0.0)).Shape(), "a block"
    )


def rod(radius: float, length: float) -> cq.Solid:
    """A cylinder along Z about the origin, its seam away from the ball's axes."""
    frame = gp_Ax2(gp_Pnt(0, 0, -length / 2.0), gp_Dir(0, 0, 1), gp_Dir(0.83, 0.56, 0))
    return gate(BRepPrimAPI_MakeCylinder(frame, radius, length).Shape(), "a cylinder")


def round_about(solid: cq.Solid, apart: float, count: int) -> list[cq.Solid]:
    """Copies of a solid moved out along X, evenly round Z from X on."""
    moved = solid.moved(cq.Location(cq.Vector(apart, 0.0, 0.0)))
    turns = [cq.Location((0, 0, 0), (0, 0, 1), 360.0 * k / count) for k in range(count)]
    return [moved.moved(turn) for turn in turns]


def single(lumps: Sequence[cq.Solid], what: str) -> cq.Solid:
    """The one solid that is due; raises `SolidError` when there are none or several."""
    if len(lumps) != 1:
        raise SolidError(f"{what} came out of the kernel as {len(lumps)} solids")
    return lumps[0]


def placed(solid: cq.Solid, placement: Placement) -> cq.Solid:
    """The solid where the placement puts it."""
    move = cq.Location(_transform(placement))
    return cq.Solid(BRepBuilderAPI_Copy(solid.wrapped).Shape()).moved(move)


def taken_back(solid: cq.Solid, placement: Placement) -> cq.Solid:
    """A solid of the ball's frame in the frame of a shape with that placement."""
    back = _transform(placement).Inverted()
    return gate(BRepBuilderAPI_Transform(solid.wrapped, back, True).Shape(), "a part as drawn")


def turned_by(solid: cq.Solid, axes: Array) -> cq.Solid:
    """The solid in a frame with the same origin whose axes are the rows, shape (3, 3)."""
    turn = gp_Trsf()
    turn.SetValues(*(float(x) for row in axes for x in (*row, 0.0)))
    return gate(BRepBuilderAPI_Transform(solid.wrapped, turn, True).Shape(), "a turned solid")


def _transform(placement: Placement) -> gp_Trsf:
    rotation, move = placement.rotation(), placement.offset()
    transform = gp_Trsf()
    transform.SetValues(
        *(float(x) for row, shift in zip(rotation, move, strict=True) for x in (*row, shift))
    )
    return transform


def flipped(solid: cq.Solid) -> cq.Solid:
    """The solid's image in the plane y = 0."""
    mirror = gp_Trsf()
    mirror.SetMirror(gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(0, 1, 0)))
    return gate(BRepBuilderAPI_Transform(solid.wrapped, mirror, True).Shape(), "a mirror image")


def cut(solid: cq.Solid, tools: Sequence[cq.Solid]) -> list[cq.Solid]:
    """What is left of a solid outside the tools: no, one or several solids."""
    return _boolean(BRepAlgoAPI_Cut(), solid, tools)


def common(solid: cq.Solid, tools: Sequence[cq.Solid]) -> list[cq.Solid]:
    """What a solid shares with the tools taken together."""
    return _boolean(BRepAlgoAPI_Common(), solid, tools)


def fuse(solids: Sequence[cq.Solid]) -> list[cq.Solid]:
    """Solids taken together: one solid, or several where some lie apart."""
    return _boolean(BRepAlgoAPI_Fuse(), solids[0], solids[1:])


def meeting(
    solids: Sequence[cq.Solid], others: Sequence[cq.Solid], way: Literal["fuse", "cut"]
) -> tuple[list[cq.Solid], list[cq.Solid]]:
    """Solids and others fused, or the solids cut by the others; and what the two groups share.

    Both from one search for where their faces meet, which is what takes the time.
    """
    first, second = ([BRepBuilderAPI_Copy(s.wrapped).Shape() for s in g] for g in (solids, others))
    together = TopTools_ListOfShape()
    for shape in (*first, *second):
        together.Append(shape)
    filler = BOPAlgo_PaveFiller()
    filler.SetArguments(together)
    filler.SetNonDestructive(True)
    filler.Perform()
    found = []
    for operation in (
        BOPAlgo_Operation.BOPAlgo_FUSE if way == "fuse" else BOPAlgo_Operation.BOPAlgo_CUT,
        BOPAlgo_Operation.BOPAlgo_COMMON,
    ):
        builder = BOPAlgo_BOP()
        builder.SetNonDestructive(True)
        builder.SetOperation(operation)
        for shape in first:
            builder.AddArgument(shape)
        for shape in second:
            builder.AddTool(shape)
        builder.PerformWithFiller(filler)
        if filler.HasErrors() or builder.HasErrors():
            raise SolidError("the kernel could not find where two bodies meet")
        found.append([gate(part, "a cut") for part in _all(builder.Shape(), _SOLID)])
    return found[0], found[1]


def _boolean(
    operation: BRepAlgoAPI_Cut | BRepAlgoAPI_Common | BRepAlgoAPI_Fuse,
    solid: cq.Solid,
    tools: Sequence[cq.Solid],
) -> list[cq.Solid]:
    arguments, others = TopTools_ListOfShape(), TopTools_ListOfShape()
    arguments.Append(BRepBuilderAPI_Copy(solid.wrapped).Shape())
    for tool in tools:
        others.Append(BRepBuilderAPI_Copy(tool.wrapped).Shape())
    operation.SetArguments(arguments)
    operation.SetTools(others)
    operation.SetNonDestructive(True)
    operation.Build()
    if not operation.IsDone():
        raise SolidError("the kernel could not finish a cut")
    return [gate(part, "a cut") for part in _all(operation.Shape(), _SOLID)]


def _all(shape: TopoDS_Shape, kind: TopAbs_ShapeEnum) -> list[TopoDS_Shape]:
    """All that a shape has of a kind; through the kernel's maps it takes a hundred times longer."""
    explorer = TopExp_Explorer(shape, kind)
    found = []
    while explorer.More():
        found.append(explorer.Current())
        explorer.Next()
    return found


def gate(shape: TopoDS_Shape, what: str) -> cq.Solid:
    """The least that every solid must be: one solid, valid, closed, not inside out.

    Raises:
        SolidError: saying which of these it is not.
    """
    solids = _all(shape, _SOLID)
    if len(solids) != 1:
        raise SolidError(f"{what} came out of the kernel as {len(solids)} solids")
    solid = cq.Solid(solids[0])
    if not solid.isValid():
        raise SolidError(f"{what} came out of the kernel as an invalid solid")
    if any(not shell.Closed() for shell in _all(solid.wrapped, _SHELL)):
        raise SolidError(f"{what} came out of the kernel with an open shell")
    from shapes.boundary import moments_of_solid

    volume = moments_of_solid(solid).volume_mm3
    if not volume > 0.0:  # nor no number at all
        raise SolidError(f"{what} came out of the kernel inside out ({volume:g} mm3)")
    return solid


def fresh(solid: cq.Solid) -> TopoDS_Shape:
    """A copy without any mesh on it: the kernel keeps the first mesh and hands it out again."""
    copy = BRepBuilderAPI_Copy(solid.wrapped, True, False).Shape()
    BRepTools.Clean_s(copy)
    return copy


def _edge(curve: Curve) -> TopoDS_Edge:
    """An edge in the plane y = 0."""
    if isinstance(curve, Line):
        return BRepBuilderAPI_MakeEdge(_at(*curve.start), _at(*curve.end)).Edge()
    if isinstance(curve, Bezier):
        poles = TColgp_Array1OfPnt(1, len(curve.poles))
        for k, pole in enumerate(curve.poles):
            poles.SetValue(k + 1, _at(*pole))
        return BRepBuilderAPI_MakeEdge(Geom_BezierCurve(poles)).Edge()
    return _arc_edge(curve)


def _arc_edge(arc: Arc) -> TopoDS_Edge:
    """A circle or ellipse in y = 0, turned so that its own parameter grows along the arc."""
    (r, z), (a, b) = arc.centre, arc.semi
    way = 1.0 if arc.sweep_rad > 0.0 else -1.0
    # -Y as normal makes +X to +Z the positive sense; +Y makes it the negative one
    normal = gp_Dir(0, -way, 0)
    first = arc.from_rad * way
    if a == b:
        frame = gp_Ax2(_at(r, z), normal, gp_Dir(1, 0, 0))
        circle = gp_Circ(frame, a)
        start, end = _on_axis(arc, 0.0), _on_axis(arc, 1.0)
        return BRepBuilderAPI_MakeEdge(circle, start, end).Edge()
    if a > b:
        frame = gp_Ax2(_at(r, z), normal, gp_Dir(1, 0, 0))
        ellipse = gp_Elips(frame, a, b)
    else:  # the kernel wants the longer semi-axis first: it lies along Z, a quarter turn on
        frame = gp_Ax2(_at(r, z), normal, gp_Dir(0, 0, way))
        ellipse = gp_Elips(frame, b, a)
        first -= pi / 2.0
    return BRepBuilderAPI_MakeEdge(ellipse, first, first + abs(arc.sweep_rad)).Edge()


def _on_axis(arc: Arc, t: float) -> gp_Pnt:
    angle = arc.from_rad + arc.sweep_rad * t
    r = arc.centre[0] + arc.semi[0] * cos(angle)
    return _at(0.0 if abs(r) < 1e-9 else r, arc.centre[1] + arc.semi[1] * sin(angle))


def _at(r: float, z: float) -> gp_Pnt:
    return gp_Pnt(r, 0.0, z)
