"""The camera: a right-handed frame with the pin up."""

from __future__ import annotations

import numpy as np
import pytest

from pipeline.scene import Camera

CAMERA = Camera(-37.0, 21.0)


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
