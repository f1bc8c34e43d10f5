"""Checks of a casting cost time linear in facets."""

from __future__ import annotations

from collections.abc import Callable
from time import process_time

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from pipeline.ball import build_ball
from pipeline.castings import castings_of
from pipeline.load import load
from pipeline.shipped import shipped
from shapes.draw import draw
from shapes.pieces import Split
from shapes.skin import Skin, skin_of
from shapes.thickness import walls_of

SPLITS = (Split((0.0, 0.0, -1.0), 62.0), Split((0.0, 1.0, 0.0), 0.0))
SLACK = 1.8  # times linear, for what memory and sorting add


def skins() -> tuple[Skin, Skin]:
    """The Dunlin's core by facets, and by about eight times as many."""
    solid = castings_of(build_ball(load(shipped("dunlin"))))[0].as_cut
    return skin_of(solid, 0.1, 0.15), skin_of(solid, 0.012, 0.05)


def seconds(work: Callable[[Skin], object], skin: Skin) -> float:
    best = float("inf")
    for _ in range(3):
        start = process_time()
        work(skin)
        best = min(best, process_time() - start)
    return best


@pytest.mark.parametrize(
    "work", [lambda skin: draw(skin, SPLITS), walls_of], ids=["draft and undercut", "walls"]
)
def test_checks_are_linear_in_facets(
    benchmark: BenchmarkFixture, work: Callable[[Skin], object]
) -> None:
    few, many = skins()
    times = len(many) / len(few)
    ratio = seconds(work, many) / seconds(work, few)
    benchmark.extra_info["facets"] = [len(few), len(many)]
    benchmark.extra_info["ratio of seconds"] = round(ratio, 2)
    benchmark.pedantic(work, args=(many,), rounds=1)
    assert times > 3.0
    assert ratio <= SLACK * times
