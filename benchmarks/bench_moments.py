"""Exact moments of a whole turned ball against building it in CadQuery and asking the kernel."""

from __future__ import annotations

from time import perf_counter

import cadquery as cq
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from pipeline.ball import build_ball
from pipeline.load import load
from pipeline.shipped import shipped
from pipeline.solids import solids_of
from pipeline.weigh import weigh
from shapes.boundary import moments_of_lumps

IN = 25.4


def kernel_ball() -> list[tuple[float, object, object]]:
    """Dunlin as one would build it by hand: profile, fillets, two cuts, kernel properties."""
    outline = (
        cq.Workplane("XZ")
        .moveTo(0, -2.635 * IN)
        .lineTo(2.2 * IN, -2.635 * IN)
        .lineTo(2.2 * IN, -1.93 * IN)
        .lineTo(1.8 * IN, -1.38 * IN)
        .spline([(2.184 * IN, 0.2 * IN), (1.75 * IN, 1.5 * IN)], includeCurrent=True)
        .threePointArc((1.114 * IN, 2.493 * IN), (0, 2.88 * IN))
        .close()
    )
    core = outline.revolve(360, (0, 0, 0), (0, 1, 0)).edges("%CIRCLE").fillet(0.1 * IN)
    core = core.translate((0, 0, 0.4 * IN))
    inner, outer = cq.Workplane().sphere(7.05 / 2 * IN), cq.Workplane().sphere(8.55 / 2 * IN)
    solids = [core.val(), inner.cut(core).val(), outer.cut(inner).val()]
    return [(s.Volume(), s.Center(), cq.Shape.matrixOfInertia(s)) for s in solids]


def best_of(count: int, call: object) -> float:
    """Seconds of the quickest of a few calls."""
    assert callable(call)
    times = []
    for _ in range(count):
        start = perf_counter()
        call()
        times.append(perf_counter() - start)
    return min(times)


@pytest.mark.benchmark(group="whole turned ball")
def test_exact_moments_are_500_times_faster_than_the_kernel(benchmark: BenchmarkFixture) -> None:
    design = load(shipped("dunlin"))
    benchmark(lambda: weigh(build_ball(design)))
    ratio = best_of(3, kernel_ball) / benchmark.stats.stats.min
    benchmark.extra_info["times faster"] = round(ratio)
    assert ratio >= 500


@pytest.mark.benchmark(group="boundary route")
def test_the_boundary_route_takes_less_than_a_tenth_of_the_solids(
    benchmark: BenchmarkFixture,
) -> None:
    """Under 30 ms a ball on the machine it was set on; as a ratio, a tenth of building them."""
    from shapes.carve import carve

    ball = build_ball(load(shipped("dunlin")))
    solids = solids_of(ball)
    benchmark(lambda: [moments_of_lumps(one.lumps) for one in solids])
    carve.cache_clear()
    ratio = benchmark.stats.stats.min / best_of(1, lambda: solids_of(ball))
    benchmark.extra_info["milliseconds"] = round(benchmark.stats.stats.min * 1000, 1)
    benchmark.extra_info["share of building the solids"] = round(ratio, 3)
    assert ratio < 0.1
