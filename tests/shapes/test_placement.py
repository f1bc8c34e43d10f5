"""Spin, tilt and move, in that order."""

from __future__ import annotations

import numpy as np
import pytest

from shapes.placement import Placement


def test_spin_turns_counter_clockwise() -> None:
    assert Placement(spin_deg=90).to_ball(np.array([1.0, 0, 0])) == pytest.approx([0, 1, 0])


@pytest.mark.parametrize("toward", [0.0, 37.0, 90.0, 200.0])
def test_tilt_leans_the_axis_towards_its_azimuth(toward: float) -> None:
    axis = Placement(tilt_by_deg=30, tilt_toward_deg=toward).to_ball(np.array([0, 0, 1.0]))
    a = np.radians(toward)
    assert axis == pytest.approx([0.5 * np.cos(a), 0.5 * np.sin(a), np.sqrt(0.75)])


def test_tilt_turns_about_the_level_axis_across_its_azimuth() -> None:
    """A tilt adds no spin: what lies along its hinge stays."""
    hinge = np.array([-np.sin(0.6), np.cos(0.6), 0.0])
    placement = Placement(tilt_by_deg=25, tilt_toward_deg=np.degrees(0.6))
    assert placement.to_ball(hinge) == pytest.approx(hinge)


def test_move_comes_last() -> None:
    placement = Placement(spin_deg=90, move_mm=(1.0, 2.0, 3.0))
    assert placement.to_ball(np.array([1.0, 0, 0])) == pytest.approx([1, 3, 3])


def test_there_and_back() -> None:
    placement = Placement(12.0, 34.0, 56.0, (7.0, 8.0, 9.0))
    points = np.random.default_rng(0).normal(size=(5, 3))
    assert placement.to_shape(placement.to_ball(points)) == pytest.approx(points)


def test_quarter_turns_are_exact() -> None:
    """No 6e-17 where a zero is due, or a body of revolution would not stay one."""
    rotation = Placement(spin_deg=90, tilt_by_deg=180, tilt_toward_deg=270).rotation()
    assert set(np.unique(np.abs(rotation))) == {0.0, 1.0}
