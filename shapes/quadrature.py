"""Gauss-Legendre nodes and weights, worked out once."""

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
