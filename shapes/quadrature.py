"""Nodes and weights of Gauss's and Lobatto's rules, worked out once."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from shapes.moments import Array


@lru_cache(maxsize=64)
def gauss(count: int, panels: int = 1) -> tuple[Array, Array]:
    """Gauss-Legendre nodes and weights on [0, 1], repeated over equal panels."""
    x, w = np.polynomial.legendre.leggauss(count)
    starts = np.arange(panels)[:, None]
    nodes = ((x + 1.0) / 2.0 + starts) / panels
    weights = np.tile(w / 2.0 / panels, panels)
    return nodes.ravel(), weights


@lru_cache(maxsize=1)
def lobatto() -> tuple[Array, Array]:
    """Four nodes and weights on [0, 1], the ends among them, exact to degree five.

    They are the ends and the roots of P3' on [-1, 1] (Abramowitz & Stegun, 25.4.32; from memory).
    """
    inner = np.sqrt(0.2)
    return np.array([0.0, 0.5 - inner / 2.0, 0.5 + inner / 2.0, 1.0]), np.array([1, 5, 5, 1]) / 12.0
