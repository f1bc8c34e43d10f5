"""Hatching of the cut faces of a drawing (ISO 128-3)."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, cos, floor, radians, sin

import numpy as np

from pipeline.drafting import Mark, Marks, Rect, Stroke
from shapes.moments import Array


def hatched(
    outlines: Sequence[Array],
    pitch_mm: float,
    angle_deg: float = 45.0,
    clear: Sequence[Rect] = (),
) -> Marks:
    """Strokes across the inside of closed outlines, left out where words stand.

    Args:
        outlines: shape (n, 2) each, mm on the paper, the last point the first again; inside is
            where an odd number of them goes round a point.
        pitch_mm: from stroke to stroke.
        angle_deg: of the strokes.
        clear: rectangles to keep free.
    """
    c, s = cos(radians(angle_deg)), sin(radians(angle_deg))
    turn = np.array([[c, -s], [s, c]])  # to axes along and across the strokes
    turned = [outline @ turn for outline in outlines]
    a = np.concatenate([line[:-1] for line in turned])
    b = np.concatenate([line[1:] for line in turned])
    low, high = np.minimum(a[:, 1], b[:, 1]), np.maximum(a[:, 1], b[:, 1])
    found: list[Mark] = []
    for k in range(ceil(low.min() / pitch_mm), floor(high.max() / pitch_mm) + 1):
        at = k * pitch_mm + 1e-7  # never through a corner
        p, q = a[on := (low < at) & (high > at)], b[on]
        along = np.sort(p[:, 0] + (q - p)[:, 0] * (at - p[:, 1]) / (q - p)[:, 1])
        for start, end in zip(along[::2], along[1::2], strict=True):
            for u, v in _outside((float(start), float(end)), at, turn, clear):
                ends = np.array([[u, at], [v, at]]) @ turn.T
                found.append(Stroke(tuple((float(x), float(y)) for x, y in ends), "faint"))
    return tuple(found)


def _outside(
    span: tuple[float, float], at: float, turn: Array, clear: Sequence[Rect]
) -> list[tuple[float, float]]:
    """What of a stroke lies outside rectangles, as pieces along it."""
    left = [span]
    for rect in clear:
        low, high = -np.inf, np.inf  # where the whole stroke runs through the rectangle
        for k, (near, far) in enumerate(((rect.left, rect.right), (rect.bottom, rect.top))):
            way, start = turn[k, 0], turn[k, 1] * at
            ends = sorted(((near - start) / way, (far - start) / way))
            low, high = max(low, ends[0]), min(high, ends[1])
        if low >= high:
            continue
        left = [
            piece
            for u, v in left
            for piece in ((u, min(v, low)), (max(u, high), v))
            if piece[1] - piece[0] > 1e-9
        ]
    return left
