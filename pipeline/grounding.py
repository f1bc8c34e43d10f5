"""Hollows a little darker, so that one sees what lies deeper."""

from __future__ import annotations

from typing import Any

import numpy as np
import numpy.typing as npt
from PIL import Image

from pipeline.job import NOTHING_MM, Depth, Pixels
from shapes.moments import Array

_RADII_MM = ((3.0, 0.35), (11.0, 0.65))  # and how much each counts


def light_in_hollows(depth_mm: Depth, px_per_mm: float, coarse: int = 1) -> Depth:
    """How much of its light each pixel keeps: less where it lies deeper than its neighbours do.

    By the difference of the depth and its blur (Luft, Colditz and Deussen 2006; from memory).  The
    blur is smooth, so it is worked out on coarser pixels.

    Args:
        depth_mm: shape (h, w).
        px_per_mm: the picture's scale.
        coarse: for moving pictures, of how many pixels each way only one is looked at.

    Returns:
        Shape (h, w), from 0.6 to 1.
    """
    if coarse > 1:
        light = light_in_hollows(depth_mm[::coarse, ::coarse], px_per_mm / coarse)
        return _fine(light, depth_mm.shape, coarse)
    there = depth_mm < NOTHING_MM
    share = np.zeros(depth_mm.shape, dtype=np.float32)
    for radius_mm, weight in _RADII_MM:
        radius = max(1, round(radius_mm * px_per_mm / 2.0))
        near, total = (_blurred(x) for x in _coarse(there, depth_mm, radius))
        mean = _fine(total / np.maximum(near, 1e-6), depth_mm.shape, radius)
        inland = np.clip(2.0 * _fine(near, depth_mm.shape, radius) - 1.0, 0.0, 1.0)
        deeper = np.clip((depth_mm - mean) / np.float32(1.1 * radius_mm), 0.0, 1.0)
        share += np.float32(weight) * inland * deeper  # the outline itself stays as it is
    return np.where(there, 1.0 - np.float32(0.40) * np.minimum(share, 1.0), np.float32(1.0))


def grounded(pixels: Pixels, depth_mm: Depth, px_per_mm: float) -> Pixels:
    """Pixels, shape (h, w, 4), with their hollows darker; see `light_in_hollows`."""
    light = light_in_hollows(depth_mm, px_per_mm)
    found = pixels.copy()
    found[..., :3] = np.rint(pixels[..., :3] * light[..., None])
    return found


def _coarse(there: npt.NDArray[np.bool_], depth_mm: Depth, by: int) -> tuple[Array, Array]:
    """Share that is there, and depth times that share, over squares of so many pixels."""
    high, wide = (-(-n // by) * by for n in depth_mm.shape)
    pad = ((0, high - depth_mm.shape[0]), (0, wide - depth_mm.shape[1]))
    squares = (high // by, by, wide // by, by)
    known = np.pad(there, pad, mode="edge").astype(np.float32)
    deep = np.pad(np.where(there, depth_mm, np.float32(0.0)), pad, mode="edge")
    return (
        known.reshape(squares).mean(axis=3).mean(axis=1),
        deep.reshape(squares).mean(axis=3).mean(axis=1),
    )


def _fine(values: npt.NDArray[Any], shape: tuple[int, ...], by: int) -> Depth:
    """Values of squares of so many pixels as a smooth field of a picture's shape."""
    if by == 1:
        return values.astype(np.float32)
    image = Image.fromarray(values.astype(np.float32))
    box = (0.0, 0.0, shape[1] / by, shape[0] / by)
    return np.asarray(image.resize((shape[1], shape[0]), Image.Resampling.BILINEAR, box=box))


def _blurred(values: npt.NDArray[Any]) -> Array:
    """Three means over squares of 3 x 3, nearly a Gaussian; edges stand for what lies beyond."""
    for _ in range(3):
        for _ in range(2):  # along the columns, and turned over, along the rows
            padded = np.pad(values, [(1, 1), (0, 0)], mode="edge")
            values = ((padded[:-2] + padded[1:-1] + padded[2:]) / 3.0).T
    return values
