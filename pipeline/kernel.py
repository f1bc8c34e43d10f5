"""The way into the CAD kernel and the renderer: what is missing or fails there, said plainly."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from pipeline.errors import KernelFault, SystemLibraryError


@contextmanager
def kernel() -> Iterator[None]:
    """Import and use the CAD kernel or the renderer inside this.

    Raises:
        SystemLibraryError: a system library that their wheels link is not there.
        KernelFault: the kernel gave something that is not the solid asked for.
        KeyboardInterrupt: Ctrl-C came while a module was loading.
    """
    from shapes.errors import SolidError

    try:
        yield
    except ImportError as error:
        if _was_interrupted(error):
            raise KeyboardInterrupt from error
        from pipeline.system_libraries import message

        raise SystemLibraryError(message(str(error))) from error
    except SolidError as error:
        raise KernelFault(str(error)) from error


def _was_interrupted(error: BaseException | None) -> bool:
    """Whether Ctrl-C lies behind an import that failed: a compiled module hides it there."""
    while error is not None:
        if isinstance(error, KeyboardInterrupt):
            return True
        error = error.__cause__ or error.__context__
    return False
