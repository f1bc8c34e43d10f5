"""Labels: each is put where it covers little, and tied to its point by a leader."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pipeline import fonts
from pipeline.fonts import BOLD, PLAIN
from pipeline.scene import INK, Label, Scene
from pipeline.sheet import LINE, SMALL, Box, Callout, Point, Words
from shapes.moments import Array


def label_size(label: Label, em: float) -> Point:
    """Width and height of a label's box: its first line in bold, with a little room round it."""
    wide = max(
        fonts.width(line, em if k == 0 else SMALL * em, BOLD if k == 0 else PLAIN)
        for k, line in enumerate(label.lines)
    )
    high = LINE * em * (1.0 + SMALL * (len(label.lines) - 1))
    return wide + 0.5 * em, high + 0.1 * em


@dataclass(frozen=True, eq=False)
class View:
    """What labels are placed against: a scene as it falls on the sheet, px.

    Attributes:
        anchors: where each label's point falls, by the label's key.
        lines: shape (n, 2) each, the axes.
        drawn: shape (m, 2), what a label should not cover.
        shown: keys of the labels that are seen, however faintly.
    """

    anchors: dict[str, Array]
    lines: list[Array]
    drawn: Array
    shown: frozenset[str]


def places(
    scenes: Sequence[Scene], stage: Box, origin: Point, px_per_mm: float, em: float
) -> dict[str, Box] | None:
    """The best box in the stage for every label, by its key; None when one finds no room.

    Over several scenes, the frames of a film, a label keeps one place, the best for all of them.
    """
    views = [_view(scene, origin, px_per_mm) for scene in scenes]
    inner = _bodies(scenes, origin, px_per_mm)
    found: dict[str, Box] = {}
    for key, size in _sizes(scenes, em).items():
        boxes = _boxes(stage, size, em)
        if len(boxes) == 0:
            return None
        inside = _depth_in(inner, boxes) + 0.4 * em
        cost = np.zeros(len(boxes))
        for view in views:
            if key not in view.shown:
                continue
            anchor = view.anchors[key]
            ends = np.clip(anchor, boxes[:, :2], boxes[:, 2:])
            cost += _near_and_clear(anchor, ends, inside, em)
            cost += 1.5 * em * _hits(view.drawn, boxes, 0.5 * em)
            cost += _across_lines(anchor, ends, view.lines, em)
            cost += _among(anchor, ends, boxes, [(found[k], view.anchors[k]) for k in found
                                                 if k in view.shown], em)  # fmt: skip
            if isinstance(inner, Box):  # bodies in a row: each has its words in its middle
                cost += 0.3 * np.abs((boxes[:, 0] + boxes[:, 2]) / 2.0 - anchor[0])
        for other in found.values():  # never on another, in whichever frame that one is
            cost = np.where(_overlap(boxes, other, 0.35 * em), np.inf, cost)
        best = int(np.argmin(cost))
        if not np.isfinite(cost[best]):
            return None
        found[key] = Box(*(float(x) for x in boxes[best]))
    return found


def callouts(
    scene: Scene, boxes: dict[str, Box], origin: Point, px_per_mm: float, em: float
) -> tuple[Callout, ...]:
    """A scene's labels in the boxes that they were given, by their keys.

    A label that no frame had when places were given has none, and is left out.
    """
    view = _view(scene, origin, px_per_mm)
    inner = _bodies([scene], origin, px_per_mm)
    found = []
    for label in scene.labels:
        if label.known_by not in boxes:
            continue
        box, anchor = boxes[label.known_by], view.anchors[label.known_by]
        inside = float(_depth_in(inner, np.array([_corners(box)]))[0]) > -0.4 * em
        found.append(_callout(label, box, anchor, em, plate=inside))
    return tuple(found)


def _bodies(scenes: Sequence[Scene], origin: Point, px_per_mm: float) -> tuple[Point, float] | Box:
    """What bodies fill of the sheet: a disc, by its middle and radius, or a rectangle."""
    bounds = [scene.extent_mm for scene in scenes if scene.extent_mm is not None]
    if len(bounds) < len(scenes):
        return origin, px_per_mm * max(scene.reach_mm for scene in scenes)
    low = np.min([b[0] for b in bounds], axis=0) * px_per_mm
    high = np.max([b[1] for b in bounds], axis=0) * px_per_mm
    (x, y), (left, lower), (right, upper) = origin, low, high
    return Box(x + float(left), y - float(upper), x + float(right), y - float(lower))


def _depth_in(bodies: tuple[Point, float] | Box, boxes: Array) -> Array:
    """How far each box reaches into what bodies fill, px; negative outside."""
    if isinstance(bodies, Box):
        low, high = np.array([bodies.left, bodies.top]), np.array([bodies.right, bodies.bottom])
        return np.asarray(np.minimum(boxes[:, 2:] - low, high - boxes[:, :2]).min(axis=1))
    return np.asarray(bodies[1] - _distance(np.array(bodies[0]), boxes))


def _corners(box: Box) -> tuple[float, float, float, float]:
    return box.left, box.top, box.right, box.bottom


def _view(scene: Scene, origin: Point, px_per_mm: float) -> View:
    def on_sheet(points: Array) -> Array:
        flat = px_per_mm * scene.camera.project(points) * np.array([1.0, -1.0])
        return np.asarray(np.array(origin) + flat)

    anchors = {label.known_by: on_sheet(label.at_mm) for label in scene.labels}
    lines = [on_sheet(_evenly(axis.path_mm)) for axis in scene.axes]
    lines += [on_sheet(_evenly(dimension.line_mm)) for dimension in scene.dimensions]
    drawn = np.concatenate([*lines, np.array([*anchors.values()]).reshape(-1, 2)])
    shown = frozenset(label.known_by for label in scene.labels if label.fade > 0.0)
    return View(anchors, lines, drawn, shown)


def _sizes(scenes: Sequence[Scene], em: float) -> dict[str, Point]:
    """The room that each label needs in the scene in which it needs most."""
    found: dict[str, Point] = {}
    for scene in scenes:
        for label in scene.labels:
            wide, high = label_size(label, em)
            w, h = found.get(label.known_by, (0.0, 0.0))
            found[label.known_by] = max(w, wide), max(h, high)
    return found


def _near_and_clear(anchor: Array, ends: Array, inside: Array, em: float) -> Array:
    """What places cost for their distance, and for how far they reach inside the ball's outline."""
    cost = np.linalg.norm(ends - anchor, axis=1)
    cost = np.where(cost < 0.7 * em, cost + 4.0 * em, cost)  # not on the point itself
    return np.asarray(cost + 2.5 * np.maximum(inside, 0.0) + 3.0 * em * (inside > 0.0))


def _across_lines(anchor: Array, ends: Array, lines: Sequence[Array], em: float) -> Array:
    """What leaders cost that cross an axis, or run along the one they start from."""
    cost = np.zeros(len(ends))
    for line in lines:
        cost += 2.0 * em * _crossings(anchor, ends, line[0], line[-1])
        if float(np.linalg.norm(line - anchor, axis=1).min()) < 2.0 * em:
            for end in (line[0], line[-1]):
                cost += 12.0 * em * _alongside(anchor, ends, end)
    return cost


def _among(
    anchor: Array, ends: Array, boxes: Array, found: Sequence[tuple[Box, Array]], em: float
) -> Array:
    """What places cost whose leaders cross others, or run through or under other labels."""
    cost = np.zeros(len(ends))
    for box, other in found:
        end = np.clip(other, (box.left, box.top), (box.right, box.bottom))
        cost += 6.0 * em * _crossings(anchor, ends, other, end)
        cost += 6.0 * em * _runs_through(anchor, ends, box)
        cost += 6.0 * em * _lies_across(boxes, other, end)
    return cost


def _callout(label: Label, box: Box, anchor: Array, em: float, *, plate: bool) -> Callout:
    x, y = box.left + 0.25 * em, box.top
    words = []
    to_left = anchor[0] > box.right  # set against the leader
    for k, line in enumerate(label.lines):
        size, weight = (em, BOLD) if k == 0 else (SMALL * em, PLAIN)
        room = box.width - 0.5 * em - fonts.width(line, size, weight)
        colour = label.colour if k == 0 else INK
        words.append(Words((x + room * to_left, y), line, size, weight, colour))
        y += LINE * size
    end = (
        float(np.clip(anchor[0], box.left, box.right)),
        float(np.clip(anchor[1], box.top + 0.2 * em, box.bottom - 0.2 * em)),
    )
    if anchor[0] < box.left or anchor[0] > box.right:  # at the height of the first line
        end = (end[0], box.top + 0.68 * em)
    leader = ((float(anchor[0]), float(anchor[1])), end)
    return Callout(box, tuple(words), leader, plate, label.fade)


def _boxes(stage: Box, size: Point, em: float) -> Array:
    """All boxes of a size in the stage, on a grid: shape (n, 4), left, top, right, bottom."""
    step = max(2.0, em / 3.0, (stage.width * stage.height / 12_000.0) ** 0.5)
    lefts = np.arange(stage.left, stage.right - size[0], step)
    tops = np.arange(stage.top, stage.bottom - size[1], step)
    x, y = (grid.ravel() for grid in np.meshgrid(lefts, tops))
    return np.column_stack([x, y, x + size[0], y + size[1]])


def _evenly(path: Array, count: int = 60) -> Array:
    """Points along a path of shape (n, 3)."""
    steps = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(path, axis=0), axis=1))])
    at = np.linspace(0.0, steps[-1], count)
    return np.column_stack([np.interp(at, steps, path[:, k]) for k in range(3)])


def _distance(point: Array, boxes: Array) -> Array:
    return np.asarray(np.linalg.norm(np.clip(point, boxes[:, :2], boxes[:, 2:]) - point, axis=1))


def _hits(points: Array, boxes: Array, margin: float) -> Array:
    """How many of the points, shape (m, 2), lie in each box."""
    total = np.zeros(len(boxes))
    for x, y in points:
        total += (
            (boxes[:, 0] - margin < x)
            & (x < boxes[:, 2] + margin)
            & (boxes[:, 1] - margin < y)
            & (y < boxes[:, 3] + margin)
        )
    return total


def _overlap(boxes: Array, other: Box, margin: float) -> npt.NDArray[np.bool_]:
    return np.asarray(
        (boxes[:, 0] < other.right + margin)
        & (other.left - margin < boxes[:, 2])
        & (boxes[:, 1] < other.bottom + margin)
        & (other.top - margin < boxes[:, 3])
    )


def _crossings(start: Array, ends: Array, a: Array, b: Array) -> npt.NDArray[np.bool_]:
    """Whether the lines from start to each end cross the line from a to b."""

    def side(p: Array, q: Array, r: Array) -> Array:
        u, v = q - p, r - p
        return np.asarray(u[..., 0] * v[..., 1] - u[..., 1] * v[..., 0])

    apart_1 = side(start, ends, a) * side(start, ends, b) < 0.0
    apart_2 = side(a, b, start) * side(a, b, ends) < 0.0
    return np.asarray(apart_1 & apart_2)


def _alongside(start: Array, ends: Array, other: Array) -> Array:
    """How nearly the lines from start to each end run as the one to the other: 0 to 1."""
    ways, way = ends - start, other - start
    sizes = np.linalg.norm(ways, axis=1) * float(np.linalg.norm(way))
    cosine = (ways @ way) / np.maximum(sizes, 1e-9)
    return np.asarray(np.clip((cosine - 0.8) / 0.2, 0.0, 1.0))


def _lies_across(boxes: Array, a: Array, b: Array) -> npt.NDArray[np.bool_]:
    """Whether a line from a to b runs through each of the boxes."""
    points = a + np.linspace(0.0, 1.0, 25)[:, None] * (b - a)
    return np.asarray(_hits(points, boxes, 0.0) > 0.0)


def _runs_through(start: Array, ends: Array, box: Box) -> Array:
    """Whether the lines from start to each end run through the box."""
    share = np.linspace(0.0, 1.0, 25)[:, None, None]
    points = start + share * (ends - start)
    inside = (
        (points[..., 0] > box.left)
        & (points[..., 0] < box.right)
        & (points[..., 1] > box.top)
        & (points[..., 1] < box.bottom)
    )
    return np.asarray(inside.any(axis=0))
