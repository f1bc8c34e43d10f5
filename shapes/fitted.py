"""A smooth curve as polynomial steps, as close as asked: by interpolation at Chebyshev's points."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from math import comb

import numpy as np

from shapes.curves import Bezier, Point
from shapes.moments import Array

DEGREE = 9
_SPLITS = 40


def fitted(curve: Callable[[Array], Array], tolerance_mm: float) -> list[Bezier]:
    """Steps that follow a curve over t in [0, 1], split in halves until each is close enough.

    Args:
        curve: parameters, shape (n,), to points, shape (n, 2).
        tolerance_mm: the greatest distance at points between those that the steps pass through.
    """
    found: list[Bezier] = []
    waiting = [(0.0, 1.0, 0)]
    between = np.linspace(0.0, 1.0, 4 * DEGREE + 2)
    while waiting:
        low, high, depth = waiting.pop()
        poles = bernstein(DEGREE) @ curve(low + (high - low) * lobatto(DEGREE))
        step = Bezier(tuple((float(r), float(z)) for r, z in poles))
        off = np.column_stack(step.at(between)) - curve(low + (high - low) * between)
        if float(np.hypot(*off.T).max()) <= tolerance_mm or depth == _SPLITS:
            found.append(step)
        else:
            middle = (low + high) / 2.0
            waiting += [(middle, high, depth + 1), (low, middle, depth + 1)]
    return joined(found)


def joined(steps: list[Bezier]) -> list[Bezier]:
    """Each step begins exactly where the one before it ends."""
    chain: list[Bezier] = []
    start: Point = steps[0].start
    for step in steps:
        chain.append(Bezier((start, *step.poles[1:])))
        start = step.end
    return chain


@lru_cache(maxsize=32)
def lobatto(degree: int) -> Array:
    """Chebyshev's points of the second kind on [0, 1], both ends among them."""
    return np.asarray((1.0 - np.cos(np.pi * np.arange(degree + 1) / degree)) / 2.0)


@lru_cache(maxsize=32)
def bernstein(degree: int) -> Array:
    """Shape (degree + 1, degree + 1): values at those points to Bezier points."""
    t = lobatto(degree)
    basis = np.column_stack(
        [comb(degree, k) * t**k * (1.0 - t) ** (degree - k) for k in range(degree + 1)]
    )
    return np.asarray(np.linalg.inv(basis))
