"""Axes as round bars: one for a low axis, dashes for an intermediate one, two for a high one."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from pipeline.scene import Axis, Scene, Thread
from shapes.moments import Array


@dataclass(frozen=True, eq=False)
class Rod:
    """A round bar.

    Attributes:
        path_mm: shape (n, 3), its middle line.
        radii_mm: at its start and at its end.
        colour: '#RRGGBB'.
    """

    path_mm: Array
    radii_mm: tuple[float, float]
    colour: str

    def coloured(self, colour: str) -> Rod:
        """The same in another colour."""
        return self if colour == self.colour else replace(self, colour=colour)


def rods_of(axis: Axis, scene: Scene) -> list[Rod]:
    """The bars and heads of an axis: one bar, two side by side, or dashes."""
    unit = scene.reach_mm / 108.0
    thick = {"solid": 1.15, "dashed": 1.15, "double": 0.62}[axis.line] * unit
    head = 9.0 * unit
    path, rods = axis.path_mm, []
    if axis.heads:
        way = (path[-1] - path[0]) / np.linalg.norm(path[-1] - path[0])
        tip, tail = path[-1], path[0]
        rods.append(Rod(np.array([tip - head * way, tip]), (3.3 * unit, 0.0), axis.colour))
        path = np.array([tail, tip - head * way])
        if axis.heads == 2:
            rods.append(Rod(np.array([tail + head * way, tail]), (3.3 * unit, 0.0), axis.colour))
            path[0] = tail + head * way
    for line in _parallels(axis, path, scene, 1.45 * unit):
        for piece in _dashes(line, 5.5 * unit) if axis.line == "dashed" else [line]:
            rods.append(Rod(piece, (thick, thick), axis.colour))
    return rods


def _parallels(axis: Axis, path: Array, scene: Scene, apart: float) -> list[Array]:
    """The path itself, or for a double line two, side by side as the viewer sees them."""
    if axis.line != "double":
        return [path]
    toward = scene.camera.axes()[2]
    if axis.heads:
        side = np.cross(path[-1] - path[0], toward)
        size = float(np.linalg.norm(side))
        side = side / size if size > 0.0 else scene.camera.axes()[0]
        return [path + apart * side, path - apart * side]
    middle = path[:-1].mean(axis=0)
    across = np.cross(path[0] - middle, path[len(path) // 4] - middle)
    across /= np.linalg.norm(across)
    across *= np.sign(across @ toward) or 1.0
    out = (path - middle) / np.linalg.norm(path[0] - middle)
    return [path + way * apart * (out - across) for way in (0.8, -0.8)]


def _dashes(path: Array, length: float) -> list[Array]:
    whole = float(np.linalg.norm(np.diff(path, axis=0), axis=1).sum())
    count = max(1, round((whole / length + 0.6) / 1.6))
    step = whole / (count * 1.6 - 0.6)
    return [
        path[0]
        + np.array([[1.6 * k * step], [(1.6 * k + 1.0) * step]]) / whole * (path[-1] - path[0])
        for k in range(count)
    ]


def threaded(thread: Thread) -> list[Rod]:
    """The bars of a line on the surface: one, or dashes of even length along it."""
    radii = (thread.thick_mm / 2.0, thread.thick_mm / 2.0)
    if not thread.dashed:
        return [Rod(thread.path_mm, radii, thread.colour)]
    steps = np.linalg.norm(np.diff(thread.path_mm, axis=0), axis=1)
    along = np.concatenate([[0.0], np.cumsum(steps)])
    count = max(1, round(float(along[-1]) / (8.0 * thread.thick_mm)))
    ends = np.linspace(0.0, along[-1], 2 * count + 1)
    return [
        Rod(_stretch(thread.path_mm, along, ends[2 * k], ends[2 * k + 1]), radii, thread.colour)
        for k in range(count)
    ]


def _stretch(path: Array, along: Array, start: float, end: float) -> Array:
    """The part of a path between two lengths along it."""
    at = np.linspace(start, end, 5)
    return np.column_stack([np.interp(at, along, path[:, k]) for k in range(3)])
