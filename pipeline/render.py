"""The stage of a sheet rendered, in a process of its own.

A renderer that dies takes nothing with it.  It draws at twice the size, which is then reduced.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path

from PIL import Image

from pipeline.errors import OutputError, SystemLibraryError
from pipeline.grounding import grounded
from pipeline.job import NO_LIBRARY, Job, read_shot, write_job
from pipeline.rods import rods_of, threaded
from pipeline.scene import Scene
from pipeline.sheet import Sheet
from pipeline.system_libraries import message, missing

_TWICE_UP_TO_PX = 4096  # beyond this the picture is drawn at its own size
_CODE = "import sys; from pipeline.studio import draw_job; sys.exit(draw_job(sys.argv[1]))"


def render(scene: Scene, sheet: Sheet) -> Image.Image:
    """The stage, RGBA, at the final size.

    Raises:
        SystemLibraryError: the renderer lacks a library of the system.
        OutputError: it failed otherwise, or drew nothing.
    """
    with tempfile.TemporaryDirectory(prefix="corewright-") as name:
        folder = Path(name)
        write_job(job_of(scene, sheet), folder)
        _run(folder, 90.0 + 4e-6 * sheet.size[0] * sheet.size[1])
        pixels, depth = read_shot(folder)
    if not (pixels[..., 3] > 0).any() or pixels[..., :3].std() < 1.0:
        raise OutputError(_failure("it drew nothing"))
    size = int(sheet.stage.width), int(sheet.stage.height)
    shot = Image.fromarray(pixels, "RGBA").resize(size, Image.Resampling.BOX)
    return grounded(shot, depth, sheet.px_per_mm)


def job_of(scene: Scene, sheet: Sheet) -> Job:
    """What to render so that the scene falls on the sheet's stage."""
    twice = 2 if max(sheet.size) <= _TWICE_UP_TO_PX else 1
    stage, (x, y) = sheet.stage, sheet.origin
    return Job(
        size=(int(stage.width) * twice, int(stage.height) * twice),
        camera=scene.camera,
        middle_mm=(
            ((stage.left + stage.right) / 2.0 - x) / sheet.px_per_mm,
            (y - (stage.top + stage.bottom) / 2.0) / sheet.px_per_mm,
        ),
        half_height_mm=stage.height / 2.0 / sheet.px_per_mm,
        reach_mm=3.0 * scene.reach_mm,
        surfaces=scene.surfaces,
        rods=(
            *(rod for axis in scene.axes for rod in rods_of(axis, scene)),
            *(rod for thread in scene.threads for rod in threaded(thread)),
        ),
    )


def _run(folder: Path, seconds: float) -> None:
    """Have another process render the job in a folder."""
    root = str(Path(__file__).resolve().parents[1])
    paths = [root, *filter(None, os.environ.get("PYTHONPATH", "").split(os.pathsep))]
    try:
        done = subprocess.run(
            [sys.executable, "-P", "-c", _CODE, str(folder)],
            env={**os.environ, "PYTHONPATH": os.pathsep.join(paths)},
            stdin=subprocess.DEVNULL,
            capture_output=True,
            timeout=seconds,
            check=False,
        )
    except subprocess.TimeoutExpired:
        raise OutputError(_failure(f"it did not finish within {seconds:.0f} s")) from None
    if done.returncode == 0:
        return
    said = done.stderr.decode(errors="replace").strip().splitlines()
    if done.returncode == NO_LIBRARY:
        raise SystemLibraryError(message(said[-1] if said else ""))
    if done.returncode < 0:
        raise OutputError(_failure(f"it died of signal {-done.returncode}"))
    raise OutputError(_failure(said[-1] if said else f"it ended with status {done.returncode}"))


def _failure(reason: str) -> str:
    """What to say of a renderer that failed, with the libraries to install if any are missing."""
    absent = missing()
    advice = f"; {message(absent=absent)}" if absent else ""
    return f"the picture could not be rendered: {reason}{advice}"
