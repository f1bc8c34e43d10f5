"""Hollows a little darker, so that one sees what lies deeper."""

from __future__ import annotations

import numpy as np
from PIL import Image

from pipeline.job import NOTHING_MM
from shapes.moments import Array


def grounded(shot: Image.Image, depth: Array, px_per_mm: float) -> Image.Image:
    """A rendered picture, darker where a pixel lies deeper than its neighbours do.

    By the difference of the depth and its blur (Luft, Colditz and Deussen 2006; from memory).

    Args:
        shot: the picture, RGBA.
        depth: mm, a whole number of times as wide and as high as the picture.
        px_per_mm: the picture's scale.
    """
    wide, high = shot.size
    times = depth.shape[0] // high
    deep = depth.reshape(high, times, wide, times).max(axis=(1, 3)).astype(float)
    there = (deep < NOTHING_MM).astype(float)
    deep = np.where(there > 0.0, deep, 0.0)
    pixels = np.array(shot)
    share = np.zeros_like(deep)
    for radius_mm, weight in ((3.0, 0.35), (11.0, 0.65)):
        radius = max(1, round(radius_mm * px_per_mm / 2.0))
        near = _blurred(there, radius)
        mean = _blurred(deep * there, radius) / np.maximum(near, 1e-6)
        inland = np.clip(2.0 * near - 1.0, 0.0, 1.0)  # the outline itself stays as it is
        share += weight * inland * np.clip((deep - mean) / (1.1 * radius_mm), 0.0, 1.0)
    light = 1.0 - 0.40 * np.clip(share, 0.0, 1.0) * there
    pixels[..., :3] = np.rint(pixels[..., :3] * light[..., None]).astype(np.uint8)
    return Image.fromarray(pixels, "RGBA")


def _blurred(values: Array, radius: int) -> Array:
    """Three means over a square, nearly a Gaussian."""
    for _ in range(3):
        for axis in (0, 1):
            pad = [(radius + 1, radius) if k == axis else (0, 0) for k in (0, 1)]
            total = np.cumsum(np.pad(values, pad, mode="edge"), axis=axis)
            ahead = np.take(total, range(2 * radius + 1, total.shape[axis]), axis=axis)
            behind = np.take(total, range(total.shape[axis] - 2 * radius - 1), axis=axis)
            values = (ahead - behind) / (2 * radius + 1)
    return values
