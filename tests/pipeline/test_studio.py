"""The renderer's own process: what it draws, and what it does not import."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from pipeline.job import NOTHING_MM, Job, read_shot, write_job
from pipeline.palette import rgb
from pipeline.rods import Rod
from pipeline.scene import Camera
from tests.pipeline.plain_scene import FLAT

ROOT = Path(__file__).parents[2]
CODE = """
import json, sys
from pipeline.studio import draw_job
status = draw_job(sys.argv[1])
print(json.dumps({"status": status, "modules": sorted(sys.modules)}))
"""
BAR = Rod(np.array([[20.0, -80.0, 70.0], [20.0, 80.0, 70.0]]), (5.0, 5.0), "#1B7F79")
# A square of 100 mm seen square on, 2 px a mm; a bar above it, nearer.
JOB = Job((400, 300), Camera(0.0, 0.0), (0.0, 0.0), 75.0, 300.0, (FLAT,), (BAR,))


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where a job was drawn, and the process's last words."""
    where = tmp_path_factory.mktemp("studio")
    write_job(JOB, where)
    done = subprocess.run(
        [sys.executable, "-c", CODE, str(where)],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        timeout=120,
        check=True,
    )
    (where / "said.json").write_bytes(done.stdout)
    return where


def test_no_plotting_library_is_imported(folder: Path) -> None:
    modules = json.loads((folder / "said.json").read_text(encoding="utf-8"))["modules"]
    assert "pyvista" in modules
    assert "matplotlib" not in modules


def test_it_ends_well(folder: Path) -> None:
    assert json.loads((folder / "said.json").read_text(encoding="utf-8"))["status"] == 0


def test_the_square_has_its_true_size(folder: Path) -> None:
    depth = read_shot(folder)[1]
    rows, columns = np.nonzero(depth < NOTHING_MM)
    assert (np.ptp(rows) + 1, np.ptp(columns) + 1) == pytest.approx((200, 200), abs=1)


def test_depth_is_the_distance_from_the_camera(folder: Path) -> None:
    assert read_shot(folder)[1][150, 200] == pytest.approx(JOB.reach_mm, abs=0.01)


def test_a_rod_has_its_own_colour_and_width(folder: Path) -> None:
    """It is 160 mm by 10 mm at 2 px a mm, all of it in the plain colour."""
    pixels = read_shot(folder)[0].astype(int)
    due = np.rint(np.array(rgb(BAR.colour)) * 255.0)
    plain = (np.abs(pixels[..., :3] - due).max(axis=-1) <= 1) & (pixels[..., 3] == 255)
    assert plain.sum() == pytest.approx(320 * 20, rel=0.02)
