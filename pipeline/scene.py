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
# glossy outside, matt cut face, strokes on that; true colour without light, the same a little
# darker at its edges
Finish = Literal["skin", "cut", "stroke", "ink", "map"]
Line = Literal["solid", "dashed", "double"]
PourKind = Literal["solid", "pearl", "hybrid"]

INK, FAINT = "#2B2A27", "#646057"

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


@dataclass(frozen=True)
class Pour:
    """How a part's resin was mixed: one colour through and through, or a second one swirled in.

    Attributes:
        kind: solid; pearl, with a milky second colour and flakes; hybrid, part solid, part pearl.
        second: '#RRGGBB', the other colour.
        seed: of the swirls.
    """

    kind: PourKind
    second: str
    seed: int


@dataclass(frozen=True)
class Pose:
    """Where a body stands that was drawn elsewhere: turned about the origin, then shifted.

    Attributes:
        shift_mm: by how much.
        frame: the unit vectors that its own X, Y and Z become.
    """

    shift_mm: tuple[float, float, float] = (0.0, 0.0, 0.0)
    frame: Frame = UPRIGHT

    def placed(self, points: Array) -> Array:
        """Points of shape (..., 3) where they stand."""
        return np.asarray(points @ np.array(self.frame) + np.array(self.shift_mm))


AT_HOME = Pose()


@dataclass(frozen=True, eq=False)
class Surface:
    """Triangles of one part.

    Attributes:
        points_mm, normals: shape (n, 3).
        triangles: shape (m, 3), counter-clockwise seen from outside; only that side is drawn.
        colour: '#RRGGBB'.
        finish: how it takes light.
        part: which part, counted inside out from 0; -1 for none.
        name: of the part, for files; empty for what belongs to none, such as hatching.
        opacity: 1 hides what lies behind; less lets it through.
        pour: how its resin was mixed, for a part that shows it.
        tints: shape (n, 3), a colour for each point from 0 to 1 (sRGB), or None.
        pose: where it stands.
    """

    points_mm: Array
    normals: Array
    triangles: Indices
    colour: str
    finish: Finish
    part: int = -1
    name: str = ""
    opacity: float = 1.0
    pour: Pour | None = None
    tints: Array | None = None
    pose: Pose = AT_HOME


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
    """A point of the ball that has a name, drawn over all; `behind` when it is out of sight.

    In a film it may `fade`, from 1 to 0, where it goes out of sight.
    """

    kind: Literal["pin", "cg", "psa", "axis point", "grip centre"]
    at_mm: Array
    behind: bool
    fade: float = 1.0


@dataclass(frozen=True, eq=False)
class Thread:
    """A line on the ball's surface: shape (n, 3), mm; closed when it ends where it starts."""

    path_mm: Array
    colour: str
    thick_mm: float
    dashed: bool = False


@dataclass(frozen=True, eq=False)
class Label:
    """Words that belong to a point.

    Attributes:
        at_mm: the point, shape (3,).
        lines: the words, the first line in bold.
        colour: '#RRGGBB', of the first line.
        key: by which it is known again in the next frame of a film.
        fade: 1 where it is seen, 0 where it has gone out of sight.
    """

    at_mm: Array
    lines: tuple[str, ...]
    colour: str
    key: str = ""
    fade: float = 1.0

    @property
    def known_by(self) -> str:
        """Its key, or else its first line."""
        return self.key or self.lines[0]


@dataclass(frozen=True, eq=False)
class Dimension:
    """A length written on the picture: a line with two heads, and lines out to it from its ends.

    Attributes:
        from_mm, to_mm: shape (3,), what is measured.
        line_mm: shape (2, 3), where its line is drawn, beside what is measured.
        words: the length with its unit.
    """

    from_mm: Array
    to_mm: Array
    line_mm: Array
    words: str


@dataclass(frozen=True)
class Ramp:
    """What the colours of a map stand for.

    Attributes:
        name: of the figure, with its unit.
        colours: '#RRGGBB', from the least to the greatest.
        ends: the least and the greatest, in words.
    """

    name: str
    colours: tuple[str, ...]
    ends: tuple[str, str]


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
        figures: name, value, and the trade's word for it, such as ('low RG', '2.545 in', 'medium').
        legend: the parts, inside out.
        notes: sentences for the foot.
        camera: where it is seen from.
        surfaces, axes, marks, labels: what is seen.
        reach_mm: radius about the ball's centre of all surfaces.
        floor_mm: height of the floor that its shadow lies on, along the camera's own Z; None for
            no shadow.
        threads: lines on the surface.
        dimensions: lengths written on it.
        ramp: what colours stand for, on a map.
        extent_mm: left and lower, right and upper bounds in the picture, of bodies that do not
            stand about the ball's centre; None for a disc of the reach.
    """

    name: str
    revision: str
    figures: tuple[tuple[str, str, str], ...]
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
    dimensions: tuple[Dimension, ...] = ()
    ramp: Ramp | None = None
    extent_mm: tuple[tuple[float, float], tuple[float, float]] | None = None
