"""Holes where they are in a ball: their axes, and the bodies that a drill takes."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin, sqrt, tan

import numpy as np

from pipeline.drilling import Drill, RawHole, Use
from shapes.moments import Array
from shapes.placed import Placed
from shapes.placement import Placement
from shapes.turned import Turned


@dataclass(frozen=True, eq=False)
class Hole:
    """A hole in the frame of whoever placed it: the ball's, or the grip's.

    Attributes:
        name: as messages call it.
        use: what goes into it.
        entry_mm: shape (3,), where its axis meets the surface.
        way: shape (3,), a unit vector along its axis, inwards.
        drill: what it is drilled with.
        line: where it stands in the file; 0 when it comes from no file.
    """

    name: str
    use: Use
    entry_mm: Array
    way: Array
    drill: Drill
    line: int = 0

    def turned(self, rotation: Array) -> Hole:
        """The hole turned about the ball's centre by a rotation, shape (3, 3)."""
        return Hole(
            self.name,
            self.use,
            rotation @ self.entry_mm,
            rotation @ self.way,
            self.drill,
            self.line,
        )

    @property
    def radius_mm(self) -> float:
        """Of the ball, at whose surface it begins."""
        return float(np.linalg.norm(self.entry_mm))

    def misses_mm(self) -> float:
        """How far its axis passes the ball's centre."""
        return float(np.linalg.norm(np.cross(self.entry_mm, self.way)))

    def bottom_mm(self) -> Array:
        """Shape (3,), the middle of its bottom, at its depth."""
        return np.asarray(self.entry_mm + self.drill.depth_mm * self.way)

    def bore(self) -> Placed:
        """What the drill takes of a ball, as a body that ends outside of it."""
        return Placed(_bit(self.drill, self.radius_mm), self._placement())

    def filled(self) -> Placed | None:
        """The bore of its insert, as a body that ends outside of the ball; or None."""
        insert = self.drill.insert
        if insert is None:
            return None
        plain = Drill(insert.bore_mm, insert.depth_mm)
        return Placed(_bit(plain, self.radius_mm), self._placement())

    def _placement(self) -> Placement:
        """Z outwards along the axis, the origin where that meets the surface."""
        out = -self.way
        x = np.eye(3)[int(np.argmin(np.abs(out)))]
        x = x - (x @ out) * out
        x /= np.linalg.norm(x)
        (a, b, c), (u, v, w) = out, x
        y = np.array([b * w - c * v, c * u - a * w, a * v - b * u])
        return Placement.of(np.column_stack([x, y, out]), self.entry_mm)


def raw_hole(raw: RawHole, radius_mm: float) -> Hole:
    """A hole from its place in the ball frame."""
    entry = surface_point(raw.arc_mm, raw.azimuth_deg, radius_mm)
    way = np.array(raw.towards_mm) - entry
    return Hole(raw.name, raw.use, entry, way / np.linalg.norm(way), raw.drill, raw.line)


def surface_point(arc_mm: float, azimuth_deg: float, radius_mm: float) -> Array:
    """Shape (3,), the point at an arc from the +Z point along an azimuth from +X about +Z."""
    polar, azimuth = arc_mm / radius_mm, radians(azimuth_deg)
    return radius_mm * np.array([sin(polar) * cos(azimuth), sin(polar) * sin(azimuth), cos(polar)])


def _bit(drill: Drill, radius_mm: float) -> Turned:
    """A drill as a body of revolution, upwards from its tip past every part of the ball."""
    r, depth, far = drill.diameter_mm / 2.0, drill.depth_mm, 2.5 * radius_mm
    tip: list[tuple[float, float]] = [(0.0, -depth)]
    if drill.point_deg is not None:
        tip = [(0.0, -depth - r / tan(radians(drill.point_deg) / 2.0))]
    rim = [(r, far)]
    wide = drill.bevel_mm
    if wide > 0.0:
        # the cone leaves an upright hole's wall so that it meets the surface that much farther out
        level = sqrt(radius_mm**2 - (r + wide) ** 2) - radius_mm
        flare = [(r + k * wide, level + (k - 1.0) * wide) for k in (0.0, 1.0, 2.0)]
        rim = [*flare, (r + 2.0 * wide, far)]
    return Turned(profile=(*tip, (r, -depth), *rim, (0.0, far)))
