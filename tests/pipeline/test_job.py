"""What the renderer's process hears is what was said, and every mesh is sent once."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from pipeline.job import Job, Meshes, arrays_of, heard, numbers_in, said, tray
from pipeline.looks import SHORE
from pipeline.rods import Rod
from pipeline.scene import Camera, Pose, Pour, frame_of
from tests.pipeline.plain_scene import FLAT

ROD = Rod(np.array([[0.0, 0.0, 1.0], [0.0, 2.0, 1.0]]), (1.5, 0.0), "#112233")
TURNED = frame_of(np.array([[0.6, 0.0, 0.8], [0.0, 1.0, 0.0], [-0.8, 0.0, 0.6]]).T)
TINTED = replace(
    FLAT, tints=np.full((4, 3), 0.25), opacity=0.5, pour=Pour("pearl", "#FFEEDD", 7),
    pose=Pose((1.0, 2.0, 3.0), TURNED),
)  # fmt: skip
JOB = Job(
    (320, 200), 2, Camera(-31.7, 21.0, TURNED), (0.1, -0.3), 57.3, 300.0, "lit", SHORE.lamps,
    (FLAT, TINTED), (ROD,),
)  # fmt: skip


@pytest.fixture
def read(tmp_path: Path) -> Job:
    line = said(JOB, Meshes(tmp_path).numbers(JOB))
    return heard(line, {n: arrays_of(tmp_path, n) for n in numbers_in(line)})


@pytest.mark.parametrize(
    "name",
    ["size", "fine", "camera", "middle_mm", "half_height_mm", "reach_mm", "manner", "lamps"],
)
def test_plain_values_come_back(read: Job, name: str) -> None:
    assert getattr(read, name) == getattr(JOB, name)


@pytest.mark.parametrize("name", ["colour", "finish", "part", "opacity", "pour", "pose"])
def test_looks_and_poses_come_back(read: Job, name: str) -> None:
    assert [getattr(s, name) for s in read.surfaces] == [getattr(s, name) for s in JOB.surfaces]


@pytest.mark.parametrize("name", ["points_mm", "normals", "triangles", "tints"])
def test_arrays_come_back(read: Job, name: str) -> None:
    assert np.array_equal(getattr(read.surfaces[1], name), getattr(TINTED, name))


def test_rods_come_back(read: Job) -> None:
    (found,) = read.rods
    assert np.array_equal(found.path_mm, ROD.path_mm)
    assert (found.radii_mm, found.colour) == (ROD.radii_mm, ROD.colour)


def test_a_mesh_is_sent_once(tmp_path: Path) -> None:
    meshes = Meshes(tmp_path)
    first = meshes.numbers(JOB)
    for file in tmp_path.iterdir():
        file.unlink()
    again = replace(JOB, surfaces=tuple(replace(s, colour="#000000") for s in JOB.surfaces))
    assert meshes.numbers(again) == first
    assert not list(tmp_path.iterdir())


def test_points_with_other_tints_are_another_mesh(tmp_path: Path) -> None:
    assert len(set(Meshes(tmp_path).numbers(JOB))) == 2


def test_a_mesh_that_came_back_is_sent_anew(tmp_path: Path) -> None:
    """The renderer has dropped it meanwhile."""
    meshes = Meshes(tmp_path)
    bare = replace(JOB, surfaces=(TINTED,))
    first = meshes.numbers(JOB)
    meshes.numbers(bare)
    assert meshes.numbers(JOB)[0] not in first


def test_both_ends_of_a_tray_see_the_same(tmp_path: Path) -> None:
    mine = tray(tmp_path, (5, 4), 0, new=True)
    mine.ball[:] = np.arange(80).reshape(4, 5, 4)
    mine.depth_mm[:] = 2.5
    theirs = tray(tmp_path, (5, 4), 0)
    assert np.array_equal(theirs.ball, mine.ball)
    assert (theirs.depth_mm == 2.5).all()
