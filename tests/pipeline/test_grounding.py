"""Hollows are darker, and nothing else."""

from __future__ import annotations

import numpy as np
from PIL import Image

from pipeline.grounding import grounded
from pipeline.job import NOTHING_MM

SIDE = 80


def lit(depth: np.ndarray) -> np.ndarray:
    """Red after grounding, of a picture that is all one grey."""
    shot = Image.new("RGBA", (SIDE, SIDE), (200, 200, 200, 255))
    return np.array(grounded(shot, depth, 2.0))[..., 0]


def level(times: int = 2) -> np.ndarray:
    return np.full((times * SIDE, times * SIDE), 100.0)


def test_what_is_level_stays_as_it_is() -> None:
    assert (lit(level()) == 200).all()


def test_a_pit_is_darker_than_the_plain_around_it() -> None:
    depth = level()
    depth[70:90, 70:90] = 110.0
    found = lit(depth)
    assert found[40, 40] < 190
    assert found[2, 2] == 200


def test_a_bump_is_no_darker() -> None:
    depth = level()
    depth[70:90, 70:90] = 90.0
    assert lit(depth)[40, 40] == 200


def test_the_outline_stays_as_it_is() -> None:
    depth = level(1)
    depth[:, 40:] = NOTHING_MM
    assert (lit(depth) == 200).all()
