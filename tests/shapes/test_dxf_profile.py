"""Half-sections from DXF drawings against the same steps written by hand; each refusal once."""

from __future__ import annotations

import io
from collections.abc import Callable
from itertools import pairwise
from math import pi
from typing import Any

import ezdxf
import pytest

from shapes.dxf_profile import steps_in
from shapes.errors import ShapeError
from shapes.turned import ArcStep, Turned

Draw = Callable[[Any], object]
POINTS = [(0.0, -50.0), (40.0, -50.0), (40.0, 30.0), (0.0, 55.0)]


def drawing(draw: Draw, unit: int = 4) -> bytes:
    document = ezdxf.new("R2010", units=unit)
    draw(document.modelspace())
    written = io.StringIO()
    document.write(written)
    return written.getvalue().encode()


def lines(space: Any, points: list[tuple[float, float]], **more: Any) -> None:
    for a, b in pairwise(points):
        space.add_line(a, b, dxfattribs=more)


def test_lines_in_any_order_and_sense_make_the_profile() -> None:
    def draw(space: Any) -> None:
        space.add_line(POINTS[3], POINTS[2])
        space.add_line(POINTS[0], POINTS[1])
        space.add_line(POINTS[2], POINTS[1])

    assert steps_in(drawing(draw)) == tuple(POINTS)


def test_a_closed_polyline_drops_its_line_along_the_axis() -> None:
    data = drawing(lambda space: space.add_lwpolyline(POINTS, close=True))
    assert steps_in(data) == tuple(POINTS)
    data = drawing(lambda space: space.add_lwpolyline(POINTS[::-1], close=True))
    assert steps_in(data) == tuple(POINTS)


def test_the_line_along_the_axis_may_be_drawn_in_several() -> None:
    axis = [(0.0, 55.0), (0.0, 20.0), (0.0, -10.0), (0.0, -50.0)]
    for k in range(6):
        closed = [*POINTS, *axis[1:-1]]
        turned = closed[k:] + closed[:k]
        data = drawing(lambda space, p=turned: space.add_lwpolyline(p, close=True))
        assert steps_in(data) == tuple(POINTS)


def test_arcs_and_bulges_are_followed_exactly() -> None:
    """Half a ball of 40 on a cylinder, once by an arc and once by a bulge of tan(90 / 4)."""

    def by_arc(space: Any) -> None:
        lines(space, [(0.0, 0.0), (40.0, 0.0), (40.0, 30.0)])
        space.add_arc((0.0, 30.0), 40.0, 0.0, 90.0)

    bulge = 2.0**0.5 - 1.0
    corners = [(0.0, 0.0, 0.0), (40.0, 0.0, 0.0), (40.0, 30.0, bulge), (0.0, 70.0, 0.0)]
    by_bulge = drawing(lambda space: space.add_lwpolyline(corners, format="xyb"))
    due = pi * 40.0**2 * 30.0 + 2.0 / 3.0 * pi * 40.0**3
    for data in (drawing(by_arc), by_bulge):
        steps = steps_in(data)
        assert isinstance(steps[-1], ArcStep)
        assert Turned(steps).moments().volume_mm3 == pytest.approx(due, rel=1e-12)


def test_old_polylines_are_read_too() -> None:
    data = drawing(lambda space: space.add_polyline2d(POINTS))
    assert steps_in(data) == tuple(POINTS)


@pytest.mark.parametrize(("code", "mm"), [(1, 25.4), (4, 1.0), (5, 10.0), (6, 1000.0)])
def test_the_unit_of_the_drawing_is_honoured(code: int, mm: float) -> None:
    steps = steps_in(drawing(lambda space: lines(space, POINTS), code))
    assert steps[1] == pytest.approx((40.0 * mm, -50.0 * mm))


def test_notes_and_other_layers_are_left_where_one_is_named() -> None:
    def draw(space: Any) -> None:
        lines(space, POINTS, layer="section")
        space.add_text("core", dxfattribs={"layer": "section"})
        space.add_circle((90.0, 0.0), 5.0, dxfattribs={"layer": "frame"})

    data = drawing(draw)
    assert steps_in(data, "section") == tuple(POINTS)
    with pytest.raises(ShapeError, match="several layers; name one of 'frame', 'section'"):
        steps_in(data)
    with pytest.raises(ShapeError, match="no curve lies on layer 'sektion'"):
        steps_in(data, "sektion")


SPLINE = [(40.0, 30.0), (35.0, 40.0), (20.0, 50.0), (0.0, 55.0)]


@pytest.mark.parametrize(
    ("draw", "says"),
    [
        (lambda s: lines(s, [(0, 0), (4, 0), (4, 5)]), "end at (4.0000, 5.0000) mm, not on"),
        (lambda s: (lines(s, POINTS[:2]), lines(s, [(40.0, -49.9), *POINTS[2:]])),
         "lies 0.10000 mm away"),
        (lambda s: (lines(s, POINTS), s.add_line((40.0, 30.0), (60.0, 30.0))), "more than two"),
        (lambda s: lines(s, [(0, 0), (-4, 0), (-4, 5), (0, 5)]), "far side of the axis"),
        (lambda s: (lines(s, POINTS[:3]), s.add_spline(SPLINE)), "SPLINE"),
        (lambda s: s.add_circle((50, 0), 10), "CIRCLE"),
        (lambda s: s.add_lwpolyline([(20, 0), (30, 0), (30, 9)], close=True), "it is a ring"),
        (lambda s: s.add_text("only text"), "holds no curve"),
        (lambda s: s.add_line((0, 0, 3), (4, 0, 3)), "leaves the drawing's plane"),
        (lambda s: s.add_line((4, 0), (4, 0)), "begins where it ends"),
    ],
)  # fmt: skip
def test_what_cannot_be_followed_is_refused_with_its_place(draw: Draw, says: str) -> None:
    with pytest.raises(ShapeError) as told:
        steps_in(drawing(draw))
    assert says in str(told.value)


@pytest.mark.parametrize("code", [2, 13])
def test_a_drawing_in_feet_or_microns_is_not_read_as_something_else(code: int) -> None:
    data = drawing(lambda space: lines(space, POINTS), code)
    with pytest.raises(ShapeError, match=f"unit number {code}") as told:
        steps_in(data, unit="mm")
    assert told.value.field == "unit"


def test_a_drawing_without_a_unit_needs_one_and_may_not_be_contradicted() -> None:
    unitless = drawing(lambda space: lines(space, POINTS), 0)
    with pytest.raises(ShapeError, match="does not say its unit"):
        steps_in(unitless)
    assert steps_in(unitless, unit="in")[1] == pytest.approx((40.0 * 25.4, -50.0 * 25.4))
    with pytest.raises(ShapeError, match="is in mm, not in") as told:
        steps_in(drawing(lambda space: lines(space, POINTS)), unit="in")
    assert told.value.field == "unit"


@pytest.mark.parametrize("data", [b"", b"no drawing", b"0\nSECTION\n2\nENTITIES\n0\nLINE\n"])
def test_what_is_no_drawing_is_told(data: bytes) -> None:
    with pytest.raises(ShapeError):
        steps_in(data)
