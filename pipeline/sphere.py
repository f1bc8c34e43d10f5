"""Points, arcs and triangles on the unit sphere.

The law of cosines for sides, cos a = cos b cos c + sin b sin c cos A, and the right-angled
triangle's sin b = sin c sin B are in any text on spherical trigonometry (Todhunter; from memory).
"""

from __future__ import annotations

from math import cos, sin

import numpy as np

from shapes.moments import Array

_ALONG = 1e-12


def unit(vector: Array) -> Array:
    """A vector made one long."""
    return np.asarray(vector / np.linalg.norm(vector))


def arc_rad(a: Array, b: Array) -> float:
    """The angle between two directions, shape (3,); good for small and for large ones."""
    return float(np.arctan2(np.linalg.norm(np.cross(a, b)), a @ b))


def tangent(at: Array, towards: Array) -> Array:
    """The unit vector along the surface from one point towards another.

    Raises:
        ValueError: they are one point, or lie opposite.
    """
    along = towards - (towards @ at) * at
    size = float(np.linalg.norm(along))
    if size < _ALONG:
        raise ValueError("no one arc joins the two points")
    return np.asarray(along / size)


def stepped(at: Array, way: Array, arc: float) -> Array:
    """The point an arc, radians, away along a unit tangent."""
    return np.asarray(cos(arc) * at + sin(arc) * way)


def angle_between_sides(opposite: float, one: float, other: float) -> float | None:
    """The angle of a triangle between two sides, from all three, radians; None: it does not close.

    >>> round(angle_between_sides(1.0, 1.0, 1.0), 6)
    1.212396
    """
    cosine = (cos(opposite) - cos(one) * cos(other)) / (sin(one) * sin(other))
    if abs(cosine) > 1.0 + 1e-12:
        return None
    return float(np.arccos(np.clip(cosine, -1.0, 1.0)))


def rotation_to(first: Array, second: Array, to_first: Array, to_second: Array) -> Array:
    """The rotation, shape (3, 3), that takes one direction to another, and a second to its side.

    The second direction comes to lie in the half-plane of its image.
    """

    def frame(a: Array, b: Array) -> Array:
        aside = tangent(a, b)
        return np.column_stack([a, aside, np.cross(a, aside)])

    return np.asarray(frame(to_first, to_second) @ frame(first, second).T)
