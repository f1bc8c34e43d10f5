"""General tolerances: ISO 2768-1:1989, table 1, from stored public copies of it."""

from __future__ import annotations

import pytest

from pipeline.tolerances import CLASSES, deviation_mm, named


@pytest.mark.parametrize(
    ("size_mm", "medium_mm"),
    [(0.5, 0.1), (6.0, 0.1), (6.1, 0.2), (30.0, 0.2), (30.1, 0.3), (120.1, 0.5), (400.0, 0.5)],
)
def test_the_medium_class(size_mm: float, medium_mm: float) -> None:
    assert deviation_mm(size_mm, "medium") == medium_mm


@pytest.mark.parametrize("size_mm", [0.4, 400.1])
def test_sizes_that_the_table_leaves_open(size_mm: float) -> None:
    assert deviation_mm(size_mm, "medium") is None


def test_a_coarser_class_never_allows_less() -> None:
    for size_mm in (4.0, 20.0, 100.0, 300.0):
        allowed = [deviation_mm(size_mm, word) or 0.0 for word in CLASSES]
        assert allowed == sorted(allowed)


def test_as_drawings_name_it() -> None:
    assert [named(word) for word in CLASSES] == [f"ISO 2768-{c}" for c in "fmcv"]
