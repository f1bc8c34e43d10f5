"""Lines and marks on a drilled ball: where each must run, held by dot products."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from pipeline.drilled import Drilled
from pipeline.surface_lines import (
    SurfaceLine,
    grip_lines,
    marks,
    rg_lines,
    rims,
    ring_lines,
)
from shapes.moments import Array
from tests.pipeline.drilled_text import (
    GRIP,
    HOLE,
    MARKED,
    PLAIN,
    RADIUS,
    ROUND,
    UNEVEN,
    drilled,
    holes,
    swapped,
)

THUMB_AND_FINGER = holes(
    HOLE, "name: f, use: finger, at: {arc: 2.5, azimuth: 30}, diameter: 0.8, depth: 2"
)
BALLS = {
    "right": (GRIP, ROUND),
    "left": (swapped(GRIP, ("hand: right", "hand: left")), ROUND),
    "marked": (MARKED, UNEVEN),
    "uniform": (GRIP, PLAIN),
    "raw": (THUMB_AND_FINGER, ROUND),
    "one hole": (holes(HOLE), ROUND),
    "slanted": (
        holes(swapped(HOLE, ("depth: 2.5", "depth: 2.5, towards: [2.5, 1.5, 1]"))),
        ROUND,
    ),
    "on the pin": (
        holes("name: t, use: thumb, at: {arc: 0, azimuth: 0}, diameter: 1, depth: 2.5"),
        "shape: ellipsoid, size: [2.6, 2.6, 5.4]",
    ),
}
GRIPPED = ["right", "left", "marked", "uniform"]


@cache
def made(name: str) -> Drilled:
    return drilled(*BALLS[name])


def line(lines: list[SurfaceLine], name: str) -> Array:
    """The points of the one line of that name."""
    (found,) = (one for one in lines if one.name == name)
    return np.concatenate(found.curves)


def frame(name: str) -> Array:
    found = made(name).laid.frame
    assert found is not None
    return found


def axis_point(name: str) -> Array:
    found = made(name).laid.axis_point
    assert found is not None
    return found


def nearest_mm(points: Array, place: Array) -> float:
    """From a place to the nearest of them."""
    return float(np.linalg.norm(points - place, axis=1).min())


@pytest.mark.parametrize("name", [*BALLS])
def test_all_lines_and_marks_lie_on_the_surface(name: str) -> None:
    found = made(name)
    points = [c for one in (*grip_lines(found), *rg_lines(found), *ring_lines(found))
              for c in one.curves]  # fmt: skip
    points += [mark.at_mm[None] for mark in marks(found)]
    assert np.linalg.norm(np.concatenate(points), axis=1) == pytest.approx(RADIUS, abs=1e-6)


@pytest.mark.parametrize("name", [*GRIPPED, "raw"])
@pytest.mark.parametrize("which", ["centreline", "midline"])
def test_centreline_and_midline_cross_in_the_grip_centre(name: str, which: str) -> None:
    points = line(grip_lines(made(name)), which)
    assert nearest_mm(points, RADIUS * frame(name)[:, 0]) < 1e-9


@pytest.mark.parametrize("name", [*GRIPPED, "raw"])
def test_centreline_and_midline_are_great_circles_square_to_each_other(name: str) -> None:
    _, right, up = frame(name).T
    lines = grip_lines(made(name))
    off = [line(lines, "centreline") @ right, line(lines, "midline") @ up]
    assert np.concatenate(off) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("name", ["right", "left", "marked"])
def test_the_centreline_runs_through_the_thumb_hole(name: str) -> None:
    (thumb,) = (h for h in made(name).holes if h.use == "thumb")
    assert frame(name)[:, 1] @ thumb.entry_mm == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("name", GRIPPED)
def test_the_vertical_axis_line_passes_the_axis_point(name: str) -> None:
    points = line(grip_lines(made(name)), "vertical axis line")
    assert nearest_mm(points, RADIUS * axis_point(name)) < 1e-9


@pytest.mark.parametrize("name", GRIPPED)
@pytest.mark.parametrize("pole", [1.0, -1.0])
def test_the_vertical_axis_line_passes_the_poles_of_the_midline(name: str, pole: float) -> None:
    """So it is square to the midline; its points are 1.5 degrees apart."""
    points = line(grip_lines(made(name)), "vertical axis line")
    assert nearest_mm(points, pole * RADIUS * frame(name)[:, 2]) < RADIUS * np.radians(0.76)


@pytest.mark.parametrize("name", GRIPPED)
def test_the_vertical_axis_line_is_a_great_circle(name: str) -> None:
    points = line(grip_lines(made(name)), "vertical axis line")
    square = np.cross(axis_point(name), frame(name)[:, 2])
    assert points @ square == pytest.approx(0.0, abs=1e-9)


def test_a_grip_without_an_axis_point_has_no_vertical_axis_line() -> None:
    assert [one.name for one in grip_lines(made("raw"))] == ["centreline", "midline"]


def test_a_ball_without_a_grip_has_no_grip_lines() -> None:
    assert grip_lines(made("one hole")) == []


@pytest.mark.parametrize("name", ["right", "marked", "slanted"])
def test_a_rim_lies_on_the_sphere(name: str) -> None:
    for hole, rim in rims(made(name)):
        assert np.linalg.norm(rim, axis=1) == pytest.approx(RADIUS, abs=1e-9), hole.name


@pytest.mark.parametrize("name", ["right", "marked", "slanted"])
def test_a_rim_lies_on_the_wall_of_its_bore(name: str) -> None:
    for hole, rim in rims(made(name)):
        off = np.linalg.norm(np.cross(rim - hole.entry_mm, hole.way), axis=1)
        assert off == pytest.approx(hole.drill.diameter_mm / 2.0, abs=1e-9), hole.name


@pytest.mark.parametrize("name", ["right", "slanted"])
def test_a_rim_is_closed_and_on_the_side_where_the_hole_begins(name: str) -> None:
    for hole, rim in rims(made(name)):
        assert rim[0] == pytest.approx(rim[-1], abs=1e-9)
        assert (rim @ hole.entry_mm).min() > 0.0


def test_every_hole_has_its_rim() -> None:
    found = made("right")
    assert [hole.name for hole, _ in rims(found)] == [hole.name for hole in found.holes]


@pytest.mark.parametrize("name", ["right", "marked", "uniform", "one hole"])
def test_along_a_line_of_equal_rg_the_rg_is_equal(name: str) -> None:
    """n.I n is held to 1e-9 of it: RGs nearer than 1e-5 in are taken for one."""
    properties = made(name).properties
    curves = [c for one in rg_lines(made(name)) for c in one.curves]
    assert curves
    for curve in curves:
        n = curve / RADIUS
        square = np.einsum("ni,ij,nj->n", n, properties.inertia_g_mm2, n)
        rg = np.sqrt(square / properties.mass_g) / 25.4
        assert np.ptp(rg) < 2e-5


@pytest.mark.parametrize("name", ["right", "left", "marked"])
def test_one_line_has_the_rg_of_the_axis_point(name: str) -> None:
    points = line(rg_lines(made(name)), "RG of the axis point")
    assert nearest_mm(points, RADIUS * axis_point(name)) < 1e-6


def test_lines_of_equal_rg_are_named_once() -> None:
    names = [one.name for one in rg_lines(made("right")) if one.name]
    assert names == ["lines of equal RG", "RG of the axis point"]


def test_lines_of_equal_rg_have_rgs_of_their_own() -> None:
    properties = made("marked").properties
    firsts = [one.curves[0][0] / RADIUS for one in rg_lines(made("marked")) if not one.dashed]
    squares = [float(n @ properties.inertia_g_mm2 @ n) for n in firsts]
    assert squares == sorted(squares)
    assert squares[-1] - squares[0] > 0.5 * (
        np.linalg.eigvalsh(properties.inertia_g_mm2)[-1] - squares[0]
    )


def test_a_ball_without_an_axis_point_has_no_track_rings() -> None:
    assert ring_lines(made("one hole")) == []


def test_the_way_of_the_axis_begins_at_the_axis_point() -> None:
    points = line(ring_lines(made("right")), "way of the axis")
    assert points[0] == pytest.approx(RADIUS * axis_point("right"), abs=1e-9)


def test_the_first_track_ring_is_round_the_axis_point() -> None:
    (found,) = (one for one in ring_lines(made("right")) if one.name == "track rings")
    arc = np.arccos(found.curves[0] @ axis_point("right") / RADIUS)
    assert np.degrees(arc) == pytest.approx(105.0)


@pytest.mark.parametrize(
    ("name", "due"),
    [
        ("right", ["pin", "low-RG axis, drilled", "PSA, drilled", "axis point", "grip centre"]),
        ("marked", ["pin", "high-RG mark", "low-RG axis, drilled", "PSA, drilled", "axis point",
                    "grip centre"]),
        ("one hole", ["pin", "low-RG axis, drilled", "PSA, drilled"]),
        ("on the pin", ["pin", "low-RG axis, drilled"]),
    ],
)  # fmt: skip
def test_a_ball_has_the_marks_that_there_are(name: str, due: list[str]) -> None:
    assert [mark.name for mark in marks(made(name)) if mark.name != "CG mark"] == due


def test_the_cg_mark_is_where_the_ball_was_heaviest() -> None:
    core = "shape: sphere, diameter: 2, move: [1.5, 0, 0]"
    (found,) = (m for m in marks(drilled(holes(HOLE), core)) if m.kind == "cg")
    assert found.at_mm == pytest.approx((RADIUS, 0.0, 0.0), abs=1e-6)


def test_the_high_mark_is_the_one_before_drilling() -> None:
    (found,) = (m for m in marks(made("marked")) if m.name == "high-RG mark")
    assert abs(found.at_mm[0]) == pytest.approx(RADIUS, abs=1e-6)
