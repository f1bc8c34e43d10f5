"""The renderer's own process: it opens a window once and renders the jobs that it is told of.

Every line of its input names the file of a job; pixels and depth go into a file that both processes
see, and a line of its output says which.  It ends with its input.
"""

from __future__ import annotations

import json
import os
import shutil
import sys
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from pipeline.job import NO_LIBRARY, arrays_of, heard, numbers_in, tray

if TYPE_CHECKING:
    from pipeline.stage import Stage
    from shapes.moments import Array

_WINDOWS = ("vtkXOpenGLRenderWindow", "vtkEGLRenderWindow")  # that can be drawn in, on Linux


def serve(folder: str, starter: str = "") -> int:
    """Render job after job until the input ends.

    Args:
        folder: where jobs, meshes and shots lie.
        starter: the number of the process that started this one, if it is to be looked after.

    Returns:
        The exit status; after one that is not 0, the last line on stderr says why.
    """
    answers = _own_output()
    _choose_window()
    try:
        from vtkmodules.vtkRenderingCore import vtkRenderWindow

        from pipeline.stage import Stage
    except ImportError as error:
        return _lacking(str(error))
    window = vtkRenderWindow()
    kind = window.GetClassName()
    if sys.platform.startswith("linux") and kind not in _WINDOWS:  # it would crash when used
        return _lacking("neither EGL nor an X server opens a window to render in")
    stage, place = Stage(window), Path(folder)
    try:
        _answer(stage, place, answers)
    finally:
        stage.close()
        if starter and os.getppid() != int(starter):  # who would have cleared it has died
            shutil.rmtree(place, ignore_errors=True)
    return 0


def _answer(stage: Stage, place: Path, answers: TextIO) -> None:
    meshes: dict[int, dict[str, Array]] = {}
    for count, name in enumerate(sys.stdin):
        line = (place / name.strip()).read_text(encoding="utf-8")
        (place / name.strip()).unlink()
        numbers = set(numbers_in(line))
        for number in numbers - set(meshes):
            meshes[number] = arrays_of(place, number)
            (place / f"mesh{number}.npz").unlink()
        job = heard(line, meshes)
        shot = stage.shoot(job)
        meshes = {number: mesh for number, mesh in meshes.items() if number in numbers}
        room = tray(place, job.size, json.loads(line)["slot"])
        room.ball[:], room.over[:], room.depth_mm[:] = shot.ball, shot.over, shot.depth_mm
        answers.write(f"{count}\n")
        answers.flush()


def _own_output() -> TextIO:
    """The output for answers alone; whatever libraries print goes to stderr from now on."""
    kept = os.fdopen(os.dup(1), "w", encoding="ascii")
    os.dup2(2, 1)
    return kept


def _choose_window() -> None:
    """Without a display have VTK open its EGL window at once, where the system has EGL.

    Left to itself it would try X first, and say on stderr that there is none.
    """
    import ctypes

    if not sys.platform.startswith("linux") or os.environ.get("DISPLAY"):
        return
    try:
        ctypes.CDLL("libEGL.so.1")
    except OSError:
        return
    os.environ.setdefault("VTK_DEFAULT_OPENGL_WINDOW", "vtkEGLRenderWindow")


def _lacking(reason: str) -> int:
    sys.stderr.write(f"{reason}\n")
    return NO_LIBRARY
