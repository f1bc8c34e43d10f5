"""A ball taken apart along its Z axis: what is poured round the core in halves, above and below.

The halves are true solid cuts; every body keeps all of its surface, cavities too.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from pipeline.ball import Ball
from pipeline.cutaway import Cutting, Wedge, shells_of
from pipeline.scene import INK, Frame, Label, Pose, Scene, Surface
from pipeline.staging import core_parts, legend_of, scene_of, surfaces_of
from pipeline.views import camera_for, everything
from pipeline.weigh import MassProperties
from pipeline.wish import Wish

_DOWN: Frame = ((0.0, 0.0, -1.0), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0))  # half of it is z < 0
_UP: Frame = ((0.0, 0.0, 1.0), (0.0, 1.0, 0.0), (-1.0, 0.0, 0.0))
_GAP = 0.15  # of the ball's radius, between bodies that were drawn apart


@dataclass(frozen=True, eq=False)
class Piece:
    """A body that is drawn apart from the others.

    Attributes:
        part: which part, counted inside out.
        surfaces: where they are cast.
        low_mm, high_mm: where it begins and ends along the ball's Z axis.
        away: 1 when it goes up, -1 when it goes down, 0 when it stays.
    """

    part: int
    surfaces: tuple[Surface, ...]
    low_mm: float
    high_mm: float
    away: int


def pieces_of(ball: Ball, *, hatched: bool = True) -> tuple[Piece, ...]:
    """The bodies that a ball is taken apart into, from the middle outwards."""
    core = core_parts(ball)
    found = []
    inner = [k for k in core if ball.parts[k].role == "inner core"]
    middle = ball.parts[inner[0]].claimed.centroid_mm()[2] if inner else 0.0
    for k in sorted(core, key=lambda k: (k not in inner, k)):
        centre = float(ball.parts[k].claimed.centroid_mm()[2])
        away = 0 if k in inner else (1 if centre >= middle else -1)
        found.append(_piece(ball, k, None, away, hatched=hatched))
    for k in sorted(everything(ball) - core):
        for frame, away in ((_DOWN, 1), (_UP, -1)):
            found.append(_piece(ball, k, frame, away, hatched=hatched))
    return tuple(found)


def _piece(ball: Ball, k: int, frame: Frame | None, away: int, *, hatched: bool) -> Piece:
    one = frozenset({k})
    wedge = None if frame is None else Wedge(0.0, 180.0, frame)
    shells = shells_of(ball, Cutting(wedge, one if wedge else frozenset(), one, apart=True))
    surfaces = surfaces_of(ball, shells, hatched=hatched)
    heights = np.concatenate([s.points_mm[:, 2] for s in surfaces])
    return Piece(k, surfaces, float(heights.min()), float(heights.max()), away)


def shifts_of(ball: Ball, pieces: tuple[Piece, ...], share: float = 1.0) -> tuple[float, ...]:
    """How far each piece is moved along the Z axis, mm, when it is that far apart: 0 to 1."""
    gap = _GAP * ball.radius_mm
    top = max(p.high_mm for p in pieces if p.away == 0) if _any_still(pieces) else 0.0
    bottom = min(p.low_mm for p in pieces if p.away == 0) if _any_still(pieces) else 0.0
    found = []
    for piece in pieces:
        shift = 0.0
        if piece.away > 0:
            shift = max(top + gap - piece.low_mm, 0.0)
            top = piece.high_mm + shift
        elif piece.away < 0:
            shift = min(bottom - gap - piece.high_mm, 0.0)
            bottom = piece.low_mm + shift
        found.append(share * shift)
    return tuple(found)


def _any_still(pieces: tuple[Piece, ...]) -> bool:
    return any(p.away == 0 for p in pieces)


def apart(ball: Ball, pieces: tuple[Piece, ...], share: float) -> tuple[Surface, ...]:
    """The pieces where they are when they are that far apart: 0 to 1."""
    return tuple(
        replace(surface, pose=Pose((0.0, 0.0, shift)))
        for piece, shift in zip(pieces, shifts_of(ball, pieces, share), strict=True)
        for surface in piece.surfaces
    )


def exploded(ball: Ball, properties: MassProperties, wish: Wish) -> Scene:
    """The ball drawn apart along its Z axis, each part with its name and weight."""
    pieces = pieces_of(ball, hatched=wish.hatched)
    return exploded_scene(ball, properties, pieces, 1.0, wish)


def exploded_scene(
    ball: Ball, properties: MassProperties, pieces: tuple[Piece, ...], share: float, wish: Wish
) -> Scene:
    """A scene of pieces that are that far apart: 0 to 1."""
    surfaces = apart(ball, pieces, share)
    scene = scene_of(
        ball, properties, camera_for(properties, wish, rise_deg=14.0), surfaces,
        ("Drawn apart along the core's axis as drawn.",), axes=False, reach_mm=ball.radius_mm,
    )  # fmt: skip
    heights = np.concatenate([s.pose.placed(s.points_mm)[:, 2] for s in surfaces])
    flat = np.concatenate([scene.camera.project(s.pose.placed(s.points_mm)) for s in surfaces])
    low, high = flat.min(axis=0), flat.max(axis=0)
    return replace(
        scene,
        labels=_labels(ball, pieces, share, scene),
        marks=(),
        reach_mm=max(ball.radius_mm, float(np.abs(heights).max())),
        extent_mm=((float(low[0]), float(low[1])), (float(high[0]), float(high[1]))),
        floor_mm=None,
    )


def _labels(ball: Ball, pieces: tuple[Piece, ...], share: float, scene: Scene) -> tuple[Label, ...]:
    """A name and a weight for every part, at its upper piece's right-hand side."""
    shifts = shifts_of(ball, pieces, share)
    entries = legend_of(ball, set())
    right = scene.camera.axes()[0]
    labels = {}
    for piece, shift in zip(pieces, shifts, strict=True):
        if piece.part in labels:
            continue
        points = np.concatenate([s.points_mm for s in piece.surfaces])
        at = points[int(np.argmax(points @ right))] + np.array([0.0, 0.0, shift])
        entry = entries[piece.part]
        words = (entry.name, f"{entry.density} g/cm\u00b3, {entry.mass} lb")
        labels[piece.part] = Label(at, words, INK, f"part {piece.part}")
    return tuple(labels.values())
