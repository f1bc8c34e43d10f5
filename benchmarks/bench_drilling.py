"""Drilled mass properties by columns against the CAD kernel's cuts, and many layouts at once."""

from __future__ import annotations

from time import perf_counter

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from pipeline.ball import Ball, build_ball
from pipeline.crew import Crew
from pipeline.drilled import Drilled, bores_of, drill, drilled_by
from pipeline.layouts import FINENESS, field_of, mapped
from pipeline.load import load, read_design
from pipeline.shipped import shipped
from pipeline.solids import solids_of
from shapes import solid
from shapes.bored import columns_of, taken
from shapes.boundary import moments_of_lumps

HOLES = """
drilling:
  hand: right
  grip:
    middle: {span: 4 3/8, diameter: 25/32, depth: 2.5}
    ring: {span: 4 5/16, diameter: 3/4, depth: 2.5}
    bridge: 0.25
    thumb: {diameter: 1, depth: 2.75, bottom: {point: 118}, reverse: 3/8, left: 1/8}
  axis_point: {over: 5, up: 1/2}
  layout: {pin_to_axis_point: 4, pin_to_val: 2, pin: above%s}
"""
MARKED = ", mark_to_axis_point: 5, mark: below"


def ball_of(name: str) -> Ball:
    text = shipped(name).read_text(encoding="utf-8")
    return build_ball(read_design(text + HOLES % (MARKED if name == "turnstone" else "")))


def by_columns(drilled: Drilled) -> Drilled:
    found = taken(columns_of(bores_of(drilled.holes), FINENESS), drilled.ball.bodies)
    doubt = np.zeros(len(drilled.ball.parts))
    return drilled_by(drilled.ball, drilled.undrilled, drilled.laid, found, doubt)


def by_kernel(drilled: Drilled) -> list[object]:
    """The parts' solids, made before, cut by fresh bores and weighed by their boundaries."""
    found: list[object] = []
    for part in solids_of(drilled.ball):
        tools = [
            solid.placed(bore.shape.solid(), bore.placement) for bore in bores_of(drilled.holes)
        ]
        found.append(
            moments_of_lumps([piece for lump in part.lumps for piece in solid.cut(lump, tools)])
        )
    return found


def seconds(work: object, repeats: int) -> float:
    """The least time of some repeats."""
    times = []
    for _ in range(repeats):
        start = perf_counter()
        work()  # type: ignore[operator]
        times.append(perf_counter() - start)
    return min(times)


@pytest.mark.benchmark(group="a drilled ball")
@pytest.mark.parametrize(("name", "times"), [("dunlin", 200), ("turnstone", 200)])
def test_columns_against_cuts(benchmark: BenchmarkFixture, name: str, times: int) -> None:
    drilled = drill(ball_of(name))
    assert drilled is not None
    by_columns(drilled)
    by_kernel(drilled)
    own = benchmark(by_columns, drilled)
    exact = drilled.properties.principal.rg_mm
    assert np.abs(own.properties.principal.rg_mm - exact).max() / 25.4 < 1e-5
    ratio = seconds(lambda: by_kernel(drilled), 3) / seconds(lambda: by_columns(drilled), 20)
    benchmark.extra_info["kernel over columns"] = round(ratio)
    assert ratio > times


@pytest.mark.benchmark(group="400 layouts")
@pytest.mark.parametrize("name", ["dunlin-drilled", "turnstone-drilled"])
def test_a_grid_of_layouts(benchmark: BenchmarkFixture, name: str) -> None:
    ball = build_ball(load(shipped(name)))
    field = field_of(ball, (1.0, 6.5), (0.0, 4.0), (20, 20))
    found = benchmark.pedantic(mapped, (field, Crew()), rounds=2, warmup_rounds=1)
    assert found.closes.any()
    assert benchmark.stats.stats.min < 2.0
