"""Rows of three by columns give what numpy gives along them."""

from __future__ import annotations

import numpy as np
import pytest

from shapes.moments import Array
from shapes.triples import cross, dot, greatest, least, length, where_least

A, B = np.random.default_rng(7).normal(size=(2, 1001, 3))
TIED = np.array([[1.0, 1.0, 2.0], [2.0, 1.0, 1.0], [1.0, 2.0, 1.0], [3.0, 3.0, 3.0]])


def test_a_product_is_the_sum_along_the_row() -> None:
    assert np.array_equal(dot(A, B), (A * B).sum(axis=1))


def test_a_cross_product_is_numpys() -> None:
    assert np.array_equal(cross(A, B), np.cross(A, B))


def test_a_length_is_numpys() -> None:
    assert np.array_equal(length(A), np.linalg.norm(A, axis=1))


def test_the_least_and_the_greatest_are_numpys() -> None:
    assert np.array_equal(least(A), A.min(axis=1))
    assert np.array_equal(greatest(A), A.max(axis=1))


def test_rows_side_by_side_are_compared_one_by_one() -> None:
    both = np.stack([A, B], axis=2)
    assert np.array_equal(least(both), both.min(axis=1))
    assert np.array_equal(greatest(both), both.max(axis=1))


@pytest.mark.parametrize("rows", [A, TIED], ids=["any", "tied"])
def test_the_least_is_where_it_is_first_found(rows: Array) -> None:
    assert np.array_equal(where_least(rows), rows.argmin(axis=1))
