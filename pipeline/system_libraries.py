"""The libraries of the system that the wheels of the CAD kernel and the renderer do not bring.

Looked for by name, so that the engineer hears which package to install and not which file a linker
missed; without the renderer's window library a picture would even end in a crash.  Run as a module,
it says what is missing and fails.
"""

from __future__ import annotations

import sys
from typing import NamedTuple


class Library(NamedTuple):
    """A shared library and the packages that hold it."""

    soname: str
    debian: str
    fedora: str


# Debian 12's names were tried on a bare system; Fedora's are from memory.
LIBRARIES = (
    Library("libGL.so.1", "libgl1", "mesa-libGL"),  # the kernel's viewer, linked though unused
    Library("libX11.so.6", "libx11-6", "libX11"),  # the same viewer's window
    Library("libexpat.so.1", "libexpat1", "expat"),  # the kernel's fonts
    Library("libstdc++.so.6", "libstdc++6", "libstdc++"),  # every compiled wheel
    Library("libEGL.so.1", "libegl1", "mesa-libEGL"),  # the renderer, to draw without a screen
)


def missing() -> tuple[Library, ...]:
    """The libraries that cannot be loaded; none on macOS and Windows, whose wheels are complete.

    >>> isinstance(missing(), tuple)
    True
    """
    if not sys.platform.startswith("linux"):
        return ()
    from ctypes import CDLL

    absent = []
    for library in LIBRARIES:
        try:
            CDLL(library.soname)
        except OSError:
            absent.append(library)
    return tuple(absent)


def message(reason: str = "", absent: tuple[Library, ...] | None = None) -> str:
    """One sentence: what is missing and how to get it.

    Args:
        reason: the loader's own words, told when nothing known is missing.
        absent: what `missing` found; looked for when not given.

    >>> message(absent=LIBRARIES[:1])
    'the system lacks libGL.so.1: install libgl1 (Debian, Ubuntu) or mesa-libGL (Fedora)'
    >>> message("libfoo.so.2 is not there", absent=())
    'a library that the CAD kernel or the renderer links fails: libfoo.so.2 is not there'
    """
    absent = missing() if absent is None else absent
    if not absent:
        return f"a library that the CAD kernel or the renderer links fails: {reason}"
    names = ", ".join(library.soname for library in absent)
    debian = " ".join(library.debian for library in absent)
    fedora = " ".join(library.fedora for library in absent)
    return f"the system lacks {names}: install {debian} (Debian, Ubuntu) or {fedora} (Fedora)"


if __name__ == "__main__":
    if found := missing():
        sys.exit(f"corewright: {message(absent=found)}")
