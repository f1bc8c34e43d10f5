"""The way into the CAD kernel and the renderer: what is missing or fails there, said plainly."""

from __future__ import annotations

import signal
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

from pipeline.errors import KernelFault, SystemLibraryError


@contextmanager
def kernel() -> Iterator[None]:
    """Import and use the CAD kernel or the renderer inside this.

    Raises:
        SystemLibraryError: a system library that their wheels link is not there.
        KernelFault: the kernel gave something that is not the solid asked for.
    """
    from shapes.errors import SolidError

    try:
        _load()
        yield
    except ImportError as error:
        from pipeline.system_libraries import message

        raise SystemLibraryError(message(str(error))) from error
    except SolidError as error:
        raise KernelFault(str(error)) from error


def _load() -> None:
    """Load the CAD kernel, once, with Ctrl-C held back.

    A compiled module that is stopped half-way swallows the interruption and leaves an import error
    behind, or itself half loaded.
    """
    if "shapes.solid" not in sys.modules:
        with interruption_held():
            import shapes.solid  # noqa: F401


@contextmanager
def interruption_held() -> Iterator[None]:
    """Hold Ctrl-C back until the end of this; then it is raised as usual."""
    held: list[int] = []

    def hold(number: int, _: FrameType | None) -> None:
        held.append(number)

    if threading.current_thread() is not threading.main_thread():
        yield  # only the main thread is ever interrupted
        return
    before = signal.signal(signal.SIGINT, hold)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
    if held:
        signal.raise_signal(signal.SIGINT)
