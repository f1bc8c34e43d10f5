"""Holes as bodies: where a drill goes, how wide it is there, and how it is turned."""

from __future__ import annotations

from math import pi, sqrt, tan

import numpy as np
import pytest

from pipeline.drilling import Drill, Insert, RawHole
from pipeline.holes import Hole, raw_hole, surface_point
from tests.pipeline.drilled_text import RADIUS

Array = np.ndarray
TOP = np.array([0.0, 0.0, RADIUS])


def hole(drill: Drill, entry: Array = TOP) -> Hole:
    """An upright hole."""
    return Hole("thumb", "thumb", entry, -entry / RADIUS, drill, 7)


def raw(towards: tuple[float, float, float] = (0.0, 0.0, 0.0), arc: float = 40.0) -> RawHole:
    return RawHole("thumb", "thumb", arc, 25.0, towards, Drill(25.0, 60.0), 7)


def in_bore(drilled: Hole, *points: tuple[float, float, float]) -> list[bool]:
    """Which of the points are drilled away: x, y and the depth below the entry at +Z."""
    return [
        bool(b)
        for b in drilled.bore().contains(np.array([(x, y, RADIUS - z) for x, y, z in points]))
    ]


@pytest.mark.parametrize(
    ("arc", "azimuth", "due"),
    [
        (0.0, 77.0, (0.0, 0.0, 1.0)),
        (pi / 2.0 * RADIUS, 0.0, (1.0, 0.0, 0.0)),
        (pi / 2.0 * RADIUS, 90.0, (0.0, 1.0, 0.0)),
        (pi / 3.0 * RADIUS, 180.0, (-sqrt(0.75), 0.0, 0.5)),
        (pi * RADIUS, 12.0, (0.0, 0.0, -1.0)),
    ],
)  # fmt: skip
def test_points_of_the_surface(arc: float, azimuth: float, due: tuple[float, float, float]) -> None:
    assert surface_point(arc, azimuth, RADIUS) / RADIUS == pytest.approx(due, abs=1e-15)


def test_a_raw_hole_goes_to_the_centre_unless_it_says_where() -> None:
    found = raw_hole(raw(), RADIUS)
    assert found.misses_mm() == pytest.approx(0.0, abs=1e-12)
    assert found.way @ found.entry_mm == pytest.approx(-RADIUS)


def test_a_raw_hole_goes_through_the_point_that_it_names() -> None:
    point = np.array([5.0, -12.0, 20.0])
    found = raw_hole(raw((5.0, -12.0, 20.0)), RADIUS)
    along = float((point - found.entry_mm) @ found.way)
    assert found.entry_mm + along * found.way == pytest.approx(point)
    assert along > 0.0


def test_a_raw_hole_keeps_name_use_drill_and_line() -> None:
    asked = raw()
    found = raw_hole(asked, RADIUS)
    assert (found.name, found.use, found.drill, found.line) == ("thumb", "thumb", asked.drill, 7)


def test_how_far_the_axis_misses_the_centre() -> None:
    leaning = Hole("h", "finger", TOP, np.array([0.28, 0.0, -0.96]), Drill(20.0, 50.0))
    assert leaning.misses_mm() == pytest.approx(0.28 * RADIUS)


def test_the_bottom_lies_at_the_depth_along_the_axis() -> None:
    leaning = Hole("h", "finger", TOP, np.array([0.6, 0.0, -0.8]), Drill(20.0, 50.0))
    assert leaning.bottom_mm() == pytest.approx((30.0, 0.0, RADIUS - 40.0))


def test_a_turned_hole_turns_about_the_centre() -> None:
    quarter = np.array([[0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]])
    entry = RADIUS * np.array([0.6, 0.0, 0.8])
    found = hole(Drill(20.0, 50.0), entry).turned(quarter)
    assert found.entry_mm == pytest.approx(RADIUS * np.array([0.0, 0.6, 0.8]))
    assert found.way == pytest.approx((0.0, -0.6, -0.8))


def test_a_flat_bottom_ends_at_the_depth() -> None:
    found = hole(Drill(20.0, 50.0))
    assert in_bore(found, (9.99, 0, 49.99), (0, 0, 49.99), (0, 0, 50.01)) == [True, True, False]


def test_the_wall_stands_at_the_radius() -> None:
    assert in_bore(hole(Drill(20.0, 50.0)), (0, 9.99, 30), (0, 10.01, 30)) == [True, False]


def test_the_bore_goes_out_of_the_ball() -> None:
    assert in_bore(hole(Drill(20.0, 50.0)), (9.99, 0, -RADIUS)) == [True]


def test_a_cone_lies_beyond_the_depth() -> None:
    tip = 50.0 + 10.0 / tan(pi * 118.0 / 360.0)
    found = hole(Drill(20.0, 50.0, 118.0))
    assert in_bore(found, (0, 0, tip - 0.01), (0, 0, tip + 0.01), (9.9, 0, 50.5)) == [
        True, False, False,
    ]  # fmt: skip


def test_a_bevel_meets_the_surface_that_much_farther_out() -> None:
    wide = 10.0 + 2.0
    depth = RADIUS - sqrt(RADIUS**2 - wide**2)  # of the surface below the entry, so far out
    found = hole(Drill(20.0, 50.0, None, 2.0))
    assert in_bore(found, (wide - 0.01, 0, depth), (wide + 0.01, 0, depth)) == [True, False]


def test_a_bevel_ends_as_deep_as_it_is_wide() -> None:
    level = RADIUS - sqrt(RADIUS**2 - 12.0**2) + 2.0
    found = hole(Drill(20.0, 50.0, None, 2.0))
    assert in_bore(found, (10.02, 0, level - 0.05), (10.02, 0, level + 0.05)) == [True, False]


def test_a_hole_without_an_insert_fills_nothing() -> None:
    assert hole(Drill(20.0, 50.0)).filled() is None


def test_the_bore_of_an_insert() -> None:
    body = hole(Drill(20.0, 50.0, 118.0, 2.0, Insert(26.0, 30.0, 1.1))).filled()
    assert body is not None
    points = [(12.99, 0.0, 29.99), (13.01, 0.0, 29.99), (0.0, 0.0, 30.01), (13.01, 0.0, 0.0)]
    found = body.contains(np.array([(x, y, RADIUS - z) for x, y, z in points]))
    assert found.tolist() == [True, False, False, False]


@pytest.mark.parametrize("way", [(1, 0, 0), (0, 1, 0), (0, 0, -1), (-1, 0, 0), (0.48, -0.6, 0.64)])
def test_a_bore_stands_along_its_axis_wherever_that_points(way: tuple[float, float, float]) -> None:
    entry = -RADIUS * np.array(way, dtype=float)
    found = hole(Drill(20.0, 50.0), entry).bore()
    assert found.axis() == pytest.approx(-np.array(way))
    inside = found.contains(np.array([0.6 * entry, 0.5 * entry, 1.2 * entry]))
    assert inside.tolist() == [True, False, True]
