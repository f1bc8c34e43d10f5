"""Lines of equal RG over the half sphere about +Z, in closed form, cut at its rim."""

from __future__ import annotations

from math import floor, log10

import numpy as np

from pipeline.flare import constant_rg
from pipeline.units import MM_PER_IN
from shapes.moments import Array

_FINE, _KEPT = 720, 6  # points of a whole curve, and how many of them are one in a line
_MOST = 6  # lines
_EDGE = 0.03  # of the spread: what is nearer to its ends is a dot, not a line


def levels(low_in: float, high_in: float) -> tuple[list[float], int]:
    """Round RGs between two, in, and the decimals they are written with: two to six of them.

    >>> levels(2.5349, 2.5870)
    ([2.54, 2.55, 2.56, 2.57, 2.58], 2)
    """
    spread = high_in - low_in
    power = 10.0 ** floor(log10(spread / _MOST))
    step = next(f * power for f in (1.0, 2.0, 5.0, 10.0) if f * power >= spread / _MOST)
    places = max(0, -floor(log10(step) + 1e-9))
    edge = _EDGE * spread
    first, last = floor((low_in + edge) / step) + 1, floor((high_in - edge) / step)
    return [round(k * step, places) for k in range(first, last + 1)], places


def equal_rg(inertia_g_mm2: Array, mass_g: float, rg_in: float) -> list[Array]:
    """Where the RG is so much, as unit vectors of shape (n, 3) with z at least 0, a line each.

    Args:
        inertia_g_mm2: about the centre of gravity, ball frame, shape (3, 3).
        mass_g: of the ball.
        rg_in: between the low and the high RG.
    """
    values, axes = np.linalg.eigh(inertia_g_mm2)
    square = mass_g * (rg_in * MM_PER_IN) ** 2
    # an axis between the low and the high one: its moment goes from one to the other as sin^2
    share = (square - values[0]) / (values[2] - values[0])
    axis = np.sqrt(1.0 - share) * axes[:, 0] + np.sqrt(share) * axes[:, 2]
    curves = constant_rg(inertia_g_mm2, mass_g, axis, 1.0, _FINE)
    return [run for curve in curves for run in _upper(curve)]


def _upper(curve: Array) -> list[Array]:
    """Of a closed curve what is over the rim, thinned; each run ends on the rim."""
    z = curve[:-1, 2]
    if (z >= 0.0).all():
        return [curve[::_KEPT]]
    start = int(np.flatnonzero(z < 0.0)[0])
    around = np.roll(curve[:-1], -start, axis=0)
    around = np.vstack([around, around[:1]])
    above = around[:, 2] >= 0.0
    enters = np.flatnonzero(~above[:-1] & above[1:])
    leaves = np.flatnonzero(above[:-1] & ~above[1:])
    found = []
    for first, last in zip(enters, leaves, strict=True):
        inner = around[first + 1 : last + 1]
        ends = [_on_rim(around[k], around[k + 1]) for k in (first, last)]
        found.append(np.vstack([ends[0], inner[::_KEPT], inner[-1:], ends[1]]))
    return found


def _on_rim(a: Array, b: Array) -> Array:
    """Between two neighbours, one on either side of the rim."""
    point = a + (b - a) * a[2] / (a[2] - b[2])
    point[2] = 0.0
    return np.asarray(point / np.linalg.norm(point))
