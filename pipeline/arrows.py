"""Principal axes as they are drawn: arrows, and rings for a plane of equal ones, with their labels.

An axis that is not defined is never made up.
"""

from __future__ import annotations

import numpy as np

from pipeline.digits import inches
from pipeline.palette import HIGH_AXIS, INTERMEDIATE_AXIS, LOW_AXIS
from pipeline.scene import Axis, Camera, Label, Line
from pipeline.weigh import MassProperties
from shapes.moments import Array

_BEYOND = 0.16  # of the radius: how far an axis stands out of what it runs through


def axes_of(
    properties: MassProperties, camera: Camera, reach: float, first: Camera | None = None
) -> tuple[tuple[Axis, ...], tuple[Label, ...]]:
    """Arrows of the axes that are defined, and a ring or a line for a plane of equal RGs.

    Args:
        properties: whose axes.
        camera: where they are seen from.
        reach: how far out the bodies come that they run through, mm.
        first: in a film the camera of its first frame, which chooses the ends that stand out.
    """
    principal = properties.principal
    low, middle, high = (inches(x, properties, 3) for x in principal.rg_mm)
    drawn: list[Axis] = []
    labels: list[Label] = []

    def add(axis: Axis, at: Array, *lines: str) -> None:
        drawn.append(axis)
        labels.append(Label(at, lines, axis.colour, axis.name))

    arrows: tuple[tuple[str, Array | None, str, Line, str], ...] = (
        ("low", principal.low, low, "solid", LOW_AXIS),
        ("intermediate", principal.intermediate, middle, "dashed", INTERMEDIATE_AXIS),
        ("high", principal.high, high, "double", HIGH_AXIS),
    )
    for name, way, figure, line, colour in arrows:
        if way is not None:
            axis = _arrow(name, way, line, colour, properties, camera, first or camera, reach)
            end_on = first is None and float(np.linalg.norm(camera.project(way))) < 0.2
            more = ("towards you",) if end_on else ()
            add(axis, axis.path_mm[-1], f"{name} RG {figure} in", *more)
    if principal.symmetry == "symmetrical":
        across = principal.low if principal.low is not None else principal.high
        assert across is not None
        if principal.low is not None:
            name, other, figure, line, colour = "high", "low", high, "double", HIGH_AXIS
        else:
            name, other, figure, line, colour = "low", "high", low, "solid", LOW_AXIS
        axis, at = _plane(name, across, line, colour, properties, camera, reach)
        add(axis, at, f"{name} RG {figure} in", "any direction", f"across the {other} axis")
    return tuple(drawn), tuple(labels)


def _arrow(
    name: str,
    way: Array,
    line: Line,
    colour: str,
    properties: MassProperties,
    camera: Camera,
    first: Camera,
    reach: float,
) -> Axis:
    """From the centre of gravity outwards, to the end of the axis that the viewer sees."""
    toward = first.axes()[2]
    seen = way if float(way @ toward) > -0.3 else -way
    start = properties.centre_of_gravity_mm + _in_front(camera, reach)
    long = 1.0 + _BEYOND * (1.0 if abs(seen[2]) < 0.7 else 1.3)
    return Axis(name, np.array([start, start + long * reach * seen]), line, 1, colour)


def _plane(
    name: str,
    across: Array,
    line: Line,
    colour: str,
    properties: MassProperties,
    camera: Camera,
    reach: float,
) -> tuple[Axis, Array]:
    """All directions across an axis, and where its label goes.

    It is a ring, or when that is seen on edge an arrow that points both ways.
    """
    right, _, toward = camera.axes()
    centre = properties.centre_of_gravity_mm
    flat = right - (right @ across) * across
    flat /= np.linalg.norm(flat)
    radius = (1.0 + 0.5 * _BEYOND) * reach
    if abs(float(across @ toward)) < 0.05:
        middle = centre + _in_front(camera, reach)
        path = np.array([middle - radius * flat, middle + radius * flat])
        return Axis(name, path, line, 2, colour), path[1]
    front = np.cross(flat, across)
    front *= np.sign(front @ toward)
    turn = np.radians(np.arange(0.0, 361.0, 3.0))[:, None]
    ring = centre + radius * (np.cos(turn) * flat + np.sin(turn) * front)
    return Axis(name, ring, line, 0, colour), ring[5]


def _in_front(camera: Camera, reach: float) -> Array:
    """A shift towards a level camera that brings a line out of the section it lies in."""
    return np.asarray(camera.axes()[2] * (reach if camera.elevation_deg == 0.0 else 0.0))
