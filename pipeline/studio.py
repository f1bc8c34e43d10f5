"""The renderer's own process: it opens a window, renders a job, and leaves pixels and depth."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from pipeline.job import NO_LIBRARY, read_job, write_shot

_WINDOWS = ("vtkXOpenGLRenderWindow", "vtkEGLRenderWindow")  # that can be drawn in, on Linux


def draw_job(folder: str) -> int:
    """Render what lies in a folder, and leave the result there.

    Returns:
        The exit status; after one that is not 0, the last line on stderr says why.
    """
    _choose_window()
    try:
        from vtkmodules.vtkRenderingCore import vtkRenderWindow

        from pipeline.stage import shoot
    except ImportError as error:
        return _lacking(str(error))
    window = vtkRenderWindow()
    kind = window.GetClassName()
    if sys.platform.startswith("linux") and kind not in _WINDOWS:  # it would crash when used
        return _lacking("neither EGL nor an X server opens a window to render in")
    write_shot(*shoot(read_job(Path(folder)), window), Path(folder))
    return 0


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
