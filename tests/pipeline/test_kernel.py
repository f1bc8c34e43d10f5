"""What goes wrong on the way into the CAD kernel is said in the engineer's words."""

from __future__ import annotations

import signal

import pytest

from pipeline.errors import KernelFault, SystemLibraryError
from pipeline.kernel import interruption_held, kernel
from shapes.errors import KernelMissing, SolidError


def test_a_missing_library_names_what_the_loader_said() -> None:
    with pytest.raises(SystemLibraryError, match=r"libGL\.so\.1"), kernel():
        raise KernelMissing("libGL.so.1: cannot open shared object file")


def test_a_solid_that_is_none_is_a_fault_of_ours() -> None:
    with pytest.raises(KernelFault, match="two solids"), kernel():
        raise SolidError("a cut came out as two solids")


def test_ctrl_c_while_a_module_loads_comes_when_it_has_loaded() -> None:
    """A compiled module swallows it; `make` once called that a missing library."""
    steps = []

    def load() -> None:
        with interruption_held():
            signal.raise_signal(signal.SIGINT)
            steps.append("loaded")

    # a shell that starts the tests in the background has them ignore Ctrl-C
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        with pytest.raises(KeyboardInterrupt):
            load()
    finally:
        signal.signal(signal.SIGINT, before)
    assert steps == ["loaded"]


def test_without_ctrl_c_nothing_is_raised_and_the_handler_is_as_before() -> None:
    before = signal.getsignal(signal.SIGINT)
    with interruption_held():
        pass
    assert signal.getsignal(signal.SIGINT) is before
