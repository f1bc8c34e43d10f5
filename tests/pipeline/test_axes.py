"""Principal axes: right-handed, one sign, undefined where they are."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from pipeline.axes import SPLIT_IN, principal

SPLIT = SPLIT_IN * 25.4
MASS = 6800.0


def tensor(low: float, intermediate: float, high: float, turn: Rotation) -> np.ndarray:
    """A tensor whose low, intermediate and high axes are x, y and z, turned."""
    matrix = turn.as_matrix()
    return MASS * matrix @ np.diag([low**2, intermediate**2, high**2]) @ matrix.T


def test_three_rgs_give_three_axes() -> None:
    g = np.random.default_rng(1)
    for turn in Rotation.random(50, rng=g):
        found = principal(tensor(64.0, 65.0, 66.0, turn), MASS, SPLIT)
        assert found.rg_mm == pytest.approx([64.0, 65.0, 66.0])
        axes = np.array([found.low, found.intermediate, found.high])
        assert np.linalg.det(axes) == pytest.approx(1.0)
        assert abs(axes[0] @ turn.as_matrix()[:, 0]) == pytest.approx(1.0)
        assert axes[0, 2] > 0.0
        assert axes[2, 0] > 0.0


def test_a_full_turn_never_flips_an_axis() -> None:
    """Small steps of the tensor make small steps of the axes while they keep their side."""
    last = None
    for angle in np.linspace(-80, 80, 161):
        turn = Rotation.from_euler("y", 90 + 5, degrees=True)
        spun = Rotation.from_euler("z", angle, degrees=True) * turn
        high = principal(tensor(64.0, 66.0, 65.0, spun), MASS, SPLIT).low
        assert high is not None
        if last is not None:
            assert high @ last > 0.99
        last = high


def test_two_equal_high_rgs_leave_only_the_low_axis() -> None:
    turn = Rotation.from_euler("y", -90, degrees=True)
    found = principal(tensor(64.0, 66.0, 66.0 + SPLIT / 2, turn), MASS, SPLIT)
    assert found.symmetry == "symmetrical"
    assert found.low == pytest.approx([0, 0, 1])
    assert found.high is None
    assert found.intermediate is None
    assert found.intermediate_differential_mm == 0.0


def test_two_equal_low_rgs_leave_only_the_high_axis() -> None:
    found = principal(tensor(64.0, 64.0, 66.0, Rotation.identity()), MASS, SPLIT)
    assert found.symmetry == "symmetrical"
    assert found.low is None
    assert found.high == pytest.approx([0, 0, 1])


def test_one_rg_has_no_axes() -> None:
    found = principal(tensor(65.0, 65.0, 65.0, Rotation.identity()), MASS, SPLIT)
    assert (found.symmetry, found.low, found.high) == ("spherical", None, None)
    assert found.total_differential_mm == 0.0


def test_just_over_the_split_is_told_apart() -> None:
    found = principal(tensor(64.0, 66.0, 66.0 + 3 * SPLIT, Rotation.identity()), MASS, SPLIT)
    assert found.symmetry == "asymmetrical"
