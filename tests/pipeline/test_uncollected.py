"""The collector is off inside, and as it was behind."""

from __future__ import annotations

import gc

import pytest

from pipeline.uncollected import uncollected


def test_it_is_off_inside_and_on_again_behind() -> None:
    with uncollected():
        assert not gc.isenabled()
    assert gc.isenabled()


def test_it_is_on_again_after_a_failure() -> None:
    with pytest.raises(KeyError), uncollected():
        raise KeyError
    assert gc.isenabled()
