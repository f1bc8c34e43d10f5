"""Solids with closed forms, for the checks of a casting's shape."""

from __future__ import annotations

import cadquery as cq
import numpy as np
from scipy.spatial.transform import Rotation

DISC_MM, STEM_MM, RIM_MM, HIGH_MM = 30.0, 12.0, 8.0, 48.0


def turned(*points: tuple[float, float]) -> cq.Solid:
    """A polygon of (r, z) turned about Z."""
    return cq.Workplane("XZ").polyline(points).close().revolve(360, (0, 0), (0, 1)).val()


def spool() -> cq.Solid:
    """Two discs on a thinner stem, upwards from z = 0."""
    low, high = RIM_MM, HIGH_MM - RIM_MM
    return turned(
        (0, 0), (DISC_MM, 0), (DISC_MM, low), (STEM_MM, low), (STEM_MM, high), (DISC_MM, high),
        (DISC_MM, HIGH_MM), (0, HIGH_MM),
    )  # fmt: skip


def open_ring() -> cq.Solid:
    """A ring of radii 30 and 40, 20 high, with a slot 20 wide across its +X side."""
    ring = cq.Workplane("XY").circle(40.0).circle(30.0).extrude(20.0)
    return ring.cut(cq.Workplane("XY").box(100.0, 20.0, 100.0).translate((50.0, 0.0, 0.0))).val()


def corner() -> cq.Solid:
    """An L of two legs 40 long and 15 thick, 30 deep."""
    legs = [(0, 0), (40, 0), (40, 15), (15, 15), (15, 40), (0, 40)]
    return cq.Workplane("XZ").polyline(legs).close().extrude(30.0).val()


def wedge() -> cq.Solid:
    """A right-angled triangle 100 by 20, 60 deep."""
    return cq.Workplane("XZ").polyline([(0, 0), (100, 0), (0, 20)]).close().extrude(60.0).val()


def frustum(wide: float, narrow: float, high: float) -> cq.Solid:
    """A cone's frustum on z = 0."""
    return cq.Solid.makeCone(wide, narrow, high)


def tilted(solid: cq.Solid) -> cq.Solid:
    """A copy turned by 35 degrees about (1, 2, 3)."""
    return solid.rotate(cq.Vector(0, 0, 0), cq.Vector(1, 2, 3), 35.0)


def tilted_way(x: float, y: float, z: float) -> tuple[float, float, float]:
    """The same turn of a unit vector, by scipy."""
    axis = np.array([1.0, 2.0, 3.0]) / np.sqrt(14.0)
    a, b, c = Rotation.from_rotvec(np.radians(35.0) * axis).apply([x, y, z])
    return float(a), float(b), float(c)
