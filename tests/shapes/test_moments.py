"""Moments add, subtract, turn and move as mechanics says."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from shapes.moments import Moments


def block(a: float, b: float, c: float) -> Moments:
    """A centred block; int x^2 = V a^2 / 12 (Beer & Johnston; from memory)."""
    volume = a * b * c
    return Moments(volume, np.zeros(3), np.diag([a * a, b * b, c * c]) * volume / 12.0)


def test_two_halves_make_a_whole() -> None:
    half = block(1.0, 2.0, 3.0)
    whole = half.moved(np.array([0.5, 0, 0])) + half.moved(np.array([-0.5, 0, 0]))
    due = block(2.0, 2.0, 3.0)
    assert whole.volume_mm3 == pytest.approx(due.volume_mm3)
    assert whole.second_mm5 == pytest.approx(due.second_mm5)


def test_taking_away_undoes_adding() -> None:
    left = (block(1, 2, 3) + block(4, 5, 6)) - block(4, 5, 6)
    assert left.second_mm5 == pytest.approx(block(1, 2, 3).second_mm5)


def test_parallel_axis_theorem() -> None:
    """I = I_c + m d^2 about an axis at a distance d (Steiner's theorem)."""
    moved = block(2, 3, 4).moved(np.array([0.0, 0.0, 7.0]))
    about_x_before = 24.0 * (3**2 + 4**2) / 12.0
    second = moved.second_mm5
    assert second[1, 1] + second[2, 2] == pytest.approx(about_x_before + 24.0 * 49.0)


def test_moving_leaves_the_central_tensor() -> None:
    body = block(2, 3, 4)
    moved = body.moved(np.array([3.0, -5.0, 11.0]))
    assert moved.inertia_mm5() == pytest.approx(body.inertia_mm5())
    assert moved.centroid_mm() == pytest.approx([3.0, -5.0, 11.0])


def test_a_quarter_turn_swaps_axes() -> None:
    turn = np.array([[0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]])
    assert block(2, 3, 4).turned(turn).second_mm5 == pytest.approx(block(3, 2, 4).second_mm5)


def test_products_of_inertia_carry_a_minus_sign() -> None:
    """Two equal specks at (1, 1, 0) and (-1, -1, 0): I_xy = -sum m x y = -2."""
    specks = Moments(2.0, np.zeros(3), np.array([[2.0, 2.0, 0], [2.0, 2.0, 0], [0, 0, 0]]))
    assert specks.inertia_mm5()[0, 1] == -2.0


def test_of_revolution_is_round() -> None:
    radius, height = 2.0, 5.0
    volume = pi * radius**2 * height
    rod = Moments.of_revolution(volume, 0.0, volume * radius**2 / 4, volume * height**2 / 12)
    assert rod.inertia_mm5()[2, 2] == pytest.approx(volume * radius**2 / 2)
