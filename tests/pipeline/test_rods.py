"""Axes as bars: one, dashes, or two; told apart without colour."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from pipeline.rods import Rod, rods_of
from pipeline.scene import Axis
from tests.pipeline.plain_scene import HIGH, LOW, MIDDLE, plain_scene

SCENE = plain_scene()


def bars(axis: Axis) -> list[Rod]:
    return [rod for rod in rods_of(axis, SCENE) if rod.radii_mm[1] > 0.0]


def test_a_low_axis_is_one_bar() -> None:
    assert len(bars(LOW)) == 1


def test_an_intermediate_axis_is_dashes_with_gaps_between() -> None:
    dashes = bars(MIDDLE)
    assert len(dashes) > 5
    gaps = [b.path_mm[0] - a.path_mm[-1] for a, b in pairwise(dashes)]
    assert min(gap[0] for gap in gaps) > 1.0


def test_a_high_axis_is_two_bars_that_the_viewer_sees_apart() -> None:
    one, other = bars(HIGH)
    apart = SCENE.camera.project(one.path_mm - other.path_mm)
    assert np.linalg.norm(apart, axis=1).min() > one.radii_mm[0] + other.radii_mm[0]


@pytest.mark.parametrize("heads", [0, 1, 2])
def test_every_head_tapers_to_an_end_of_the_axis(heads: int) -> None:
    tips = [
        rod.path_mm[-1]
        for rod in rods_of(replace(LOW, heads=heads), SCENE)
        if rod.radii_mm[1] == 0.0
    ]
    assert np.allclose(np.array(tips).reshape(-1, 3), LOW.path_mm[::-1][:heads])
