"""Searching: many balls through the public call against building each in the CAD kernel."""

from __future__ import annotations

import tracemalloc
from time import perf_counter

import pytest
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from pytest_benchmark.fixture import BenchmarkFixture

from pipeline.ball import build_ball
from pipeline.design import Design
from pipeline.fit import fit
from pipeline.rows import Rows, weigh_rows
from pipeline.samples import Scatter, values_of
from pipeline.solids import solids_of
from tests.pipeline.searched import BOX, FLARED, design

TURNED = design(
    FLARED,
    """part: inner core, field: lower_diameter, from: 4.0, to: 4.6
part: inner core, field: height, from: 4.2, to: 5.0
part: inner core, field: flare_height, from: 1.2, to: 2.0
material: clay, from: 1.8, to: 2.6""",
)
BLOCK = design(
    BOX,
    """part: inner core, field: size.x, from: 3.2, to: 3.8
part: inner core, field: size.z, from: 4.2, to: 4.8
part: inner core, field: tilt.by, from: 0, to: 8
material: clay, from: 1.8, to: 2.6""",
)
COUNT = 100_000


def swept(asked: Design, count: int) -> Rows:
    varied = asked.wanted.varied
    return weigh_rows(asked, varied, values_of(varied, Scatter(count, len(varied)), 0, count))


def by_kernel(asked: Design) -> object:
    """Build the ball's solids and ask the kernel for their properties."""
    found = []
    for part in solids_of(build_ball(asked)):
        for lump in part.lumps:
            properties = GProp_GProps()
            BRepGProp.VolumeProperties_s(lump.wrapped, properties)
            found.append(properties.MatrixOfInertia())
    return found


@pytest.mark.benchmark(group=f"{COUNT} balls in one call")
@pytest.mark.parametrize(
    ("name", "asked", "times"), [("turned", TURNED, 3000), ("block", BLOCK, 300)]
)
def test_balls_in_columns_against_the_kernel(
    benchmark: BenchmarkFixture, name: str, asked: Design, times: int
) -> None:
    rows = swept(asked, COUNT)
    assert rows.good.mean() > 0.99, name
    benchmark.pedantic(lambda: swept(asked, COUNT), rounds=3)
    each = benchmark.stats.stats.min / COUNT
    start = perf_counter()
    by_kernel(asked)
    once = perf_counter() - start
    benchmark.extra_info["balls a second"] = round(1.0 / each)
    benchmark.extra_info["times faster than the kernel"] = round(once / each)
    assert once / each >= times


@pytest.mark.benchmark(group="cost of one ball as there are more")
def test_a_ball_costs_the_same_among_a_thousand_and_a_million(benchmark: BenchmarkFixture) -> None:
    def seconds(count: int, tries: int) -> float:
        found = []
        for _ in range(tries):
            start = perf_counter()
            swept(TURNED, count)
            found.append(perf_counter() - start)
        return min(found) / count

    benchmark.pedantic(lambda: swept(TURNED, 20_000), rounds=3)
    few, many = seconds(2_000, 9), seconds(1_000_000, 1)
    benchmark.extra_info["a million to a thousand, a ball"] = round(many / few, 2)
    assert many / few < 1.5


@pytest.mark.benchmark(group="memory of a chunk")
def test_a_chunk_needs_no_more_memory_late_in_a_sweep(benchmark: BenchmarkFixture) -> None:
    from pipeline.sweep import Plan, weigh_chunk

    plan = Plan(TURNED, Scatter(10_000_000, 4))

    def most(chunk: int) -> int:
        tracemalloc.start()
        weigh_chunk(plan, chunk)
        _, peak = tracemalloc.get_traced_memory()
        tracemalloc.stop()
        return peak

    benchmark.pedantic(lambda: weigh_chunk(plan, 0), rounds=2)
    first, late = most(1), most(400)
    benchmark.extra_info["MB of a chunk"] = round(late / 1e6, 1)
    assert late < 1.2 * first


AIM = """aim:
  low_rg: {value: 2.57, within: 0.0001}
  total_differential: {value: 0.042, within: 0.0001}
"""
FIVE = """part: inner core, field: lower_diameter, from: 3.0, to: 5.0
part: inner core, field: height, from: 3.8, to: 5.4
part: inner core, field: diameter, from: 2.2, to: 3.4
part: inner core, field: flare_height, from: 1.0, to: 2
material: clay, from: 1.6, to: 2.8"""
BLOCK_AIM = """aim:
  low_rg: {value: 2.55, within: 0.0001}
  total_differential: {value: 0.042, within: 0.0001}
  intermediate_differential: {value: 0.012, within: 0.0001}
"""
BLOCK_FIVE = """part: inner core, field: size.x, from: 3.0, to: 4.5
part: inner core, field: size.y, from: 3, to: 5
part: inner core, field: size.z, from: 3.8, to: 6
part: inner core, field: tilt.by, from: 0, to: 10
material: clay, from: 1.6, to: 2.8"""


@pytest.mark.benchmark(group="fits of five numbers")
@pytest.mark.parametrize(
    ("asked", "kernel_times"),
    [(design(FLARED, FIVE, AIM), 100), (design(BOX, BLOCK_FIVE, BLOCK_AIM), 500)],
    ids=["symmetrical", "asymmetrical"],
)
def test_a_fit_takes_as_long_as_some_kernel_builds(
    benchmark: BenchmarkFixture, asked: Design, kernel_times: int
) -> None:
    """Two seconds, or ten, where the kernel takes about a fiftieth of one for a ball."""
    found = fit(asked)
    assert found.best.met
    benchmark.pedantic(lambda: fit(asked), rounds=3)
    start = perf_counter()
    by_kernel(asked)
    once = perf_counter() - start
    benchmark.extra_info["kernel builds"] = round(benchmark.stats.stats.min / once, 1)
    assert benchmark.stats.stats.min < kernel_times * once
