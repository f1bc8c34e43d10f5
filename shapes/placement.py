"""How a shape stands in the ball: spin about its own Z, tilt that Z, then move."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import atan2, cos, degrees, radians, sin

import numpy as np

from shapes.moments import Array, Moments


@dataclass(frozen=True)
class Placement:
    """Spin, tilt and move, applied in that order.

    Attributes:
        spin_deg: turn about the shape's own Z, counter-clockwise seen from +Z.
        tilt_by_deg: how far the Z axis then leans.
        tilt_toward_deg: the azimuth, from +X about +Z, that it leans towards.
        move_mm: x, y and z of the shape's origin in the ball frame.
    """

    spin_deg: float = 0.0
    tilt_by_deg: float = 0.0
    tilt_toward_deg: float = 0.0
    move_mm: tuple[float, float, float] = (0.0, 0.0, 0.0)

    @staticmethod
    def of(rotation: Array, move: Array) -> Placement:
        """The placement with this rotation matrix, shape (3, 3), and offset, shape (3,) in mm."""
        by = _degrees(np.hypot(rotation[0, 2], rotation[1, 2]), rotation[2, 2])
        if by in (0.0, 180.0):  # the lean has no azimuth: all of the turn is spin
            turn = _degrees(rotation[1, 0], rotation[1, 1])
            return Placement(turn, by, 0.0, _three(move))
        toward = _degrees(rotation[1, 2], rotation[0, 2])
        own = _degrees(rotation[2, 1], -rotation[2, 0])
        return Placement(own + toward, by, toward, _three(move))

    def rotation(self) -> Array:
        """Shape (3, 3), x_ball = R x_shape + move; exact for multiples of 90 degrees; read-only."""
        return _rotation(self.spin_deg, self.tilt_by_deg, self.tilt_toward_deg)

    def offset(self) -> Array:
        """Shape (3,), where the shape's origin lies, mm."""
        return np.array(self.move_mm, dtype=float)

    def place(self, moments: Moments) -> Moments:
        """Moments of the placed body, about the origin of the ball frame."""
        return moments.turned(self.rotation()).moved(self.offset())

    def to_ball(self, points: Array) -> Array:
        """Points of shape (..., 3) from the shape's frame to the ball's."""
        return points @ self.rotation().T + self.offset()

    def to_shape(self, points: Array) -> Array:
        """Points of shape (..., 3) from the ball's frame to the shape's."""
        return (points - self.offset()) @ self.rotation()


AS_DRAWN = Placement()


@lru_cache(maxsize=1024)
def _rotation(spin_deg: float, tilt_by_deg: float, tilt_toward_deg: float) -> Array:
    lean = _about_z(tilt_toward_deg) @ _about_y(tilt_by_deg)
    rotation: Array = lean @ _about_z(spin_deg - tilt_toward_deg)
    rotation.flags.writeable = False  # it is handed out again
    return rotation


def rotations(spin_deg: Array, tilt_by_deg: Array, tilt_toward_deg: Array) -> Array:
    """Rotations of many placements, shape (n, 3, 3), from columns of angles, (n,) or (1,)."""
    angles = np.broadcast_arrays(spin_deg, tilt_by_deg, tilt_toward_deg)
    spin, by, toward = (np.radians(a) for a in angles)
    nothing, one = np.zeros_like(spin), np.ones_like(spin)

    def about_z(a: Array) -> Array:
        c, s = np.cos(a), np.sin(a)
        return _matrices([[c, -s, nothing], [s, c, nothing], [nothing, nothing, one]])

    c, s = np.cos(by), np.sin(by)
    about_y = _matrices([[c, nothing, s], [nothing, one, nothing], [-s, nothing, c]])
    return about_z(toward) @ about_y @ about_z(spin - toward)


def _matrices(rows: list[list[Array]]) -> Array:
    """Shape (n, 3, 3) from entries of shape (n,)."""
    return np.stack([np.stack(row, axis=-1) for row in rows], axis=-2)


def _degrees(sine: float, cosine: float) -> float:
    """An angle without the last bits, so that a quarter turn is one."""
    return round(degrees(atan2(sine, cosine)), 12) + 0.0


def _three(move: Array) -> tuple[float, float, float]:
    x, y, z = (float(m) for m in move)
    return x, y, z


def _quarter_exact(angle_deg: float) -> tuple[float, float]:
    """Cosine and sine, without rounding at multiples of 90 degrees."""
    turn = angle_deg % 360.0
    exact = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0), 180.0: (-1.0, 0.0), 270.0: (0.0, -1.0)}
    return exact.get(turn, (cos(radians(turn)), sin(radians(turn))))


def _about_z(angle_deg: float) -> Array:
    c, s = _quarter_exact(angle_deg)
    return np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])


def _about_y(angle_deg: float) -> Array:
    c, s = _quarter_exact(angle_deg)
    return np.array([[c, 0.0, s], [0.0, 1.0, 0.0], [-s, 0.0, c]])
