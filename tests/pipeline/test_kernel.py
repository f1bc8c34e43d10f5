"""What goes wrong on the way into the CAD kernel is said in the engineer's words."""

from __future__ import annotations

import pytest

from pipeline.errors import KernelFault, SystemLibraryError
from pipeline.kernel import kernel
from shapes.errors import KernelMissing, SolidError


def test_a_missing_library_names_what_the_loader_said() -> None:
    with pytest.raises(SystemLibraryError, match=r"libGL\.so\.1"), kernel():
        raise KernelMissing("libGL.so.1: cannot open shared object file")


def test_a_solid_that_is_none_is_a_fault_of_ours() -> None:
    with pytest.raises(KernelFault, match="two solids"), kernel():
        raise SolidError("a cut came out as two solids")


def test_ctrl_c_while_a_module_loads_stays_ctrl_c() -> None:
    """A compiled module turns it into an ImportError; `make` once called that a missing library."""
    with pytest.raises(KeyboardInterrupt), kernel():
        try:
            raise KeyboardInterrupt
        except KeyboardInterrupt as error:
            raise ImportError("initialization failed") from error
