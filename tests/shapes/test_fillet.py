"""Fillets touch both sides and take away what a closed form says."""

from __future__ import annotations

import itertools
from math import pi

import pytest

from shapes.curves import Arc, Line
from shapes.errors import ShapeError
from shapes.fillet import NoFit, fillet, turn_rad
from shapes.turned import ArcStep, SplineStep, Turned


def test_right_angle_between_lines() -> None:
    s, arc, t = fillet(Line((0.0, 0.0), (10.0, 0.0)), Line((10.0, 0.0), (10.0, 5.0)), 2.0)
    assert (s, t) == pytest.approx((0.8, 0.4))
    assert arc.centre == pytest.approx((8.0, 2.0))
    assert arc.sweep_rad == pytest.approx(pi / 2)


def test_turning_right_curves_the_other_way() -> None:
    before, after = Line((0.0, 0.0), (0.0, 10.0)), Line((0.0, 10.0), (10.0, 10.0))
    assert turn_rad(before, after) < 0.0
    _, arc, _ = fillet(before, after, 3.0)
    assert arc.centre == pytest.approx((3.0, 7.0))
    assert arc.sweep_rad == pytest.approx(-pi / 2)


def test_rim_of_a_disc_loses_what_pappus_says() -> None:
    """A rounded rim removes, at each end, a square less a quarter disc turned about the axis.

    Volume = 2 pi x area x distance of its centroid from the axis (Pappus; from memory).  The square
    of side q reaches from R - q to R; the quarter disc's centroid is 4 q / (3 pi) from its centre.
    """
    radius, half, q = 30.0, 10.0, 4.0
    steps = ((0.0, -half), (radius, -half), (radius, half), (0.0, half))
    sharp = Turned(profile=steps).moments().volume_mm3
    rounded = Turned(profile=steps, round=q).moments().volume_mm3
    square = q * q * (radius - q / 2)
    quarter = pi * q * q / 4 * (radius - q + 4 * q / (3 * pi))
    assert sharp - rounded == pytest.approx(2 * 2 * pi * (square - quarter), rel=1e-12)


def test_fillet_of_arc_and_spline_is_tangent() -> None:
    body = Turned(
        profile=(
            (0.0, -40.0),
            ArcStep(arc=(30.0, -20.0), through=(20.0, -36.0)),
            SplineStep(((33.0, 0.0), (15.0, 30.0))),
            (0.0, 30.0),
        ),
        round=2.0,
    )
    curves = body.section().curves
    turns = [abs(turn_rad(a, b)) for a, b in itertools.pairwise(curves)]
    assert max(turns) < 1e-6
    assert sum(isinstance(c, Arc) for c in curves) == 3  # the drawn arc and two fillets


def test_too_large_a_fillet_is_refused() -> None:
    with pytest.raises(NoFit):
        fillet(Line((0.0, 0.0), (10.0, 0.0)), Line((10.0, 0.0), (10.0, 1.0)), 2.0)


def test_fillets_that_overlap_are_refused_with_the_step() -> None:
    steps = ((0.0, -10.0), (30.0, -10.0), (30.0, -4.0), (0.0, 10.0))
    with pytest.raises(ShapeError, match=r"round: fillets of 4 mm at both ends of profile\[2\]"):
        Turned(profile=steps, round=4.0)
