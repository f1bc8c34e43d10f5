"""Volumes by counting points: coarse, but blind to whatever the CAD kernel did."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

import numpy as np

from shapes.moments import Array, Mask

SAMPLES = 200_000
WRONG_SHARE = 0.004  # of the sampled box: the sequence is good to a tenth of this


class Body(Protocol):
    """What can be counted: a shape, or a placed one."""

    def support_mm(self, direction: Array) -> float:
        """Greatest n . x over the body."""

    def contains(self, points: Array) -> Mask:
        """Which of the points, shape (n, 3), lie in the body."""


def counted(body: Body, where: Callable[[Array], Mask]) -> tuple[float, float]:
    """The volume, mm3, of those places of a body where something holds, and that of its box.

    Points are strewn evenly in the body's box by the additive sequence on the generalised golden
    ratio (Roberts 2018; from memory).
    """
    high = np.array([body.support_mm(n) for n in np.eye(3)])
    low = -np.array([body.support_mm(-n) for n in np.eye(3)])
    ratio = 1.22074408460575947536
    steps = ratio ** -np.arange(1.0, 4.0)
    share = (0.5 + np.outer(np.arange(SAMPLES), steps)) % 1.0
    points = low + share * (high - low)
    box = float((high - low).prod())
    inside = points[body.contains(points)]
    return float(where(inside).sum()) / SAMPLES * box, box
