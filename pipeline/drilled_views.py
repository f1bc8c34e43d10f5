"""The views of a drilled ball, each a function from it to a scene."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from pipeline.ball import Ball
from pipeline.cutaway import Cutting, Wedge, shells_of
from pipeline.digits import inches
from pipeline.drilled import Drilled
from pipeline.errors import OutputError
from pipeline.flare import EXPLANATION
from pipeline.holes import Hole
from pipeline.palette import CHALK, rgb
from pipeline.plugs import plugs_of
from pipeline.rolling import let_go
from pipeline.scene import (
    INK,
    Camera,
    Frame,
    Label,
    Mark,
    Scene,
    Surface,
    Thread,
    frame_of,
)
from pipeline.sphere import tangent, unit
from pipeline.staging import NOTE, core_parts, figures_of, legend_of, surfaces_of
from pipeline.surface_lines import SurfaceLine, grip_lines, marks, rg_lines, rims, ring_lines
from shapes.moments import Array

_THICK = 1.0 / 90.0  # of the radius: a line on the surface
_DARK = 0.45
_PROUD = 1.0015  # lines lie so far out
_TURN_DEG, _RISE_DEG = 32.0, 12.0  # the view turns from the grip towards the axis point
_RINGS_DEG = 4.0  # less for the track, which lies on the grip's other side


def drilled_ball(drilled: Drilled) -> Scene:
    """The whole ball from outside, with grip lines, marks and the RG of the axis point."""
    return _outside(drilled, [*rg_lines(drilled), *grip_lines(drilled)], ())


def rings(drilled: Drilled) -> Scene:
    """The same with the track rings of successive revolutions.

    Raises:
        OutputError: there is no axis point to turn about.
    """
    flare = let_go(drilled)
    if flare is None:
        raise OutputError(
            f"{drilled.ball.design.name} has no axis point to turn about: give its drilling an "
            "axis_point and a hand"
        )
    step = inches(flare.first_step_mm, drilled.properties, 3)
    note = f"The axis steps {step} in in the first revolution. {EXPLANATION}"
    lines = [*ring_lines(drilled), *grip_lines(drilled)]
    return _outside(drilled, lines, (note,), _RINGS_DEG)


def bored(drilled: Drilled) -> Scene:
    """Half of everything is taken away, along two holes."""
    ball = drilled.as_ball()
    frame, said = _along_holes(drilled)
    everything = frozenset(range(len(ball.parts)))
    cutting = Cutting(Wedge(0.0, 180.0, frame), everything, everything)
    camera = Camera(0.0, 0.0, frame)
    shells = shells_of(ball, cutting)
    centre = drilled.properties.centre_of_gravity_mm
    labels = [
        Label(hole.entry_mm + 0.6 * hole.drill.depth_mm * hole.way, (hole.name,), INK)
        for hole in _cut_through(drilled)
    ]
    return _scene(
        drilled, ball, camera, surfaces_of(ball, shells), {s.part for s in shells},
        (Mark("cg", centre, False),),
        (Label(centre, ("CG",), INK, "cg"), *labels), (), (said, NOTE),
    )  # fmt: skip


def taken(drilled: Drilled) -> Scene:
    """The core as it is drilled, and what was taken of it, drawn out along the holes.

    Raises:
        OutputError: there is no core, or no hole meets it.
    """
    ball = drilled.as_ball()
    drawn = core_parts(ball)
    plugs = plugs_of(drilled)
    if not drawn or not plugs:
        raise OutputError(
            f"no hole of {ball.design.name} meets a core: there is nothing to draw; ask for "
            "another view, such as 'drilled'"
        )
    shells = shells_of(ball, Cutting(None, frozenset(), drawn))
    camera = _camera(drilled)
    surfaces = [*surfaces_of(ball, shells), *(p.surface for p in plugs)]
    labels = [Label(p.middle_mm, (p.hole, f"{p.ounces:.2f} oz"), INK) for p in plugs]
    reach = max(float(np.linalg.norm(s.points_mm, axis=1).max()) for s in surfaces)
    what = "The core alone, with what the holes took of it drawn out along them."
    return _scene(
        drilled, ball, camera, tuple(surfaces), {s.part for s in shells}, (), tuple(labels), (),
        (what, NOTE), reach,
    )  # fmt: skip


DRILLED_VIEWS: dict[str, Callable[[Drilled], Scene]] = {
    "drilled": drilled_ball,
    "bored": bored,
    "taken": taken,
    "rings": rings,
}


def _outside(
    drilled: Drilled,
    lines: Sequence[SurfaceLine],
    notes: tuple[str, ...],
    turn_deg: float = _TURN_DEG,
) -> Scene:
    ball = drilled.as_ball()
    everything = frozenset(range(len(ball.parts)))
    shells = shells_of(ball, Cutting(None, frozenset(), everything))
    camera = _camera(drilled, turn_deg)
    toward = camera.axes()[2]
    radius, cover = drilled.properties.radius_mm, ball.parts[-1].colour
    threads = [
        Thread(piece, _on(cover, line.colour), _THICK * radius * line.thick, line.dashed)
        for line in lines
        for curve in line.curves
        for piece in _outside_holes(drilled, curve)
    ]
    labels = [
        *_mark_labels(drilled, toward),
        *_line_labels(lines, toward, radius),
        *_hole_labels(drilled, toward),
    ]
    shown = [m for m in marks(drilled) if _faces(m.at_mm, toward)]
    return _scene(
        drilled, ball, camera, surfaces_of(ball, shells), {s.part for s in shells},
        tuple(Mark(m.kind, m.at_mm, False) for m in shown), tuple(labels), tuple(threads),
        (*notes, NOTE),
    )  # fmt: skip


def _scene(
    drilled: Drilled,
    ball: Ball,
    camera: Camera,
    surfaces: tuple[Surface, ...],
    seen: set[int],
    shown: tuple[Mark, ...],
    labels: tuple[Label, ...],
    threads: tuple[Thread, ...],
    notes: tuple[str, ...],
    reach_mm: float = 0.0,
) -> Scene:
    design = ball.design
    return Scene(
        design.name, f"{design.revision}, drilled", figures_of(drilled.properties),
        legend_of(ball, seen), notes, camera, surfaces, (), shown, labels,
        reach_mm or drilled.properties.radius_mm, None, threads,
    )  # fmt: skip


def _on(cover: str, colour: str) -> str:
    """Ink becomes chalk on a dark cover."""
    dark = float(np.mean(rgb(cover))) < _DARK
    return CHALK if colour == INK and dark else colour


def _camera(drilled: Drilled, turn_deg: float = _TURN_DEG) -> Camera:
    """From outside the grip, turned so far towards the axis point; else from the first hole."""
    laid = drilled.laid
    if laid.frame is None:
        return Camera(0.0, 25.0, _upright_at(drilled.holes[0].entry_mm))
    side = 1.0
    if laid.axis_point is not None:
        side = 1.0 if float(laid.axis_point @ laid.frame[:, 1]) >= 0.0 else -1.0
    return Camera(side * turn_deg, _RISE_DEG, frame_of(laid.frame))


def _upright_at(point: Array) -> Frame:
    """A frame with X out at a point and Z as near to the ball's as can be."""
    x = unit(point)
    up = np.eye(3)[2] if abs(x[2]) < 0.99 else np.eye(3)[0]
    z = tangent(x, up)
    return frame_of(np.column_stack([x, np.cross(z, x), z]))


def _cut_through(drilled: Drilled) -> list[Hole]:
    """The two holes that a section runs along: the thumb's and a finger's, or what there is."""
    gripping = [h for h in drilled.holes if h.use != "vent"] or list(drilled.holes)
    thumbs = [h for h in gripping if h.use == "thumb"]
    fingers = [h for h in gripping if h.use != "thumb"]
    return (thumbs[:1] + fingers)[:2]


def _along_holes(drilled: Drilled) -> tuple[Frame, str]:
    """The frame of a section: X square to it, towards the viewer, Z up; and what it is."""
    holes = _cut_through(drilled)
    first = unit(holes[0].entry_mm)
    second = unit(holes[1].entry_mm) if len(holes) > 1 else drilled.laid.pin
    square = np.cross(first, second)
    if float(np.linalg.norm(square)) < 1e-6:
        square = np.cross(first, np.eye(3)[int(np.argmin(np.abs(first)))])
    out = unit(square)
    up = unit(first + second) if float(first @ second) > -0.99 else tangent(out, first)
    names = " and ".join(hole.name for hole in holes)
    said = f"Section through the ball's centre and where {names} enter{'' if holes[1:] else 's'}."
    return frame_of(np.column_stack([out, np.cross(up, out), up])), said


def _faces(point: Array, toward: Array) -> bool:
    return float(unit(point) @ toward) > 0.08


def _mark_labels(drilled: Drilled, toward: Array) -> list[Label]:
    return [Label(m.at_mm, (m.name,), INK) for m in marks(drilled) if _faces(m.at_mm, toward)]


def _line_labels(lines: Sequence[SurfaceLine], toward: Array, radius: float) -> list[Label]:
    """Each named line's name, at a place of it that is near the edge of what is seen."""
    found = []
    for line in lines:
        if not line.name:
            continue
        points = np.concatenate(line.curves)
        depth = points @ toward / radius
        seen = np.flatnonzero(depth > 0.25)
        if len(seen):
            at = points[seen[int(np.argmin(np.abs(depth[seen] - 0.45)))]]
            found.append(Label(at, (line.name,), line.colour))
    return found


def _hole_labels(drilled: Drilled, toward: Array) -> list[Label]:
    found = []
    for hole, rim in rims(drilled):
        if len(rim) and _faces(hole.entry_mm, toward):
            found.append(Label(rim[int(np.argmax(rim @ toward))], (hole.name,), INK))
    return found


def _outside_holes(drilled: Drilled, curve: Array) -> list[Array]:
    """A curve a little proud of the surface, cut where it runs over a hole."""
    over = np.zeros(len(curve), dtype=bool)
    for hole in drilled.holes:
        over |= hole.bore().contains(curve)
    pieces, start = [], 0
    for k in range(1, len(curve) + 1):
        if k == len(curve) or over[k] != over[start]:
            if not over[start] and k - start >= 2:
                pieces.append(_PROUD * curve[start:k])
            start = k
    return pieces
