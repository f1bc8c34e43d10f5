"""The ways through a clip: soft ends, there and back, and when each frame is taken."""

from __future__ import annotations

import numpy as np
import pytest

from pipeline.take import Take, eased, there_and_back
from tests.pipeline.plain_scene import plain_scene

H = 1e-4  # a step; the slope over it at a soft end is 10 H^2, as the first term of the curve says


def take(*, loops: bool) -> Take:
    return Take(lambda _share: plain_scene(), loops, ())


@pytest.mark.parametrize("end", [0.0, 1.0])
def test_a_way_ends_softly(end: float) -> None:
    """Its slope at either end is nothing, by one-sided differences."""
    inwards = end + H if end == 0.0 else end - H
    assert abs(eased(inwards) - eased(end)) / H < 2.0 * 10.0 * H**2


def test_a_way_only_ever_goes_on() -> None:
    way = [eased(s) for s in np.linspace(0.0, 1.0, 301)]
    assert np.diff(way).min() >= 0.0


@pytest.mark.parametrize(("share", "due"), [(-0.5, 0.0), (0.0, 0.0), (1.0, 1.0), (1.5, 1.0)])
def test_before_and_after_the_way_all_is_still(share: float, due: float) -> None:
    assert eased(share) == due


def test_there_and_back_is_the_same_from_either_end() -> None:
    """To rounding: 1 - s is taken of s."""
    shares = np.linspace(0.0, 1.0, 401)
    there = np.array([there_and_back(s) for s in shares])
    assert there == pytest.approx(there[::-1], abs=1e-12)


@pytest.mark.parametrize(("around", "due"), [(0.0, 0.0), (0.5, 1.0), (1.0, 0.0)])
def test_there_and_back_rests_at_home_and_far_out(around: float, due: float) -> None:
    """For `rest` of the clip in all at home, half of it before and half after, and as long out."""
    rest = 0.2
    near = np.clip(around + np.linspace(-0.499, 0.499, 21) * rest, 0.0, 1.0)
    assert {there_and_back(float(s), rest) for s in near} == {due}


def test_there_and_back_makes_no_jump() -> None:
    """No step is greater than the steepest slope of the curve, 15/8, over half a clip less rest."""
    shares = np.linspace(0.0, 1.0, 1001)
    steps = np.abs(np.diff([there_and_back(s) for s in shares]))
    assert steps.max() <= 15.0 / 8.0 / (0.5 - 0.12) / 1000.0 * 1.001


@pytest.mark.parametrize("frames", [1, 2, 7, 60])
def test_a_loop_leaves_its_end_out(frames: int) -> None:
    """The frame after the last one would be the first."""
    assert take(loops=True).shares(frames) == [k / frames for k in range(frames)]


@pytest.mark.parametrize("frames", [2, 7, 60])
def test_what_does_not_loop_has_both_its_ends(frames: int) -> None:
    shares = take(loops=False).shares(frames)
    assert (len(shares), shares[0], shares[-1]) == (frames, 0.0, 1.0)


def test_one_frame_of_what_does_not_loop_is_its_first() -> None:
    assert take(loops=False).shares(1) == [0.0]
