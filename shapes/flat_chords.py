"""Where straight lines run inside a block: crossings with its outline, between front and back."""

from __future__ import annotations

from collections.abc import Sequence
from math import pi

import numpy as np

from shapes.chords import Lines, combined, gathered, of_intervals
from shapes.curves import Arc, Curve, Line
from shapes.moments import Array, Mask

_LEVEL = 1e-12  # a line that runs square to the outline's plane is taken to lean by so much


def chords_of(outline: Sequence[Curve], thickness_mm: float, lines: Lines) -> Array | None:
    """Ends in a block of an outline in the x-z plane; None when it has curves without a formula."""
    if not all(isinstance(c, Line) or (isinstance(c, Arc) and _is_round(c)) for c in outline):
        return None
    x, z = lines.start[:, 0, None], lines.start[:, 2, None]
    u, w = lines.way[:, 0, None], lines.way[:, 2, None]
    u = np.where(np.hypot(u, w) < _LEVEL, _LEVEL, u)
    square = u * u + w * w
    within = [
        (_on_line(c, x, z, u, w) if isinstance(c, Line) else _on_arc(c, x, z, u, w))
        for c in outline
        if isinstance(c, Line | Arc)
    ]
    found = []
    for there, px, pz in within:
        t = ((px - x) * u + (pz - z) * w) / square
        found.append(np.where(there, t, np.inf))
    front = gathered(np.concatenate(found, axis=1))
    y, v = lines.start[:, 1], lines.way[:, 1]
    v = np.where(np.abs(v) < _LEVEL, _LEVEL, v)
    one, other = (-thickness_mm / 2.0 - y) / v, (thickness_mm / 2.0 - y) / v
    sides = of_intervals(np.minimum(one, other), np.maximum(one, other))
    return combined([front, sides], lambda inside: inside[0] & inside[1])


def _is_round(arc: Arc) -> bool:
    return arc.semi[0] == arc.semi[1]


def _on_line(line: Line, x: Array, z: Array, u: Array, w: Array) -> tuple[Mask, Array, Array]:
    """Whether, and where, lines in the plane pass a side; shape (n, 1) each."""
    (a, b), (c, d) = line.start, line.end
    first, last = (a - x) * w - (b - z) * u, (c - x) * w - (d - z) * u
    there = (first < 0.0) != (last < 0.0)
    s = first / np.where(there, first - last, 1.0)
    return there, a + s * (c - a), b + s * (d - b)


def _on_arc(arc: Arc, x: Array, z: Array, u: Array, w: Array) -> tuple[Mask, Array, Array]:
    """Whether, and where, lines in the plane pass an arc of a circle; shape (n, 2) each."""
    (a, b), radius = arc.centre, arc.semi[0]
    length = np.hypot(u, w)
    aside = ((x - a) * w - (z - b) * u) / length  # of the line from the centre, along (w, -u)
    middle = np.arctan2(-u, w)
    with np.errstate(invalid="ignore"):
        half = np.arccos(aside / radius)
    angle = np.concatenate([middle - half, middle + half], axis=1)
    low = min(arc.from_rad, arc.from_rad + arc.sweep_rad)
    there = (angle - low) % (2.0 * pi) < abs(arc.sweep_rad)
    return there, a + radius * np.cos(angle), b + radius * np.sin(angle)
