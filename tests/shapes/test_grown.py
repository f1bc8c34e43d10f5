"""Growth by shrinkage: 1 / (1 - s) on every length, from the definition of linear shrinkage."""

from __future__ import annotations

import numpy as np
import pytest

from shapes.boundary import moments_of_solid
from shapes.box import Box
from shapes.cylinder import Cylinder
from shapes.grown import grown, grown_moments, grown_profile, growth
from shapes.turned import ArcStep, SplineStep, Turned

BODY = Box(size=(40.0, 50.0, 60.0), round=8.0)


@pytest.mark.parametrize("share", [0.002, 0.005, 0.15])
def test_the_volume_grows_by_the_cube(share: float) -> None:
    found = moments_of_solid(grown(BODY.solid(), share, share)).volume_mm3
    assert found == pytest.approx(BODY.moments().volume_mm3 * (1.0 / (1.0 - share)) ** 3, rel=1e-12)


def test_along_and_across_grow_apart() -> None:
    body = Cylinder(diameter=50.0, height=80.0)
    box = grown(body.solid(), 0.02, 0.01).BoundingBox(1e-4)
    assert box.zlen == pytest.approx(80.0 / 0.98, abs=1e-3)
    assert box.xlen == pytest.approx(50.0 / 0.99, abs=1e-3)


@pytest.mark.parametrize(("along", "across"), [(0.01, 0.01), (0.02, 0.005)])
def test_moments_of_the_grown_solid_are_the_mapped_ones(along: float, across: float) -> None:
    by_map = grown_moments(BODY.moments(), along, across)
    by_boundary = moments_of_solid(grown(BODY.solid(), along, across))
    np.testing.assert_allclose(by_boundary.second_mm5, by_map.second_mm5, rtol=0, atol=1e-3)


def test_no_shrinkage_changes_nothing() -> None:
    assert np.array_equal(growth(0.0, 0.0), np.eye(3))


@pytest.mark.parametrize(("along", "across"), [(0.01, 0.01), (0.02, 0.005)])
def test_a_grown_half_section_turns_the_grown_body(along: float, across: float) -> None:
    body = Turned(
        profile=((0.0, -30.0), (25.0, -30.0), SplineStep(spline=((30.0, 0.0), (20.0, 20.0))),
                 ArcStep(arc=(0.0, 40.0), through=(12.0, 35.0))),
        round=2.0,
    )  # fmt: skip
    found = grown_profile(body.section(), along, across).moments()
    due = grown_moments(body.moments(), along, across)
    assert found.volume_mm3 == pytest.approx(due.volume_mm3, rel=1e-12)
    np.testing.assert_allclose(found.second_mm5, due.second_mm5, rtol=1e-12, atol=1e-3)
