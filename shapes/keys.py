"""Where the keys stand that align the pieces of a mould, on each of its parting planes.

Four cones near the corners of the parting face, clear of the cavity, its channels and the block's
sides; the first is smaller, so that the pieces close one way only.  Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import radians, tan
from typing import TYPE_CHECKING

import numpy as np

from shapes.bars import Bar, contains
from shapes.facets import facets_of
from shapes.moments import Array, Mask
from shapes.mould import Block
from shapes.pieces import KEY_LEAN_DEG, Split

if TYPE_CHECKING:
    import cadquery as cq

SMALLER = 0.75  # the first key's diameter to the others'
MARGIN_MM = 3.0  # kept between a key and anything else
_SUNK_MM = 2.0  # a key's foot in the piece that carries it
_STEP_MM = 4.0
_CHORD_MM, _ANGLE_RAD = 0.5, 0.3
_CORNERS = ((-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0))


def keys_of(
    cavity: cq.Solid,
    block: Block,
    splits: Sequence[Split],
    bars: Sequence[Bar],
    diameter_mm: float,
    height_mm: float,
) -> tuple[tuple[Bar, ...], ...]:
    """For each split its four keys, standing on the plane towards the piece that is drawn.

    Fewer where there is no room for four; none where there is not room for two.

    Args:
        cavity: what the mould surrounds.
        block: round it.
        splits: the parting planes.
        bars: rods, gates, vents and pins, which keys keep clear of.
        diameter_mm: of a key at its plane.
        height_mm: above it, at most half the diameter over the tangent of its side's lean.
    """
    skin = facets_of(cavity, _CHORD_MM, _ANGLE_RAD).corners_mm
    radius = diameter_mm / 2.0
    return tuple(
        tuple(
            _key(place, splits[k], radius * (SMALLER if turn == 0 else 1.0), height_mm)
            for turn, place in enumerate(_places(cavity, skin, block, splits, k, bars, radius))
        )
        for k in range(len(splits))
    )


def _key(place: Array, split: Split, radius_mm: float, height_mm: float) -> Bar:
    x, y, z = (float(c) for c in place)
    top = radius_mm - height_mm * tan(radians(KEY_LEAN_DEG))
    return Bar(
        (x, y, z), split.normal, ((-_SUNK_MM, radius_mm), (0.0, radius_mm), (height_mm, top))
    )


def _places(
    cavity: cq.Solid,
    skin: Array,
    block: Block,
    splits: Sequence[Split],
    k: int,
    bars: Sequence[Bar],
    radius_mm: float,
) -> list[Array]:
    """The places of a plane's keys, nearest to its corners; none when fewer than two fit."""
    room = radius_mm + MARGIN_MM
    first, second, points = _grid(block, splits[k])
    free = block.depths_mm(points) >= room
    for other in splits[:k]:
        free &= other.heights_mm(points) <= -room
    for other in splits[k + 1 :]:
        free &= np.abs(other.heights_mm(points)) >= room
    for bar in bars:
        free &= _from_bar_mm(bar, points) >= room + bar.radius_mm
    points = points[free]
    points = points[_clear_of(skin, points, room)]
    if len(points):
        points = points[~contains(cavity, points)]
    if not len(points):
        return []
    at = np.column_stack([points @ first, points @ second])
    middle = (at.min(axis=0) + at.max(axis=0)) / 2.0
    found: list[Array] = []
    for corner in _CORNERS:
        place = points[int(np.argmax((at - middle) @ np.array(corner)))]
        if all(np.linalg.norm(place - other) > 2.0 * room for other in found):
            found.append(place)
    return found if len(found) >= 2 else []


def _grid(block: Block, split: Split) -> tuple[Array, Array, Array]:
    """Two directions in a plane, along the block's edges where it is square to one; its points."""
    normal = np.array(split.normal)
    edges = sorted(block.axes.T, key=lambda edge: abs(float(edge @ normal)))
    first = edges[0] - (edges[0] @ normal) * normal
    first /= np.linalg.norm(first)
    second = np.cross(normal, first)
    foot = block.centre_mm - split.heights_mm(block.centre_mm) * normal
    half = _STEP_MM * np.ceil(block.diagonal_mm / 2.0 / _STEP_MM)
    steps = np.arange(-half, half + _STEP_MM / 2.0, _STEP_MM)
    u, v = np.meshgrid(steps, steps, indexing="ij")
    return first, second, foot + u.reshape(-1, 1) * first + v.reshape(-1, 1) * second


def _from_bar_mm(bar: Bar, points: Array) -> Array:
    """From points, shape (n, 3), to the part of a bar's axis that there is."""
    low, high = bar.stations_mm[0][0], bar.stations_mm[-1][0]
    along = np.clip((points - np.array(bar.origin_mm)) @ np.array(bar.way), low, high)
    nearest = np.array(bar.origin_mm) + along[:, None] * np.array(bar.way)
    return np.asarray(np.linalg.norm(points - nearest, axis=1))


def _clear_of(skin: Array, points: Array, room_mm: float) -> Mask:
    """Which of the points are at least so far from every corner of a mesh."""
    from scipy.spatial import cKDTree

    if not len(points):
        return np.zeros(0, dtype=bool)
    return np.asarray(cKDTree(skin).query(points)[0] >= room_mm)
