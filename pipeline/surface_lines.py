"""Lines and marks on a drilled ball's surface, for pictures and maps alike.

Every line is a list of curves, shape (n, 3), in mm in the ball frame.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import Literal

import numpy as np

from pipeline.drilled import Drilled
from pipeline.flare import constant_rg
from pipeline.holes import Hole
from pipeline.palette import AMBER, CLAY, HIGH_AXIS, INTERMEDIATE_AXIS, LOW_AXIS
from pipeline.rolling import let_go, same_rg
from pipeline.scene import INK
from pipeline.sphere import stepped, tangent
from shapes.moments import Array

Kind = Literal["pin", "cg", "psa", "axis point", "grip centre"]
_TURN = np.linspace(0.0, 2.0 * pi, 241)
_CONTOURS_DEG = (15.0, 30.0, 45.0, 60.0, 75.0)  # from the low-RG axis towards the high one


@dataclass(frozen=True, eq=False)
class SurfaceLine:
    """One line with a name.

    Attributes:
        name: what it is; empty for one of several that need no name.
        curves: shape (n, 3) each.
        colour: '#RRGGBB'.
        thick: as a share of the usual thickness.
        dashed: how it is drawn.
    """

    name: str
    curves: tuple[Array, ...]
    colour: str
    thick: float
    dashed: bool


@dataclass(frozen=True, eq=False)
class SurfaceMark:
    """A named point of the surface; shape (3,), mm."""

    kind: Kind
    name: str
    at_mm: Array


def grip_lines(drilled: Drilled) -> list[SurfaceLine]:
    """Centreline, midline and vertical axis line, as far as there is a grip and an axis point."""
    laid, radius = drilled.laid, drilled.properties.radius_mm
    found = []
    if laid.frame is not None:
        centre, right, up = laid.frame.T
        found = [
            SurfaceLine("centreline", (radius * _circle(centre, up),), INK, 0.6, False),
            SurfaceLine("midline", (radius * _circle(centre, right),), INK, 0.6, True),
        ]
        if laid.axis_point is not None:
            # the great circle through the axis point square to the midline runs through its poles
            across = up - float(up @ laid.axis_point) * laid.axis_point
            if float(np.linalg.norm(across)) > 1e-9:
                line = radius * _circle(laid.axis_point, across / np.linalg.norm(across))
                found.append(SurfaceLine("vertical axis line", (line,), CLAY, 0.8, False))
    return found


def rg_lines(drilled: Drilled) -> list[SurfaceLine]:
    """Lines of equal RG, and the one through the axis point."""
    properties = drilled.properties
    principal = properties.principal
    found: list[SurfaceLine] = []
    if principal.low is not None and principal.symmetry != "spherical":
        low = principal.low
        other = principal.high if principal.high is not None else _aside(low)
        for angle in np.radians(_CONTOURS_DEG):
            way = np.cos(angle) * low + np.sin(angle) * other
            curves = constant_rg(
                properties.inertia_g_mm2, properties.mass_g, way, properties.radius_mm, 240
            )
            name = "" if found else "lines of equal RG"
            found.append(SurfaceLine(name, curves, INTERMEDIATE_AXIS, 0.35, False))
    through = same_rg(drilled)
    if through:
        found.append(SurfaceLine("RG of the axis point", through, HIGH_AXIS, 0.8, True))
    return found


def ring_lines(drilled: Drilled) -> list[SurfaceLine]:
    """The track rings of successive revolutions, and the way of the axis."""
    flare = let_go(drilled)
    if flare is None:
        return []
    rings = SurfaceLine("track rings", tuple(flare.rings_mm), AMBER, 0.45, False)
    return [rings, SurfaceLine("way of the axis", (flare.path_mm,), LOW_AXIS, 1.0, False)]


def rims(drilled: Drilled) -> list[tuple[Hole, Array]]:
    """Where the wall of each hole meets the surface: the hole and a curve, shape (n, 3)."""
    found = []
    for hole in drilled.holes:
        bore = hole.bore().placement
        r = hole.drill.diameter_mm / 2.0
        ring = np.column_stack([r * np.cos(_TURN), r * np.sin(_TURN), np.zeros_like(_TURN)])
        start, way = bore.to_ball(ring), -hole.way
        along = start @ way
        square = along**2 - (start * start).sum(axis=1) + drilled.properties.radius_mm**2
        met = square > 0.0  # a bore that runs out through the side is no whole ring
        points = start + (np.sqrt(np.maximum(square, 0.0)) - along)[:, None] * way
        found.append((hole, points[met]))
    return found


def marks(drilled: Drilled) -> list[SurfaceMark]:
    """Pin and CG mark as they were, where pin and PSA are now, axis point and grip centre."""
    before, after, laid = drilled.undrilled, drilled.properties, drilled.laid
    radius = after.radius_mm
    cg = before.cg_mark_mm()
    found = [SurfaceMark("pin", "pin", radius * laid.pin)]
    if cg is not None:
        found.append(SurfaceMark("cg", "CG mark", cg))
    pin, psa = after.pin_mm(), after.psa_mm()
    if laid.mark is not None:
        found.append(SurfaceMark("psa", "high-RG mark", radius * laid.mark))
    if pin is not None:
        found.append(SurfaceMark("pin", "low-RG axis, drilled", pin))
    if psa is not None:
        found.append(SurfaceMark("psa", "PSA, drilled", psa))
    if laid.axis_point is not None:
        found.append(SurfaceMark("axis point", "axis point", radius * laid.axis_point))
    if laid.grip_centre is not None:
        found.append(SurfaceMark("grip centre", "grip centre", radius * laid.grip_centre))
    return found


def _circle(start: Array, way: Array) -> Array:
    """The great circle from a point along a tangent, unit vectors of shape (n, 3)."""
    return np.asarray(np.outer(np.cos(_TURN), start) + np.outer(np.sin(_TURN), way))


def _aside(axis: Array) -> Array:
    return tangent(axis, stepped(axis, np.eye(3)[int(np.argmin(np.abs(axis)))], 0.1))
