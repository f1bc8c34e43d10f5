"""Necks of half-sections and bodies cut down to them, against closed forms and plain scans."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from shapes.barrel import Barrel
from shapes.inserts import Ring
from shapes.necks import DEPTH_MM, Neck, bulges_of, cut_down, necks_of
from shapes.outlined import Outlined
from shapes.profile import Profile
from shapes.sphere import Sphere
from shapes.spool import Spool
from shapes.stacked import Frusta, Stepped
from shapes.turned import ArcStep, SplineStep, Turned

CUT = Stepped((40.0, 20.0, 50.0, 30.0, 44.0), (10.0, 12.0, 14.0, 16.0, 18.0), 0.0)
WAVY = Turned(
    (
        (0.0, -50.0),
        (40.0, -50.0),
        SplineStep(((28.0, -20.0), (38.0, 10.0), (25.0, 30.0), (33.0, 50.0))),
        (0.0, 50.0),
    )
)


def volume(section: Profile, bulge: int) -> float:
    curves = cut_down(section, bulges_of(section)[bulge])
    assert curves is not None
    return Outlined(curves).moments().volume_mm3


def scanned(section: Profile, z: np.ndarray) -> np.ndarray:
    """The greatest radius at each height, by halving: no curve is asked for its extremes."""
    low, high = np.zeros_like(z), np.full_like(z, 1e3)
    for _ in range(60):
        middle = (low + high) / 2.0
        inside = section.contains(middle, z)
        low, high = np.where(inside, middle, low), np.where(inside, high, middle)
    return low


def test_a_waist_is_a_neck() -> None:
    assert necks_of(Spool(100.0, 78.0, 116.0, 5.0).section()) == (Neck(39.0, 0.0),)


def test_an_arc_that_bows_inwards_has_its_neck_where_it_is_nearest() -> None:
    """A circle of radius 25 about (55, 4): nearest to the axis at r = 30."""
    body = Turned(((0.0, -21.0), (55.0, -21.0), ArcStep((55.0, 29.0), (30.0, 4.0)), (0.0, 29.0)))
    (neck,) = necks_of(body.section())
    assert (neck.r_mm, neck.z_mm) == pytest.approx((30.0, 4.0), abs=1e-9)


def test_necks_of_a_spline_are_where_a_scan_finds_them() -> None:
    necks = necks_of(WAVY.section())
    z = np.linspace(-49.99, 49.99, 20_001)
    r = scanned(WAVY.section(), z)
    least = [k for k in range(1, len(z) - 1) if r[k - 1] > r[k] <= r[k + 1]]
    assert [n.z_mm for n in necks] == pytest.approx(list(z[least]), abs=0.011)
    assert [n.r_mm for n in necks] == pytest.approx(list(r[least]), abs=1e-5)


def test_where_the_wall_runs_upright_the_neck_is_in_the_middle() -> None:
    """Joints of the stack stand at -35, -25, -13, 1, 17 and 35."""
    necks = necks_of(CUT.section())
    assert [n.r_mm for n in necks] == [10.0, 15.0]
    assert [n.z_mm for n in necks] == pytest.approx([-19.0, 9.0])


@pytest.mark.parametrize(
    "body",
    [Sphere(100.0), Barrel(76.0, 106.0, 122.0, 6.0), Ring(104.0, 68.0, 24.0, 3.0)],
    ids=["sphere", "barrel", "ring"],
)
def test_what_has_no_neck_has_none(body: Sphere | Barrel | Ring) -> None:
    assert necks_of(body.section()) == ()


@pytest.mark.parametrize(("depth", "count"), [(0.9 * DEPTH_MM, 0), (1.1 * DEPTH_MM, 1)])
def test_a_ripple_is_no_neck(depth: float, count: int) -> None:
    body = Frusta((60.0, 60.0 - 2.0 * depth, 60.0), (30.0, 30.0), 0.0)
    assert len(necks_of(body.section())) == count


def test_a_wall_that_hangs_over_itself_has_no_necks() -> None:
    """At z from 15 to 20 a stem of radius 10 stands inside a brim of radius 10 to 30."""
    body = Turned(((0, 0), (14, 0), (10, 20), (30, 15), (30, 40), (0, 40)))
    assert necks_of(body.section()) == ()


def test_no_neck_parts_no_bodies() -> None:
    assert bulges_of(Barrel().section()) == ()


def test_bodies_lie_between_their_necks() -> None:
    assert [(b.from_mm, b.to_mm) for b in bulges_of(CUT.section())] == [
        pytest.approx(ends) for ends in ((-35.0, -19.0), (-19.0, 9.0), (9.0, 35.0))
    ]


def test_bodies_know_their_greatest_radius() -> None:
    assert [b.widest_mm for b in bulges_of(CUT.section())] == [20.0, 25.0, 22.0]


def test_between_two_necks_the_wider_one_counts() -> None:
    assert [b.radius_mm for b in bulges_of(CUT.section())] == [10.0, 15.0, 15.0]


@pytest.mark.parametrize(
    ("bulge", "radii"),
    [(0, (10, 10, 25, 15, 22)), (1, (20, 10, 15, 15, 22)), (2, (20, 10, 25, 15, 15))],
)
def test_a_step_cut_down_leaves_a_stack_of_cylinders(bulge: int, radii: tuple[float, ...]) -> None:
    due = sum(pi * r * r * h for r, h in zip(radii, CUT.heights, strict=True))
    assert volume(CUT.section(), bulge) == pytest.approx(due, rel=1e-12)


def test_half_a_spool_cut_down_is_half_a_spool_on_a_cylinder() -> None:
    spool = Spool(100.0, 78.0, 116.0, 0.0)
    due = spool.moments().volume_mm3 / 2.0 + pi * 39.0**2 * 58.0
    assert volume(spool.section(), 0) == pytest.approx(due, rel=1e-12)


@pytest.mark.parametrize("bulge", [0, 1, 2])
def test_a_spline_cut_down_holds_what_slices_of_it_hold(bulge: int) -> None:
    """Simpson's rule over the lesser of scanned and neck's radius."""
    section = WAVY.section()
    found = bulges_of(section)[bulge]
    z = np.linspace(-50.0 + 1e-9, 50.0 - 1e-9, 40_001)
    r = scanned(section, z)
    inside = (z > found.from_mm) & (z < found.to_mm)
    square = np.where(inside, np.minimum(r, found.radius_mm), r) ** 2
    weight = np.tile([2.0, 4.0], 20_001)[:-1]
    weight[[0, -1]] = 1.0
    due = pi * float((square * weight).sum()) * (z[1] - z[0]) / 3.0
    assert volume(section, bulge) == pytest.approx(due, rel=1e-6)


def test_a_recess_outside_the_neck_is_left_alone() -> None:
    """The head's hollow is wider than the neck: what would be left is no cylinder."""
    body = Turned(
        ((0, 0), (25, 0), (25, 10), (15, 10), (15, 20), (30, 20), (30, 40), (20, 40), (20, 35),
         (0, 35))
    )  # fmt: skip
    foot, head = bulges_of(body.section())
    assert cut_down(body.section(), foot) is not None
    assert cut_down(body.section(), head) is None
