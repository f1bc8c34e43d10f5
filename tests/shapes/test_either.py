"""One number and a column of numbers give the same."""

from __future__ import annotations

import math

import numpy as np
import pytest

from shapes import either

NUMBERS = np.array([[-2.0], [0.0], [0.3], [5.0]])


@pytest.mark.parametrize("name", ["sqrt", "tan", "sin", "cos"])
def test_of_one_argument(name: str) -> None:
    function = getattr(either, name)
    with np.errstate(invalid="ignore"):
        column = function(NUMBERS)
    for k, number in enumerate(NUMBERS[:, 0]):
        one = function(float(number))
        assert isinstance(one, float)
        assert one == pytest.approx(column[k, 0], rel=1e-15, nan_ok=True)


@pytest.mark.parametrize("name", ["hypot", "arctan2", "ratio"])
def test_of_two_arguments(name: str) -> None:
    function = getattr(either, name)
    column = function(NUMBERS, 2.5)
    for k, number in enumerate(NUMBERS[:, 0]):
        assert function(float(number), 2.5) == pytest.approx(column[k, 0], rel=1e-15)


def test_nothing_to_divide_by_is_no_number() -> None:
    assert math.isnan(either.ratio(1.0, 0.0))


def test_choice_by_one_answer_or_by_a_column_of_them() -> None:
    assert either.where(True, 1.0, 2.0) == 1.0
    assert either.where(NUMBERS > 0.1, 1.0, 2.0)[:, 0].tolist() == [2.0, 2.0, 1.0, 1.0]
