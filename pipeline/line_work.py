"""Lines along outlines and edges, drawn where neighbouring pixels differ in part, normal or depth.

Saito and Takahashi 1990, comprehensible rendering of shapes (from memory).
"""

from __future__ import annotations

import numpy as np

from pipeline.job import Depth, Pixels

_INK = np.array([0x22, 0x20, 0x1D], dtype=np.uint8)
_SQUARE = 0.09  # of a half turn's two units: normals this far apart make an edge
_STEP_MM = 1.6  # a jump in depth that does not show in the normals


def inked(tints: Pixels, edges: Pixels, depth: Depth, fine: int) -> Pixels:
    """Tints with lines over them.

    Args:
        tints: shape (h, w, 4), colours times alpha.
        edges: shape (h, w, 4): normals to the right and up as 0 to 255, the part's number, alpha.
        depth: shape (h, w), mm.
        fine: how many of these pixels there are to one of the picture.
    """
    line = np.zeros(depth.shape, dtype=bool)
    for axis in (0, 1):
        a, b = _pair(depth.shape, axis)
        first, second = edges[a].astype(np.int16), edges[b].astype(np.int16)
        turn = ((first[..., :2] - second[..., :2]) / 127.5) ** 2
        differ = (first[..., 2] != second[..., 2]) | (turn.sum(axis=-1) > _SQUARE)
        differ |= np.abs(depth[a] - depth[b]) > _STEP_MM * 4.0
        line[a] |= differ
        line[b] |= differ
    line = _wider(line, fine)
    found = tints.copy()
    found[line, :3] = _INK
    found[line, 3] = 255
    return found


def _pair(shape: tuple[int, ...], axis: int) -> tuple[tuple[slice, ...], tuple[slice, ...]]:
    """Where each pixel and its next neighbour along an axis stand."""
    whole = slice(None)
    if axis == 0:
        return (slice(0, shape[0] - 1), whole), (slice(1, shape[0]), whole)
    return (whole, slice(0, shape[1] - 1)), (whole, slice(1, shape[1]))


def _wider(line: np.ndarray, by: int) -> np.ndarray:
    """A line grown on one side, so that it is as thick as in other sizes."""
    for _ in range(by - 1):
        grown = line.copy()
        grown[1:] |= line[:-1]
        grown[:, 1:] |= line[:, :-1]
        line = grown
    return line
