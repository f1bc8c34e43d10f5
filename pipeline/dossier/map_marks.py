"""The principal axes on a map of half the sphere: where they leave it, with word and RG."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import hypot

import numpy as np

from pipeline.dossier.room import Box, clear, text_box
from pipeline.dossier.svg import SIZE, Point, box, disc, hovered, reach, ring, run, words
from pipeline.palette import HIGH_AXIS, INTERMEDIATE_AXIS, LOW_AXIS
from shapes.moments import Array

Place = Callable[[Sequence[float] | Array], Point]

_COLOURS = {"low": LOW_AXIS, "intermediate": INTERMEDIATE_AXIS, "high": HIGH_AXIS}
_DARK, _PLATE = "#22262A", "#FFFFFF"
_R, _LABEL = 9.0, 14.0
_LEVEL = 1e-6  # an axis that rises by less lies on the rim, whatever the last digit says


@dataclass(frozen=True)
class Placed:
    """What is drawn of the axes.

    Attributes:
        under, over: marks below and above the map's other labels.
        taken: the room they take.
        sentences: the same in words.
    """

    under: tuple[str, ...]
    over: tuple[str, ...]
    taken: tuple[Box, ...]
    sentences: tuple[str, ...]


def axis_marks(
    axes: Mapping[str, Sequence[float] | None],
    told: Mapping[str, str],
    place: Place,
    radius: float,
    lines: Sequence[Sequence[Point]],
) -> Placed:
    """The axes that are defined, as signs; where one of them is, the circle square to it.

    Args:
        axes: unit vectors by low, intermediate and high; None where undefined.
        told: RG of each with its unit.
        place: from a unit vector to the map, about its middle.
        radius: of the map.
        lines: on the map, which labels rather stay off.
    """
    known = {name: np.asarray(axes[name], dtype=float) for name in _COLOURS
             if axes.get(name) is not None}  # fmt: skip
    ends = {name: _ends(axis) for name, axis in known.items()}
    taken = [_about(place(n)) for found in ends.values() for n in found]
    taken.append(Box(-4.0, -4.0, 4.0, 4.0))  # the middle
    under: list[str] = []
    over: list[str] = []
    sentences = []
    if len(known) == 1:
        ((name, axis),) = known.items()
        other = "high" if name == "low" else "low"
        marks, box_, sentence = _square_to(axis, other, told[other], place, radius, taken)
        under += marks[:1]
        over += marks[1:]
        taken += box_
        sentences.append(sentence)
    for name, found in ends.items():
        hover = f"{name} axis: {_angles(found[0])}, RG {told[name]}"
        signs = [_sign(place(n), name) for n in found]
        text = f"{name} {told[name]}"
        spots = [spot for n in found for spot in _around(place(n), text)]
        at = _room(text, spots, taken, radius, lines) or _room(text, spots, taken, radius)
        if at is not None:
            taken.append(_label(at, text))
            signs.append(pill(at, text, bold=True))
        over.append(hovered(hover, *signs))
    sentences = [
        f"The {name} axis, RG {told[name]}, points {_angles(found[0])}."
        for name, found in ends.items()
    ] + sentences
    return Placed(tuple(under), tuple(over), tuple(taken), tuple(sentences))


def pill(at: Point, text: str, *, bold: bool = False) -> str:
    """A label on the map, its middle at a point, on a plate of its own."""
    size = _LABEL if bold else SIZE
    wide = reach(text, size, bold=bold) + 8.0
    plate = box(at[0] - wide / 2.0, at[1] - 9.5, wide, 19.0, _PLATE, round_=4.0, opacity=0.86)
    return plate + words(
        at[0], at[1] + 0.35 * size, text, _DARK, size=size, anchor="middle", bold=bold
    )


def _ends(axis: Array) -> list[Array]:
    """Where an axis leaves the half sphere: once, or at both ends where it lies on the rim."""
    if abs(axis[2]) < _LEVEL:
        flat = np.array([axis[0], axis[1], 0.0])
        return [flat, -flat]
    return [axis if axis[2] > 0.0 else -axis]


def _angles(axis: Array) -> str:
    aside = float(hypot(axis[0], axis[1]))
    rise = float(np.degrees(np.arctan2(aside, axis[2])))
    if rise < 0.5:
        return "along +Z"
    turn = round(float(np.degrees(np.arctan2(axis[1], axis[0])))) % 360
    if abs(axis[2]) < _LEVEL:
        return f"square to +Z, at {turn} and {(turn + 180) % 360} deg azimuth"
    return f"{rise:.0f} deg from +Z, at {turn} deg azimuth"


def _sign(at: Point, name: str) -> str:
    """The axes are told apart by line first: low solid, intermediate dashed, high double."""
    colour, plate = _COLOURS[name], disc(at, _R, _PLATE)
    if name == "high":
        return plate + ring(at, 7.0, colour, width=1.8) + ring(at, 3.2, colour, width=1.8)
    dash = "3.6 2.2" if name == "intermediate" else ""
    return plate + ring(at, 6.0, colour, width=3.0, dash=dash)


def _around(at: Point, text: str) -> list[Point]:
    """Middles of a label about a sign."""
    x, y = at
    aside = reach(text, _LABEL, bold=True) / 2.0 + _R + 10.0
    return [(x + aside, y), (x - aside, y), (x, y + 24.0), (x, y - 24.0)] + [
        (x + s * aside * 0.8, y + r * 22.0) for s in (1.0, -1.0) for r in (1.0, -1.0)
    ]


def _square_to(
    axis: Array, name: str, told: str, place: Place, radius: float, taken: list[Box]
) -> tuple[list[str], list[Box], str]:
    """Of a body that is the same all round: every axis square to its own has one RG."""
    aside = np.cross(axis, np.eye(3)[int(np.argmin(np.abs(axis)))])
    first = aside / np.linalg.norm(aside)
    second = np.cross(axis, first)
    t = np.linspace(0.0, 2.0 * np.pi, 181)[:, None]
    circle = np.cos(t) * first + np.sin(t) * second
    on_rim = float(hypot(axis[0], axis[1])) < _LEVEL
    hover = f"{name} RG {told}: every axis square to the other"
    if on_rim:
        marks = [hovered(hover, ring((0.0, 0.0), radius, _COLOURS[name], width=3.0))]
        text = f"{name} {told} all round the rim"
        spots = [(0.0, s * (radius - 46.0)) for s in (1.0, -1.0)]
    else:
        upper = circle[circle[:, 2] >= -1e-9]
        # one run: it starts where the circle comes up over the rim
        turn = np.arctan2(upper @ second, upper @ first)
        middle = upper[int(np.argmax(upper[:, 2]))]
        way = np.arctan2(middle @ second, middle @ first)
        order = np.argsort((turn - way + np.pi) % (2.0 * np.pi))
        points = [place(n) for n in upper[order]]
        marks = [hovered(hover, run(points, _COLOURS[name], width=3.0))]
        text = f"{name} {told} all along this line"
        spots = sorted(points[8:-8], key=lambda at: hypot(at[0], at[1] + radius / 2.0))
    at = _room(text, spots, taken, radius)
    boxes = [] if at is None else [_label(at, text)]
    marks += [] if at is None else [pill(at, text, bold=True)]
    where = "on the rim" if on_rim else "on the circle square to that axis"
    return marks, boxes, f"Every axis {where} has the {name} RG, {told}."


def _room(
    text: str,
    spots: Sequence[Point],
    taken: Sequence[Box],
    radius: float,
    lines: Sequence[Sequence[Point]] = (),
) -> Point | None:
    """The first of some spots where a label is clear of what is there, and within the map."""
    for at in spots:
        label = _label(at, text)
        if clear(label, taken, lines) and _inside(label, radius):
            return at
    return None


def _label(at: Point, text: str) -> Box:
    return text_box(at[0], at[1] + 5.0, text, _LABEL, "middle", bold=True).grown(3.0)


def _inside(label: Box, radius: float) -> bool:
    corners = ((x, y) for x in (label.left, label.right) for y in (label.top, label.bottom))
    return all(hypot(x, y) < radius - 2.0 for x, y in corners)


def _about(at: Point) -> Box:
    return Box(at[0] - _R, at[1] - _R, at[0] + _R, at[1] + _R)
