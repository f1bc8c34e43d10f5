"""Strokes across the cut faces of a ball, as draughtsmen mark a section."""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np

from pipeline.shells import Shell
from shapes.moments import Array

_LIFT_MM = 0.02  # how far the strokes lie in front of their face


def hatching(
    shell: Shell, normal: Array, pitch_mm: float, angle_deg: float, width_mm: float
) -> Shell:
    """Strokes across a flat cut face, a hair in front of it.

    Args:
        shell: the triangles of one plane.
        normal: of that plane, shape (3,).
        pitch_mm: from stroke to stroke.
        angle_deg: of the strokes, from the horizontal.
        width_mm: of a stroke.
    """
    if normal[2] == 0.0:
        flat, up = np.array([-normal[1], normal[0], 0.0]), np.array([0.0, 0.0, 1.0])
    else:
        flat = np.cross([0.0, 0.0, 1.0] if abs(normal[2]) < 0.99 else [1.0, 0.0, 0.0], normal)
        flat = flat / np.linalg.norm(flat)
        up = np.cross(normal, flat)
    c, s = cos(radians(angle_deg)), sin(radians(angle_deg))
    along, across = c * flat + s * up, c * up - s * flat
    corners = shell.points_mm[shell.triangles]
    place = np.stack([corners @ along, corners @ across], axis=-1)
    strokes = _strokes(place, pitch_mm)
    lift = normal * (float(np.mean(corners @ normal)) + _LIFT_MM)
    half = width_mm / 2.0
    quads = [
        np.stack([lift + x * along + (t + side) * across for x, side in ends])
        for a, b, t in strokes
        for ends in [((a, -half), (b, -half), (b, half), (a, half))]
    ]
    points = np.concatenate(quads) if quads else np.empty((0, 3))
    first = 4 * np.arange(len(quads))[:, None]
    triangles = (first[:, None] + np.array([[0, 1, 2], [0, 2, 3]])).reshape(-1, 3)
    return Shell(shell.part, True, points, np.broadcast_to(normal, points.shape), triangles)


def _strokes(place: Array, pitch: float) -> list[tuple[float, float, float]]:
    """Where lines of constant second coordinate run through triangles, shape (m, 3, 2).

    Each as (from, to, at); pieces that meet end to end are joined.
    """
    found: list[tuple[float, float, float]] = []
    low, high = place[:, :, 1].min(axis=1), place[:, :, 1].max(axis=1)
    if len(place) == 0:
        return found
    for k in range(int(np.ceil(low.min() / pitch)), int(np.floor(high.max() / pitch)) + 1):
        at = k * pitch + 1e-7  # never through a corner
        pieces = _crossings(place[(low < at) & (high > at)], at)
        for a, b in pieces:
            if found and found[-1][2] == at and a <= found[-1][1] + 1e-4:
                found[-1] = (found[-1][0], max(b, found[-1][1]), at)
            else:
                found.append((a, b, at))
    return found


def _crossings(place: Array, at: float) -> list[tuple[float, float]]:
    """Where the line crosses each of the triangles, sorted."""
    ends = np.full((len(place), 2), [np.inf, -np.inf])
    for k in range(3):
        a, b = place[:, k], place[:, (k + 1) % 3]
        crossed = (a[:, 1] < at) != (b[:, 1] < at)
        rise = np.where(crossed, b[:, 1] - a[:, 1], 1.0)
        x = a[:, 0] + (at - a[:, 1]) / rise * (b[:, 0] - a[:, 0])
        ends[:, 0] = np.where(crossed, np.minimum(ends[:, 0], x), ends[:, 0])
        ends[:, 1] = np.where(crossed, np.maximum(ends[:, 1], x), ends[:, 1])
    return sorted((float(a), float(b)) for a, b in ends)
