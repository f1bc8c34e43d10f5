"""Hollows are darker, and nothing else."""

from __future__ import annotations

import numpy as np

from pipeline.grounding import grounded
from pipeline.job import NOTHING_MM

SIDE = 80


def lit(depth: np.ndarray) -> np.ndarray:
    """Red after grounding, of a picture that is all one grey."""
    pixels = np.full((SIDE, SIDE, 4), 200, dtype=np.uint8)
    return grounded(pixels, depth, 2.0)[..., 0]


def level() -> np.ndarray:
    return np.full((SIDE, SIDE), 100.0, dtype=np.float32)


def test_what_is_level_stays_as_it_is() -> None:
    assert (lit(level()) == 200).all()


def test_a_pit_is_darker_than_the_plain_around_it() -> None:
    depth = level()
    depth[35:45, 35:45] = 110.0
    found = lit(depth)
    assert found[40, 40] < 190
    assert found[2, 2] == 200


def test_a_bump_is_no_darker() -> None:
    depth = level()
    depth[35:45, 35:45] = 90.0
    assert lit(depth)[40, 40] == 200


def test_the_outline_stays_as_it_is() -> None:
    depth = level()
    depth[:, 40:] = NOTHING_MM
    assert (lit(depth) == 200).all()
