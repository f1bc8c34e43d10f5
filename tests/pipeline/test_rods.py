"""Axes as bars: one, dashes, or two; told apart without colour."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from pipeline.rods import Rod, rods_of, threaded
from pipeline.scene import Axis, Thread
from tests.pipeline.plain_scene import HIGH, LOW, MIDDLE, plain_scene

SCENE = plain_scene()
T = np.linspace(0.0, 2.0, 61)
CURVE = 100.0 * np.column_stack([np.cos(T), np.sin(T), np.zeros(61)])
THICK_MM = 2.0


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


@pytest.fixture
def dashes() -> list[Rod]:
    return threaded(Thread(CURVE, "#112233", THICK_MM, dashed=True))


def length_mm(rod: Rod) -> float:
    return float(np.linalg.norm(np.diff(rod.path_mm, axis=0), axis=1).sum())


def test_a_solid_line_is_one_bar_along_its_path() -> None:
    (rod,) = threaded(Thread(CURVE, "#112233", THICK_MM))
    assert (rod.path_mm == CURVE).all()
    assert (rod.radii_mm, rod.colour) == ((1.0, 1.0), "#112233")


def test_a_dashed_line_is_many_bars_of_its_looks(dashes: list[Rod]) -> None:
    """Of 200 mm, a dash and a gap take about eight times the thickness."""
    assert len(dashes) == 12
    assert {(rod.radii_mm, rod.colour) for rod in dashes} == {((1.0, 1.0), "#112233")}


def test_dashes_lie_on_the_path(dashes: list[Rod]) -> None:
    """A circle of 100 mm, less what its chords cut off."""
    for rod in dashes:
        assert np.linalg.norm(rod.path_mm, axis=1) == pytest.approx(100.0, abs=0.02)


def test_dashes_are_of_one_length(dashes: list[Rod]) -> None:
    lengths = [length_mm(rod) for rod in dashes]
    assert lengths == pytest.approx([200.0 / 24] * 12, abs=0.01)  # a gap after each of them


def test_dashes_run_from_the_start_one_after_the_other(dashes: list[Rod]) -> None:
    assert dashes[0].path_mm[0] == pytest.approx(CURVE[0])
    turns = [np.arctan2(p[1], p[0]) for rod in dashes for p in rod.path_mm]
    assert (np.diff(turns) > 0.01).all()


def test_a_short_dashed_line_is_one_dash() -> None:
    (rod,) = threaded(Thread(CURVE[:3], "#112233", THICK_MM, dashed=True))
    assert length_mm(rod) == pytest.approx(
        length_mm(Rod(CURVE[:3], (1.0, 1.0), "")) / 2.0, abs=0.01
    )
