"""What the renderer's process reads is what was written."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from pipeline.job import Job, read_job, read_shot, write_job, write_shot
from pipeline.rods import Rod
from pipeline.scene import Camera, frame_of
from tests.pipeline.plain_scene import FLAT

ROD = Rod(np.array([[0.0, 0.0, 1.0], [0.0, 2.0, 1.0]]), (1.5, 0.0), "#112233")
JOB = Job((320, 200), Camera(-31.7, 21.0), (0.1, -0.3), 57.3, 300.0, (FLAT,), (ROD,))


@pytest.fixture
def read(tmp_path: Path) -> Job:
    write_job(JOB, tmp_path)
    return read_job(tmp_path)


@pytest.mark.parametrize("name", ["size", "camera", "middle_mm", "half_height_mm", "reach_mm"])
def test_plain_values_come_back(read: Job, name: str) -> None:
    assert getattr(read, name) == getattr(JOB, name)


@pytest.mark.parametrize(("kind", "due"), [("surfaces", FLAT), ("rods", ROD)])
def test_arrays_come_back_with_their_looks(read: Job, kind: str, due: object) -> None:
    (found,) = getattr(read, kind)
    for name, value in vars(due).items():
        assert np.array_equal(getattr(found, name), value)


def test_a_shot_comes_back(tmp_path: Path) -> None:
    pixels = np.arange(24, dtype=np.uint8).reshape(2, 3, 4)
    depth = np.arange(6, dtype=np.float32).reshape(2, 3)
    write_shot(pixels, depth, tmp_path)
    found = read_shot(tmp_path)
    assert np.array_equal(found[0], pixels)
    assert np.array_equal(found[1], depth)


def test_a_camera_in_a_frame_of_its_own_comes_back(tmp_path: Path) -> None:
    axes = np.array([[0.6, 0.0, 0.8], [0.0, 1.0, 0.0], [-0.8, 0.0, 0.6]]).T
    camera = Camera(32.0, 12.0, frame_of(axes))
    write_job(replace(JOB, camera=camera), tmp_path)
    found = read_job(tmp_path).camera
    assert found == camera
    assert (found.axes() == camera.axes()).all()
