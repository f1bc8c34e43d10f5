"""How a mould comes apart: planes that split one piece after another off a block.

Each plane splits off what lies beyond it, which is drawn along the plane's normal and so leaves all
that is left behind.  What the last plane leaves is drawn the other way.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from shapes.moments import Array, Indices

Direction = tuple[float, float, float]
KEY_LEAN_DEG = 15.0  # of the side of a key that aligns pieces


@dataclass(frozen=True)
class Split:
    """A plane n . x = height.

    Attributes:
        normal: n, a unit vector: the way the piece beyond the plane is drawn.
        height_mm: the plane's distance from the origin along n.
    """

    normal: Direction
    height_mm: float

    def heights_mm(self, points: Array) -> Array:
        """Heights above the plane of points, shape (..., 3); negative on its near side."""
        return np.asarray(points @ np.array(self.normal) - self.height_mm)


@dataclass(frozen=True)
class Piece:
    """One piece of a mould.

    Attributes:
        pull: the way it is drawn, a unit vector.
        within: the planes that bound it: it lies where every height above them is positive.
    """

    pull: Direction
    within: tuple[Split, ...]


def opposite(split: Split) -> Split:
    """The same plane seen from its other side."""
    x, y, z = split.normal
    return Split((-x, -y, -z), -split.height_mm)


def pieces_of(splits: Sequence[Split]) -> tuple[Piece, ...]:
    """The pieces in the order in which they are drawn, one more than there are planes.

    >>> [piece.pull for piece in pieces_of([Split((0.0, 0.0, 1.0), 5.0)])]
    [(0.0, 0.0, 1.0), (-0.0, -0.0, -1.0)]
    """
    behind = [opposite(split) for split in splits]
    drawn = [Piece(s.normal, (s, *behind[:k])) for k, s in enumerate(splits)]
    return (*drawn, Piece(behind[-1].normal, tuple(behind)))


def piece_at(points: Array, splits: Sequence[Split]) -> Indices:
    """Which piece holds each of the points, shape (n, 3): its index in `pieces_of`."""
    found = np.full(len(points), len(splits))
    for k in reversed(range(len(splits))):
        found[splits[k].heights_mm(points) > 0.0] = k
    return found
