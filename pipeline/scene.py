"""What is drawn, as plain frozen values: surfaces, axes, marks, labels, legend.  No renderer here.

All lengths are millimetres in the ball frame.  The camera looks in parallel, so that lengths square
to the view are true anywhere in the picture and one scale holds for all of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin
from typing import Literal

import numpy as np
import numpy.typing as npt

from shapes.moments import Array

Indices = npt.NDArray[np.int64]
Finish = Literal["skin", "cut", "ink"]  # glossy outside, matt cut face, true colour without light
Line = Literal["solid", "dashed", "double"]

INK = "#2B2A27"

Frame = tuple[tuple[float, float, float], ...]
UPRIGHT: Frame = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def frame_of(axes: Array) -> Frame:
    """Three unit vectors, as columns of shape (3, 3), as a frame."""
    x, y, z = (tuple(round(float(v), 9) for v in column) for column in axes.T)
    return x, y, z  # type: ignore[return-value]  # each has three numbers


@dataclass(frozen=True)
class Camera:
    """Where the picture is taken from: a direction, in parallel projection.

    Attributes:
        azimuth_deg, elevation_deg: of the viewer.
        frame: the X, Y and Z, in the ball frame, that these are measured in; Z is up.
    """

    azimuth_deg: float
    elevation_deg: float
    frame: Frame = UPRIGHT

    def axes(self) -> Array:
        """Shape (3, 3): unit vectors to the right, up, and towards the viewer, as rows."""
        a, e = radians(self.azimuth_deg), radians(self.elevation_deg)
        right = np.array([-sin(a), cos(a), 0.0])
        toward = np.array([cos(e) * cos(a), cos(e) * sin(a), sin(e)])
        own = np.array([right, np.cross(toward, right), toward])
        return own if self.frame == UPRIGHT else own @ np.array(self.frame)

    def project(self, points: Array) -> Array:
        """Points of shape (..., 3) as (..., 2): to the right and up in the picture, mm."""
        return np.asarray(points @ self.axes()[:2].T)


@dataclass(frozen=True, eq=False)
class Surface:
    """Triangles of one colour: points (n, 3), normals (n, 3), triangles (m, 3)."""

    points_mm: Array
    normals: Array
    triangles: Indices
    colour: str
    finish: Finish


@dataclass(frozen=True, eq=False)
class Axis:
    """A principal axis, drawn as an arrow, or a whole plane of them, drawn as a ring.

    Attributes:
        name: low, intermediate or high.
        path_mm: shape (n, 3), the line from start to end; closed for a ring.
        line: low is solid, intermediate dashed, high double.
        heads: 1 for an arrow, 2 for one that points both ways, 0 for a ring.
        colour: '#RRGGBB'.
    """

    name: str
    path_mm: Array
    line: Line
    heads: int
    colour: str


@dataclass(frozen=True, eq=False)
class Mark:
    """A point of the ball that has a name, drawn over all; `behind` when it is out of sight."""

    kind: Literal["pin", "cg", "psa", "axis point", "grip centre"]
    at_mm: Array
    behind: bool


@dataclass(frozen=True, eq=False)
class Thread:
    """A line on the ball's surface: shape (n, 3), mm; closed when it ends where it starts."""

    path_mm: Array
    colour: str
    thick_mm: float
    dashed: bool = False


@dataclass(frozen=True, eq=False)
class Label:
    """Words that belong to a point."""

    at_mm: Array
    lines: tuple[str, ...]
    colour: str


@dataclass(frozen=True)
class Entry:
    """A line of the legend; `seen` is false for a part that this view hides."""

    colour: str
    name: str
    density: str
    mass: str
    seen: bool


@dataclass(frozen=True, eq=False)
class Scene:
    """Everything in a picture.

    Attributes:
        name, revision: of the design.
        figures: words and value, such as ('low RG', '2.545 in').
        legend: the parts, inside out.
        notes: sentences for the foot.
        camera: where it is seen from.
        surfaces, axes, marks, labels: what is seen.
        reach_mm: radius about the ball's centre of all surfaces.
        floor_mm: height of the floor that its shadow lies on, or None for no shadow.
        threads: lines on the surface.
    """

    name: str
    revision: str
    figures: tuple[tuple[str, str], ...]
    legend: tuple[Entry, ...]
    notes: tuple[str, ...]
    camera: Camera
    surfaces: tuple[Surface, ...]
    axes: tuple[Axis, ...]
    marks: tuple[Mark, ...]
    labels: tuple[Label, ...]
    reach_mm: float
    floor_mm: float | None
    threads: tuple[Thread, ...] = ()
