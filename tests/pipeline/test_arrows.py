"""Axes as they are drawn: as they lie, and nothing undefined made up."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from pipeline.arrows import axes_of
from pipeline.ball import build_ball
from pipeline.load import load, read_design
from pipeline.scene import Axis, Camera, Label
from pipeline.shipped import shipped
from pipeline.weigh import MassProperties, weigh

LEVEL, ABOVE = 0.0, 21.0
REACH_MM = 108.0
FLAT = """
format: corewright 1
name: Flat
revision: A
units: in
ball: {diameter: 8.55}
materials: {a: {density: 2}, b: {density: 1}}
parts:
  - {name: puck, material: a, shape: cylinder, diameter: 5, height: 2}
  - {name: cover, material: b, shape: sphere, diameter: 8.55}
"""


@cache
def weighed(name: str) -> MassProperties:
    return weigh(build_ball(load(shipped(name))))


def drawn(
    properties: MassProperties, elevation_deg: float
) -> tuple[Camera, tuple[Axis, ...], tuple[Label, ...]]:
    camera = Camera(30.0, elevation_deg)
    return camera, *axes_of(properties, camera, REACH_MM)


def unit(vector: np.ndarray) -> np.ndarray:
    return np.asarray(vector / np.linalg.norm(vector))


def test_each_axis_has_a_line_of_its_own() -> None:
    _, axes, _ = drawn(weighed("turnstone"), ABOVE)
    assert [(axis.name, axis.line, axis.heads) for axis in axes] == [
        ("low", "solid", 1), ("intermediate", "dashed", 1), ("high", "double", 1),
    ]  # fmt: skip


@pytest.mark.parametrize("elevation", [LEVEL, ABOVE])
def test_arrows_point_along_the_principal_axes(elevation: float) -> None:
    properties = weighed("turnstone")
    camera, axes, _ = drawn(properties, elevation)
    for axis in axes:
        way = camera.project(axis.path_mm[1] - axis.path_mm[0])
        due = camera.project(getattr(properties.principal, axis.name))
        assert abs(unit(way) @ unit(due)) == pytest.approx(1.0)


def test_arrows_start_at_the_centre_of_gravity() -> None:
    properties = weighed("turnstone")
    _, axes, _ = drawn(properties, ABOVE)
    for axis in axes:
        assert axis.path_mm[0] == pytest.approx(properties.centre_of_gravity_mm)


def test_labels_carry_the_rgs() -> None:
    properties = weighed("turnstone")
    _, axes, labels = drawn(properties, ABOVE)
    assert [label.lines[0] for label in labels] == [
        f"{axis.name} RG {rg / 25.4:.3f} in"
        for axis, rg in zip(axes, properties.principal.rg_mm, strict=True)
    ]


@pytest.mark.parametrize(("elevation", "heads"), [(ABOVE, 0), (LEVEL, 2)])
def test_an_undefined_axis_is_a_ring_or_on_edge_points_both_ways(
    elevation: float, heads: int
) -> None:
    _, axes, labels = drawn(weighed("dunlin"), elevation)
    assert [(axis.name, axis.heads) for axis in axes] == [("low", 1), ("high", heads)]
    assert labels[1].lines[1:] == ("any direction", "across the low axis")


def test_the_ring_lies_across_the_axis_that_is_defined() -> None:
    properties = weighed("dunlin")
    _, (_, ring), _ = drawn(properties, ABOVE)
    off = ring.path_mm - ring.path_mm.mean(axis=0)
    assert np.abs(off @ properties.principal.low).max() < 1e-9


def test_a_flat_core_has_a_ring_of_low_axes() -> None:
    _, axes, _ = drawn(weigh(build_ball(read_design(FLAT))), ABOVE)
    assert {(a.name, a.heads, a.line) for a in axes} == {("high", 1, "double"), ("low", 0, "solid")}


@pytest.mark.parametrize("turn_deg", [0.0, 40.0, 90.0, 200.0])
def test_in_a_film_of_a_level_view_axes_stay_on_the_centre_of_gravity(turn_deg: float) -> None:
    """They come out of the section towards the frame's own camera, which does not show."""
    ball = build_ball(load(shipped("turnstone")))
    properties = weigh(ball)
    first = Camera(10.0, 0.0)
    camera = Camera(10.0 - turn_deg, 0.0)
    axes, _ = axes_of(properties, camera, ball.radius_mm, first)
    centre = camera.project(properties.centre_of_gravity_mm)
    assert all(np.allclose(camera.project(axis.path_mm[0]), centre) for axis in axes)
