"""What a driller reads off: pitches, spans and bridge, measured on the holes as they are placed."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from pipeline.drilled import Drilled
from pipeline.drilling import Hand, Place
from pipeline.grip import edge_rad
from pipeline.holes import Hole
from pipeline.sphere import arc_rad, tangent
from shapes.moments import Array


@dataclass(frozen=True)
class Pitch:
    """How far a hole's axis misses the ball's centre, mm.

    Attributes:
        forward_mm: towards the grip centre; less than zero away from it, reverse.
        right_mm: to the right, seen from outside with the fingers up; less than zero to the left.
    """

    forward_mm: float
    right_mm: float


@dataclass(frozen=True)
class Gap:
    """The surface between the nearest edges of two holes, mm."""

    first: str
    second: str
    along_mm: float


def pitch_of(hole: Hole, frame: Array) -> Pitch:
    """The pitch of a hole of a grip.

    Args:
        hole: in the frame of whoever placed it.
        frame: of the grip in that frame, shape (3, 3), see `pipeline.layout.Laid`.
    """
    at = hole.entry_mm / hole.radius_mm
    nearest = hole.entry_mm - float(hole.entry_mm @ hole.way) * hole.way
    forward = tangent(at, frame[:, 0])
    right = np.cross(forward, at)
    if float(right @ frame[:, 1]) < 0.0:
        right = -right
    # the nearest point to the centre lies square to the axis: what it shows along the surface is
    # shortened by the lean, and the whole miss is kept
    miss = float(np.linalg.norm(nearest))
    along = np.array([float(nearest @ forward), float(nearest @ right)])
    size = float(np.linalg.norm(along))
    if size < 1e-12:
        return Pitch(0.0, 0.0)
    scaled = along * (miss / size)
    return Pitch(float(scaled[0]), float(scaled[1]))


def place_of(point: Array, frame: Array, radius_mm: float, hand: Hand | None) -> Place:
    """Where a point of the surface is from the grip centre, over and up.

    Args:
        point: any vector towards it, shape (3,).
        frame: of the grip, see `pipeline.layout.Laid`.
        radius_mm: of the ball.
        hand: over is to the right of a right hand's grip, and where no hand is told.
    """
    out, right, up = (float(point @ axis) for axis in frame.T)
    side = -1.0 if hand == "left" else 1.0
    over = side * radius_mm * float(np.arctan2(right, out))
    return Place(over, radius_mm * float(np.arctan2(up, np.hypot(out, right))))


def spans_of(drilled: Drilled) -> list[Gap]:
    """From the thumb hole to every finger hole; none without a thumb hole."""
    thumbs = [h for h in drilled.holes if h.use == "thumb"]
    fingers = [h for h in drilled.holes if h.use == "finger"]
    if len(thumbs) != 1:
        return []
    return [Gap(thumbs[0].name, finger.name, gap_mm(thumbs[0], finger)) for finger in fingers]


def bridges_of(drilled: Drilled) -> list[Gap]:
    """Between finger holes that stand next to each other."""
    fingers = [h for h in drilled.holes if h.use == "finger"]
    frame = drilled.laid.frame
    if frame is not None:
        fingers.sort(key=lambda h: float(h.entry_mm @ frame[:, 1]))
    return [Gap(a.name, b.name, gap_mm(a, b)) for a, b in pairwise(fingers)]


def gap_mm(first: Hole, second: Hole) -> float:
    """Along the great circle through where two axes enter, between the nearest edges."""
    radius = first.radius_mm
    a, b = first.entry_mm / radius, second.entry_mm / radius
    edges = sum(
        edge_rad(at, hole.way, hole.drill.diameter_mm / 2.0 / radius, other)
        for hole, at, other in ((first, a, b), (second, b, a))
    )
    return radius * (arc_rad(a, b) - edges)
