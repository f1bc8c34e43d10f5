"""Scenes rendered, in a process of their own.

A renderer that dies takes nothing with it.  It draws at twice the size, which is then reduced.  One
that stays open draws a second picture of the same bodies in a fraction of the first one's time.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import threading
from contextlib import suppress
from pathlib import Path
from queue import Empty, Queue
from types import TracebackType

import numpy as np

from pipeline.errors import CorewrightError, OutputError, SystemLibraryError
from pipeline.job import NO_LIBRARY, SLOTS, Job, Meshes, Shot, said, tray
from pipeline.looks import SHORE, Look
from pipeline.rods import rods_of, threaded
from pipeline.scene import Scene
from pipeline.sheet import Sheet
from pipeline.system_libraries import message, missing

_PATIENCE_S = 90.0  # for one picture, and some more for a large one
_TWICE_UP_TO_PX = 4096  # beyond this the picture is drawn at its own size
_SAID = "stderr.txt"  # a pipe would fill and stop a process that says much
_CODE = "import sys; from pipeline.studio import serve; sys.exit(serve(*sys.argv[1:]))"


class Renderer:
    """A renderer's process, to be used in a `with` statement.

    Jobs are sent ahead of what is fetched, SLOTS at most, so that one is looked at while the next
    is rendered.  A shot that was fetched is overwritten when SLOTS more jobs have been sent.
    """

    def __enter__(self) -> Renderer:
        self._folder = tempfile.TemporaryDirectory(prefix="corewright-", ignore_cleanup_errors=True)
        self._place = Path(self._folder.name)
        self._process = _started(self._place)
        self._meshes = Meshes(self._place)
        self._answers: Queue[str] = Queue()
        self._listener = threading.Thread(target=self._listen, daemon=True)
        self._listener.start()
        self._sent = 0
        self._trays: dict[tuple[int, int], list[Shot]] = {}
        self._due: list[tuple[tuple[int, int], int, float]] = []
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if kind is not None:
            self._process.kill()
        assert self._process.stdin is not None
        with suppress(OSError):  # it had died with words still on their way
            self._process.stdin.close()
        try:
            self._process.wait(20.0)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()
        self._listener.join()
        if self._process.stdout:
            self._process.stdout.close()
        self._trays.clear()
        self._folder.cleanup()

    def send(self, job: Job) -> None:
        """Have a job rendered; at most SLOTS may be waiting to be fetched.

        Raises:
            SystemLibraryError: the renderer lacks a library of the system.
            OutputError: it failed otherwise.
        """
        if job.size not in self._trays:
            self._trays[job.size] = [
                tray(self._place, job.size, slot, new=True) for slot in range(SLOTS)
            ]
        slot = self._sent % SLOTS
        line = said(job, self._meshes.numbers(job))
        # as a file: a long line would wait for a renderer that does not read
        job_file = self._place / f"job{self._sent}.json"
        job_file.write_text(f'{line[:-1]}, "slot": {slot}}}', encoding="utf-8")
        assert self._process.stdin is not None
        try:
            self._process.stdin.write(f"{job_file.name}\n")
            self._process.stdin.flush()
        except OSError:
            raise self._died() from None
        self._sent += 1
        self._due.append((job.size, slot, _PATIENCE_S + 4e-6 * job.size[0] * job.size[1]))

    def fetch(self) -> Shot:
        """The shot of the earliest job that was not fetched yet.

        Raises:
            SystemLibraryError: the renderer lacks a library of the system.
            OutputError: it failed otherwise, hangs, or drew nothing.
        """
        size, slot, seconds = self._due.pop(0)
        try:
            answer = self._answers.get(timeout=seconds)
        except Empty:
            self._process.kill()
            raise OutputError(_failure(f"it did not finish within {seconds:.0f} s")) from None
        if not answer:
            raise self._died()
        shot = self._trays[size][slot]
        if not shot.ball[..., 3].any() or shot.ball[::3, ::3].std() < 1.0:
            raise OutputError(_failure("it drew nothing"))
        return shot

    def _listen(self) -> None:
        assert self._process.stdout is not None
        for line in self._process.stdout:
            self._answers.put(line)
        self._answers.put("")

    def _died(self) -> CorewrightError:
        """What to say of a process that has ended."""
        status = self._process.wait()
        words = (self._place / _SAID).read_text("utf-8", "replace").strip().splitlines()
        if status == NO_LIBRARY:
            return SystemLibraryError(message(words[-1] if words else ""))
        if status < 0:
            return OutputError(_failure(f"it died of signal {-status}"))
        return OutputError(_failure(words[-1] if words else f"it ended with status {status}"))


def render(scene: Scene, sheet: Sheet, look: Look = SHORE) -> Shot:
    """One shot of the stage, at the final size.

    Raises:
        SystemLibraryError: the renderer lacks a library of the system.
        OutputError: it failed otherwise, or drew nothing.
    """
    with Renderer() as renderer:
        renderer.send(job_of(scene, sheet, look))
        return _kept(renderer.fetch())


def _kept(shot: Shot) -> Shot:
    """A shot that does not lie in the renderer's file."""
    return Shot(np.array(shot.ball), np.array(shot.over), np.array(shot.depth_mm))


def job_of(scene: Scene, sheet: Sheet, look: Look = SHORE) -> Job:
    """What to render so that the scene falls on the sheet's stage."""
    stage, (x, y) = sheet.stage, sheet.origin
    rods = [
        *(rod for axis in scene.axes for rod in rods_of(axis, scene)),
        *(rod for thread in scene.threads for rod in threaded(thread)),
    ]
    return Job(
        size=(int(stage.width), int(stage.height)),
        fine=2 if max(sheet.size) <= _TWICE_UP_TO_PX else 1,
        camera=scene.camera,
        middle_mm=(
            ((stage.left + stage.right) / 2.0 - x) / sheet.px_per_mm,
            (y - (stage.top + stage.bottom) / 2.0) / sheet.px_per_mm,
        ),
        half_height_mm=stage.height / 2.0 / sheet.px_per_mm,
        reach_mm=3.0 * scene.reach_mm,
        manner=look.manner,
        lamps=look.lamps,
        surfaces=scene.surfaces,
        rods=tuple(rod.coloured(look.ink(rod.colour)) for rod in rods),
    )


def _started(folder: Path) -> subprocess.Popen[str]:
    """A fresh process, not a fork: the CAD kernel's threads would hang a copy of this one."""
    root = str(Path(__file__).resolve().parents[1])
    paths = [root, *filter(None, os.environ.get("PYTHONPATH", "").split(os.pathsep))]
    with (folder / _SAID).open("wb") as words:
        return subprocess.Popen(
            [sys.executable, "-P", "-c", _CODE, str(folder), str(os.getpid())],
            env={**os.environ, "PYTHONPATH": os.pathsep.join(paths), "PYTHONIOENCODING": "utf-8"},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=words,
            encoding="utf-8",
            errors="replace",
        )


def _failure(reason: str) -> str:
    """What to say of a renderer that failed, with the libraries to install if any are missing."""
    absent = missing()
    advice = f"; {message(absent=absent)}" if absent else ""
    return f"the picture could not be rendered: {reason}{advice}"
