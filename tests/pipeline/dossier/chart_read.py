"""A chart read back from its SVG: texts with the room they take, shapes, hover words.

The room is measured with the face itself and not with `pipeline.dossier.room`, and a shape's place
comes from its attributes, so that what a chart says is read by other code than wrote it.
"""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from pipeline import fonts
from pipeline.dossier.document import Chart

SVG = "{http://www.w3.org/2000/svg}"
_TALL, _DEEP = 0.68, 0.20  # of figures and capitals, and of descenders, in this face


@dataclass(frozen=True)
class Shape:
    """An element, moved to where it stands.

    Attributes:
        name: of the element.
        attributes: as written.
        text: its own words.
        hover: the words of the nearest title about it.
        dx, dy: how far groups about it move it.
    """

    name: str
    attributes: dict[str, str]
    text: str
    hover: str
    dx: float
    dy: float

    def number(self, name: str) -> float:
        """An attribute as a number; x and y where they end up."""
        value = float(self.attributes[name])
        return value + {"x": self.dx, "y": self.dy}.get(name, 0.0)

    def points(self) -> list[tuple[float, float]]:
        """Of a polygon or polyline."""
        pairs = (pair.split(",") for pair in self.attributes["points"].split())
        return [(float(x) + self.dx, float(y) + self.dy) for x, y in pairs]

    def middle(self) -> tuple[float, float]:
        """The mean of its points."""
        points = self.points()
        return tuple(sum(p[k] for p in points) / len(points) for k in (0, 1))  # type: ignore[return-value]


@dataclass(frozen=True)
class Room:
    """What a text takes."""

    text: str
    left: float
    top: float
    right: float
    bottom: float


def root_of(chart: Chart) -> ET.Element:
    """The svg element."""
    return ET.fromstring(chart.svg)


def shapes(chart: Chart) -> list[Shape]:
    """Every element but groups and titles, in order."""
    return list(_walk(root_of(chart), "", 0.0, 0.0))


def _walk(element: ET.Element, hover: str, dx: float, dy: float) -> Iterator[Shape]:
    for child in element:
        name = child.tag.removeprefix(SVG)
        if name in ("title", "desc"):
            continue
        title = child.find(f"{SVG}title")
        told = hover if title is None else title.text or ""
        if name == "g":
            move = child.get("transform", "translate(0 0)")
            right, down = (float(v) for v in move.removeprefix("translate(").rstrip(")").split())
            yield from _walk(child, told, dx + right, dy + down)
        else:
            yield Shape(name, dict(child.attrib), child.text or "", told, dx, dy)


def rooms(chart: Chart) -> list[Room]:
    """What each text takes."""
    found = []
    for shape in shapes(chart):
        if shape.name == "text":
            size = float(shape.attributes.get("font-size", "13"))
            weight = int(shape.attributes.get("font-weight", "400"))
            seen = shape.text.replace("\u2068", "").replace("\u2069", "")
            wide = fonts.width(seen, size, weight)
            anchor = {"start": 0.0, "middle": 0.5, "end": 1.0}
            left = shape.number("x") - anchor[shape.attributes.get("text-anchor", "start")] * wide
            y = shape.number("y")
            found.append(Room(seen, left, y - _TALL * size, left + wide, y + _DEEP * size))
    return found


def meetings(chart: Chart) -> list[tuple[str, str]]:
    """Texts that stand on one another."""
    return [
        (a.text, b.text)
        for a, b in combinations(rooms(chart), 2)
        if min(a.right, b.right) - max(a.left, b.left) > 0.01
        and min(a.bottom, b.bottom) - max(a.top, b.top) > 0.01
    ]


def outside(chart: Chart) -> list[str]:
    """Texts and shapes that leave the sheet."""
    _, _, wide, high = (float(v) for v in root_of(chart).attrib["viewBox"].split())
    found = [
        r.text
        for r in rooms(chart)
        if r.left < -0.01 or r.top < -0.01 or r.right > wide + 0.01 or r.bottom > high + 0.01
    ]
    for shape in shapes(chart):
        found += [shape.name for x, y in _corners(shape) if not (0 <= x <= wide and 0 <= y <= high)]
    return found


def _corners(shape: Shape) -> list[tuple[float, float]]:
    if "points" in shape.attributes:
        return shape.points()
    if shape.name == "rect":
        x, y = shape.number("x"), shape.number("y")
        return [(x, y), (x + shape.number("width"), y + shape.number("height"))]
    if shape.name == "line":
        ends = [float(shape.attributes[k]) for k in ("x1", "y1", "x2", "y2")]
        return [(ends[0] + shape.dx, ends[1] + shape.dy), (ends[2] + shape.dx, ends[3] + shape.dy)]
    if shape.name == "circle":
        x, y = (float(shape.attributes[k]) for k in ("cx", "cy"))
        r = shape.number("r")
        return [(x + shape.dx + s * r, y + shape.dy + s * r) for s in (-1.0, 1.0)]
    return []
