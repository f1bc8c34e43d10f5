"""Moments of every family against building it in the CAD kernel and asking that for properties."""

from __future__ import annotations

from collections.abc import Callable
from time import perf_counter

import numpy as np
import pytest
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from pytest_benchmark.fixture import BenchmarkFixture

from shapes.parameters import NUMERIC, parameters_of
from shapes.registry import FAMILIES
from shapes.shape import Shape
from shapes.stack import moments_of_many

PLAIN = [w for w, f in FAMILIES.items() if all(p.kind in NUMERIC for _, p in parameters_of(f))]
MANY = 4000


def seconds(call: Callable[[], object], times: int, tries: int = 3) -> float:
    """Of one call, the quickest of a few tries."""
    found = []
    for _ in range(tries):
        start = perf_counter()
        for _ in range(times):
            call()
        found.append((perf_counter() - start) / times)
    return min(found)


def by_kernel(shape: Shape) -> object:
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape.solid().wrapped, properties)
    return properties.MatrixOfInertia(), properties.CentreOfMass()


@pytest.mark.benchmark(group="moments of one body, family by family")
@pytest.mark.parametrize("word", PLAIN)
def test_exact_moments_are_200_times_faster_than_the_kernel(
    benchmark: BenchmarkFixture, word: str
) -> None:
    shape = FAMILIES[word].typical()
    benchmark(shape.moments)
    ratio = seconds(lambda: by_kernel(shape), 2) / benchmark.stats.stats.min
    benchmark.extra_info["times faster"] = round(ratio)
    assert ratio >= 200


@pytest.mark.benchmark(group=f"moments of {MANY} bodies in one call, family by family")
@pytest.mark.parametrize("word", PLAIN)
def test_many_at_once_are_faster_than_one_by_one(benchmark: BenchmarkFixture, word: str) -> None:
    family = FAMILIES[word]
    typical = family.typical()
    share = np.linspace(0.99, 1.01, MANY)
    given = {}
    for field, parameter in parameters_of(family):
        value = getattr(typical, field.name)
        if parameter.kind == "count":
            given[field.name] = value
        elif parameter.kind in ("lengths", "series"):
            given[field.name] = share[:, None] * np.array(value)
        else:
            given[field.name] = share * value
    found = moments_of_many(family, given)
    assert found.taken.mean() > 0.4
    benchmark.pedantic(lambda: moments_of_many(family, given), rounds=3)
    each = benchmark.stats.stats.min / MANY
    ratio = seconds(typical.moments, 20) / each
    benchmark.extra_info["bodies a second"] = round(1.0 / each)
    benchmark.extra_info["times faster than one by one"] = round(ratio, 1)
    assert ratio >= 1.0
