"""The renderer's own process: what it draws, and what it does not import."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from pipeline.job import NOTHING_MM, Job, Meshes, Shot, said, tray
from pipeline.looks import SHORE
from pipeline.palette import rgb
from pipeline.rods import Rod
from pipeline.scene import Camera
from tests.pipeline.plain_scene import FLAT

ROOT = Path(__file__).parents[2]
CODE = """
import json, pathlib, sys
from pipeline.studio import serve
status = serve(sys.argv[1])
said = json.dumps({"status": status, "modules": sorted(sys.modules)})
pathlib.Path(sys.argv[1], "said.json").write_text(said)
"""
BAR = Rod(np.array([[20.0, -80.0, 70.0], [20.0, 80.0, 70.0]]), (5.0, 5.0), "#1B7F79")
# A square of 100 mm seen square on, 2 px a mm; a bar above it, nearer.
JOB = Job(
    (400, 300), 1, Camera(0.0, 0.0), (0.0, 0.0), 75.0, 300.0, "lit", SHORE.lamps, (FLAT,), (BAR,)
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where a job was drawn, and the process's last words."""
    where = tmp_path_factory.mktemp("studio")
    tray(where, JOB.size, 0, new=True)
    line = said(JOB, Meshes(where).numbers(JOB))
    (where / "job0.json").write_text(f'{line[:-1]}, "slot": 0}}')
    done = subprocess.run(
        [sys.executable, "-c", CODE, str(where)],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        input=b"job0.json\n",
        capture_output=True,
        timeout=120,
        check=True,
    )
    (where / "answers").write_bytes(done.stdout)
    return where


@pytest.fixture(scope="module")
def shot(folder: Path) -> Shot:
    return tray(folder, JOB.size, 0)


def words(folder: Path) -> dict[str, object]:
    found: dict[str, object] = json.loads((folder / "said.json").read_text(encoding="utf-8"))
    return found


def test_no_plotting_library_is_imported(folder: Path) -> None:
    modules = words(folder)["modules"]
    assert isinstance(modules, list)
    assert ("pyvista" in modules, "matplotlib" in modules) == (True, False)


def test_it_ends_well_with_its_input(folder: Path) -> None:
    assert words(folder)["status"] == 0


def test_it_answers_once_for_every_job(folder: Path) -> None:
    assert (folder / "answers").read_text() == "0\n"


def test_meshes_are_taken_up(folder: Path) -> None:
    assert not list(folder.glob("mesh*.npz"))


def test_the_square_has_its_true_size(shot: Shot) -> None:
    rows, columns = np.nonzero(shot.depth_mm < NOTHING_MM)
    assert (np.ptp(rows) + 1, np.ptp(columns) + 1) == pytest.approx((200, 200), abs=1)


def test_depth_is_the_distance_from_the_camera(shot: Shot) -> None:
    assert shot.depth_mm[150, 200] == pytest.approx(JOB.reach_mm, abs=0.01)


def test_a_rod_has_its_own_colour_and_width(shot: Shot) -> None:
    """It is 160 mm by 10 mm at 2 px a mm, all of it in the plain colour."""
    pixels = shot.over.astype(int)
    due = np.rint(np.array(rgb(BAR.colour)) * 255.0)
    plain = (np.abs(pixels[..., :3] - due).max(axis=-1) <= 1) & (pixels[..., 3] == 255)
    assert plain.sum() == pytest.approx(320 * 20, rel=0.02)


def test_the_ball_is_drawn_without_its_rods(shot: Shot) -> None:
    """Where the bar runs beside the square there is nothing."""
    assert not shot.ball[150 - 70 * 2 : 150 - 60 * 2, 40:360].any()
