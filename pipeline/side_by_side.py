"""Several balls in one picture, at one scale: their cores beside one another, or two sections."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pipeline.ball import Ball
from pipeline.errors import OutputError
from pipeline.scene import INK, Camera, Label, Pose, Scene, Surface, Thread
from pipeline.staging import ESTIMATE, azimuth_of, core_parts, figures_of
from pipeline.units import MM_PER_IN
from pipeline.views import core_alone, everything, opened
from pipeline.weigh import MassProperties
from pipeline.wish import Wish
from shapes.moments import Array

_PITCH = 1.45  # from one body's middle to the next one's, of the widest
_COUNTS = {"sizes": (2, 6), "before-after": (2, 2)}  # least and most balls


@dataclass(frozen=True, eq=False)
class Weighed:
    """A ball with its figures."""

    ball: Ball
    properties: MassProperties


@dataclass(frozen=True, eq=False)
class _Stand:
    """A body of the row before it has its place: its surfaces, and its bounds in the picture."""

    surfaces: tuple[Surface, ...]
    low: Array
    high: Array


def sizes(balls: Sequence[Weighed], wish: Wish) -> Scene:
    """The cores of two or more balls beside one another, standing on one level, at one scale.

    Raises:
        OutputError: there are too few or too many, or one has no core.
    """
    check_count("sizes", len(balls))
    camera = Camera(0.0, 12.0 if wish.above_deg is None else wish.above_deg)
    stands = []
    for one in balls:
        turn = _turned(azimuth_of(one.properties.principal) - 45.0 - camera.azimuth_deg)
        surfaces = [replace(s, pose=Pose(frame=turn)) for s in core_alone(one.ball)]
        stands.append(_stood(surfaces, camera))
    level = min(float(s.low[1]) for s in stands)
    words = []
    for one in balls:
        high, wide = _core_size(one.ball)
        size = f"{high:.2f} in high, {wide:.2f} in across"
        words.append((_named(one), size, *_figures(one)))
    names = ", ".join(one.ball.design.name for one in balls)
    return _row(stands, words, camera, level, names, ("Cores at one scale.", ESTIMATE))


def before_after(balls: Sequence[Weighed], wish: Wish) -> Scene:
    """Two sections beside one another, such as a ball before and after a fit.

    The first one's outlines are drawn over the second one as dashes.

    Raises:
        OutputError: there are not two.
    """
    check_count("before-after", len(balls))
    camera = Camera(0.0, 0.0)
    stands, outlines = [], []
    for one in balls:
        azimuth = azimuth_of(one.properties.principal) - 90.0
        turn = _turned(azimuth)
        cut = opened(one.ball, azimuth, 180.0, everything(one.ball), hatched=wish.hatched)
        surfaces = [replace(s, pose=Pose(frame=turn)) for s in cut]
        stands.append(_stood(surfaces, camera))
        outlines.append([_outline(s) for s in surfaces if s.finish == "cut" and s.name])
    words = [
        (f"{when}: {_named(one)}", *_figures(one))
        for when, one in zip(("before", "after"), balls, strict=True)
    ]
    last = balls[-1].ball
    both = ", ".join(_named(one) for one in balls)
    scene = _row(stands, words, camera, None, both,
                 ("Dashes on the right: the outlines before.", ESTIMATE))  # fmt: skip
    shift = np.array(scene.surfaces[-1].pose.shift_mm)
    lift = 1.5 * last.radius_mm * camera.axes()[2]
    dashes = [
        Thread(curve + shift + lift, INK, last.radius_mm / 110.0, dashed=True)
        for curves in outlines[0]
        for curve in curves
    ]
    return replace(scene, threads=tuple(dashes))


def _named(one: Weighed) -> str:
    return f"{one.ball.design.name} {one.ball.design.revision}"


def _figures(one: Weighed) -> tuple[str, ...]:
    """Short lines that stand below a body."""
    rows = {name: value for name, value, _ in figures_of(one.properties)}
    lines = [
        rows["ball weight"],
        f"RG {rows.get('low RG') or rows['RG, any axis']}",
        f"differential {rows['total differential']}",
    ]
    if one.properties.principal.symmetry == "asymmetrical":
        lines.append(f"intermediate {rows['intermediate differential']}")
    return tuple(lines)


def check_count(view: str, count: int) -> None:
    """Refuse too few or too many balls for a view.

    Raises:
        OutputError: says how many it shows.
    """
    least, most = _COUNTS[view]
    if not least <= count <= most:
        room = f"{least}" if least == most else f"{least} to {most}"
        raise OutputError(
            f"the view '{view}' shows {room} balls, and {count} were given: name the others with "
            "--beside FILE"
        )


def _turned(by_deg: float) -> tuple[tuple[float, float, float], ...]:
    """A frame turned about Z so that what was at that azimuth comes to 0."""
    c, s = np.cos(np.radians(-by_deg)), np.sin(np.radians(-by_deg))
    return ((float(c), float(s), 0.0), (float(-s), float(c), 0.0), (0.0, 0.0, 1.0))


def _stood(surfaces: Sequence[Surface], camera: Camera) -> _Stand:
    flat = np.concatenate([camera.project(s.pose.placed(s.points_mm)) for s in surfaces])
    return _Stand(tuple(surfaces), flat.min(axis=0), flat.max(axis=0))


def _row(
    stands: Sequence[_Stand],
    words: Sequence[tuple[str, ...]],
    camera: Camera,
    level: float | None,
    name: str,
    notes: tuple[str, ...],
) -> Scene:
    """Bodies in a row, each with its words below; on a level, or each in its own middle."""
    right, up, _ = camera.axes()
    widths = [float(s.high[0] - s.low[0]) for s in stands]
    wide = max(widths)
    pitch = _PITCH if level is not None else 1.1
    starts = np.cumsum([0.0, *(pitch * wide for _ in stands[1:])])
    middle = (starts[0] + starts[-1]) / 2.0
    surfaces: list[Surface] = []
    labels: list[Label] = []
    lows, highs = [], []
    for k, (stand, start) in enumerate(zip(stands, starts, strict=True)):
        x = float(start) - middle - float(stand.low[0] + stand.high[0]) / 2.0
        y = 0.0 if level is None else level - float(stand.low[1])
        shift = x * right + y * up
        place = (float(shift[0]), float(shift[1]), float(shift[2]))
        surfaces += [
            replace(s, pose=replace(s.pose, shift_mm=place), part=10 * k + s.part)
            for s in stand.surfaces
        ]
        corner = np.array([x, y])
        lows.append(stand.low + corner)
        highs.append(stand.high + corner)
        below = (float(start) - middle) * right + float(stand.low[1] + y) * up
        labels.append(Label(below, words[k], INK, f"ball {k}"))
    low, high = np.min(lows, axis=0), np.max(highs, axis=0)
    reach = float(np.linalg.norm([max(abs(low[0]), abs(high[0])), max(abs(low[1]), abs(high[1]))]))
    return Scene(
        name, "", (), (), notes, camera, tuple(surfaces), (), (), tuple(labels), reach, None,
        extent_mm=(tuple(low), tuple(high)),
    )  # fmt: skip


def _outline(surface: Surface) -> list[Array]:
    """The outer edges of a flat face that looks at the viewer along X, where it stands.

    Edges belong to one triangle alone.  Those of holes run clockwise and are left out: they are the
    outer edges of what fills the holes.
    """
    points = surface.pose.placed(surface.points_mm)
    keys = np.round(points, 5)
    _, place = np.unique(keys, axis=0, return_inverse=True)
    corners = place.reshape(-1)[surface.triangles]
    ends = np.concatenate([corners[:, [0, 1]], corners[:, [1, 2]], corners[:, [2, 0]]])
    back = {(int(b), int(a)) for a, b in ends}
    follows = {int(a): int(b) for a, b in ends if (int(a), int(b)) not in back}
    where = dict(zip(place.reshape(-1).tolist(), points, strict=True))
    curves = []
    while follows:
        first, at = next(iter(follows.items()))
        loop = [first]
        del follows[first]
        while at != first and at in follows:
            loop.append(at)
            at = follows.pop(at)
        curves.append(np.array([where[k] for k in [*loop, first]]))
    return [curve for curve in curves if _area(curve[:, 1:]) > 1.0]


def _area(loop: Array) -> float:
    """Of a closed polygon, shape (n, 2), the last point the first; positive counter-clockwise."""
    x, y = loop.T
    return float((x[:-1] * y[1:] - x[1:] * y[:-1]).sum() / 2.0)


def _core_size(ball: Ball) -> tuple[float, float]:
    """Height along +Z, as drawn, and greatest width across it of the core, in; by its supports."""
    bodies = [ball.parts[k].body for k in core_parts(ball)]

    def wide(way: Array) -> float:
        return max(b.support_mm(way) for b in bodies) + max(b.support_mm(-way) for b in bodies)

    turns = np.radians(np.arange(0.0, 180.0, 0.5))
    across = max(wide(np.array([np.cos(t), np.sin(t), 0.0])) for t in turns)
    return wide(np.array([0.0, 0.0, 1.0])) / MM_PER_IN, across / MM_PER_IN
