"""Areas within discs at one level: what a straight cut takes, and what two discs share.

Everything works on arrays.  An area comes with its moments: (area, int x, int x^2, int y^2), x
towards the cut or the other disc and y across, about the first disc's centre.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np

from shapes.moments import Array, Column
from shapes.quadrature import gauss

_TINY_MM = 1e-12


class Area(NamedTuple):
    """An area that is even in y, with its moments."""

    area: Array
    x: Array
    xx: Array
    yy: Array

    def __add__(self, other: object) -> Area:
        assert isinstance(other, Area)
        return Area(*(a + b for a, b in zip(self, other, strict=True)))


def segment(radius: Column, chord: Column) -> Area:
    """The part of a disc beyond the line x = chord: none past its rim, all of it before.

    With cos(t) = chord / radius the four integrals are R^2 (t - sin t cos t), 2/3 (R sin t)^3,
    R^4 (t/4 - sin 4t / 16) and 2/3 R^4 (3t/8 - sin 2t / 4 + sin 4t / 32) (worked out here; the
    area is in any handbook).
    """
    size = np.maximum(radius, _TINY_MM)
    t = np.arccos(np.clip(chord / size, -1.0, 1.0))
    sine, twice, four = np.sin(t), np.sin(2.0 * t), np.sin(4.0 * t)
    square = size * size
    return Area(
        square * (t - twice / 2.0),
        2.0 / 3.0 * (size * sine) ** 3,
        square * square * (t / 4.0 - four / 16.0),
        square * square * (t / 4.0 - twice / 6.0 + four / 48.0),
    )


def shared(radius: Column, other: Column, apart: Column) -> Area:
    """What a disc about the origin shares with one of radius `other` at x = `apart`, either sign.

    Their rims meet on the line x = h; the shared part is a segment of either.  Where one disc lies
    within the other, or they do not meet, the line lies past the rims and the same formula holds.
    """
    side = np.where(apart < 0.0, -1.0, 1.0)
    distance = np.maximum(np.abs(apart), _TINY_MM)
    chord = (radius * radius - other * other + distance * distance) / (2.0 * distance)
    near, far = segment(radius, chord), segment(other, distance - chord)
    moved = Area(
        far.area,
        distance * far.area - far.x,
        distance * distance * far.area - 2.0 * distance * far.x + far.xx,
        far.yy,
    )
    whole = near + moved
    return whole._replace(x=side * whole.x)


def summed(
    cuts: Sequence[Column], order: int, value: Callable[[Array], Sequence[Array]]
) -> list[Array]:
    """Integrals of several functions from the first cut to the last.

    Between cuts t = a + (b - a) sin^2(pi s / 2), so that half-powers at the cuts cost no accuracy.

    Args:
        cuts: ascending, each a number or a column, shape (n, 1).
        order: Gauss points between two cuts.
        value: t, shape (k,) or (n, k), to the functions' values there.
    """
    s, weight = gauss(order)
    share, speed = np.sin(np.pi * s / 2.0) ** 2, np.pi / 2.0 * np.sin(np.pi * s) * weight
    ends = np.concatenate(np.broadcast_arrays(*map(np.atleast_1d, cuts)), axis=-1)
    size = np.diff(ends, axis=-1)[..., None]
    at = ends[..., :-1, None] + size * share
    rows = at.shape[:-2]  # one body, or a stack of them
    weighted = (size * speed).reshape(*rows, -1)
    return [(v * weighted).sum(axis=-1, keepdims=True) for v in value(at.reshape(*rows, -1))]
