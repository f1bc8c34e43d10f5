"""The parallel camera worked out anew: where a point is seen, and what lies behind a pixel."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from shapes.moments import Array


@dataclass(frozen=True, eq=False)
class Camera:
    """A camera that looks at the ball along parallel rays.

    Attributes:
        toward: unit vector from the ball to the viewer, shape (3,), ball frame.
        right, up: unit vectors across the picture and up it.
        mm_per_px: of the page's pixels.
        middle_mm: what the picture's middle shows, right and up of the ball's centre.
        size_px: width and height of the picture.
    """

    toward: Array
    right: Array
    up: Array
    mm_per_px: float
    middle_mm: Array
    size_px: Array

    @classmethod
    def told(cls, view: Mapping[str, Any], size: Sequence[float]) -> Camera:
        """From what #space tells of the view."""
        azimuth, elevation = np.radians([view["azimuth_deg"], view["elevation_deg"]])
        flat = np.array([np.cos(azimuth), np.sin(azimuth), 0.0])
        pole = np.array([0.0, 0.0, 1.0])
        return cls(
            toward=np.cos(elevation) * flat + np.sin(elevation) * pole,
            right=np.cross(pole, flat),
            up=np.cos(elevation) * pole - np.sin(elevation) * flat,
            mm_per_px=view["mm_per_px"],
            middle_mm=np.array(view["middle_mm"]),
            size_px=np.array(size, dtype=float),
        )

    def seen(self, point_mm: Sequence[float] | Array) -> tuple[float, float]:
        """Where a point is seen: pixels from the picture's upper left corner."""
        at = np.asarray(point_mm, dtype=float)
        across = (float(self.right @ at) - self.middle_mm[0]) / self.mm_per_px
        upward = (float(self.up @ at) - self.middle_mm[1]) / self.mm_per_px
        return self.size_px[0] / 2.0 + across, self.size_px[1] / 2.0 - upward

    def across(self, x: float, y: float) -> Array:
        """The point behind a pixel in the plane through the ball's centre, shape (3,)."""
        right = self.middle_mm[0] + (x - self.size_px[0] / 2.0) * self.mm_per_px
        up = self.middle_mm[1] - (y - self.size_px[1] / 2.0) * self.mm_per_px
        return np.asarray(right * self.right + up * self.up)

    def on_sphere(self, x: float, y: float, radius_mm: float) -> Array:
        """The near point behind a pixel on a sphere about the ball's centre, shape (3,)."""
        flat = self.across(x, y)
        return np.asarray(flat + np.sqrt(radius_mm**2 - flat @ flat) * self.toward)

    def on_plane(self, x: float, y: float, normal: Sequence[float], offset_mm: float) -> Array:
        """The point behind a pixel in a plane, shape (3,)."""
        way, flat = np.asarray(normal, dtype=float), self.across(x, y)
        return np.asarray(flat + (offset_mm - way @ flat) / (way @ self.toward) * self.toward)
