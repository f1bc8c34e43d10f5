"""The camera: a right-handed frame with the pin up."""

from __future__ import annotations

import numpy as np
import pytest

from pipeline.scene import UPRIGHT, Camera, frame_of
from pipeline.sphere import rotation_to

CAMERA = Camera(-37.0, 21.0)
TURN = rotation_to(
    np.array([1.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0]), np.array([0.6, 0.0, 0.8]),
    np.array([0.1, -0.9, 0.3]),
)  # fmt: skip
TURNED = Camera(-37.0, 21.0, frame_of(TURN))


def test_a_camera_is_a_right_handed_frame() -> None:
    axes = CAMERA.axes()
    assert axes @ axes.T == pytest.approx(np.eye(3), abs=1e-12)
    assert np.linalg.det(axes) == pytest.approx(1.0)


def test_the_pin_is_up() -> None:
    right, up = CAMERA.project(np.array([0.0, 0.0, 1.0]))
    assert right == pytest.approx(0.0)
    assert up == pytest.approx(np.cos(np.radians(21.0)))


def test_a_camera_stands_where_its_angles_say() -> None:
    assert Camera(90.0, 0.0).axes()[2] == pytest.approx([0.0, 1.0, 0.0])


def test_a_camera_in_a_frame_of_its_own_is_right_handed() -> None:
    axes = TURNED.axes()
    assert axes @ axes.T == pytest.approx(np.eye(3), abs=1e-8)
    assert np.linalg.det(axes) == pytest.approx(1.0)


def test_the_upright_frame_changes_nothing() -> None:
    same = Camera(-37.0, 21.0, frame_of(np.eye(3)))
    assert same == CAMERA
    assert (same.axes() == CAMERA.axes()).all()


def test_a_camera_turns_with_its_frame() -> None:
    """What it sees of points that turn with it stays as it was."""
    points = np.random.default_rng(3).normal(size=(20, 3))
    assert TURNED.project(points @ TURN.T) == pytest.approx(CAMERA.project(points), abs=1e-7)


def test_the_frame_s_own_z_is_up() -> None:
    right, up = TURNED.project(TURN[:, 2])
    assert (right, up) == pytest.approx((0.0, np.cos(np.radians(21.0))), abs=1e-7)


def test_a_frame_holds_its_axes_one_after_the_other() -> None:
    assert np.array(frame_of(TURN)) == pytest.approx(TURN.T, abs=1e-9)


def test_a_frame_can_be_a_key() -> None:
    """Plain numbers to nine decimals: the last bits are no difference."""
    assert frame_of(np.eye(3) + 1e-12) == UPRIGHT
