"""Balls side by side: figures, parts, what differs field by field, and whose core is whose."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from pipeline.ball import Ball, build_ball
from pipeline.check import ESTIMATE
from pipeline.design import Design
from pipeline.document import Entries, Items, Node, Scalar, decode, parse
from pipeline.errors import CorewrightError
from pipeline.rows import figures_of
from pipeline.same_core import Likeness, likeness
from pipeline.units import G_PER_LB
from pipeline.wanted import AIMED, spelled
from pipeline.weigh import weigh

_DIGITS = {"in": 5, "lb": 4, "oz": 3}


class CompareError(CorewrightError):
    """There is nothing to compare."""


@dataclass(frozen=True)
class Difference:
    """A field that differs: what stands there in each file, None where it is not there."""

    field: str
    values: tuple[str | None, ...]


@dataclass(frozen=True, eq=False)
class Compared:
    """Balls side by side.

    Attributes:
        balls: in the order they were given.
        figures: of each, by the names of `AIMED`, mm or g.
        differences: field by field.
        cores: of the second ball and all after it, held against the first.
    """

    balls: tuple[Ball, ...]
    figures: tuple[dict[str, float], ...]
    differences: tuple[Difference, ...]
    cores: tuple[Likeness, ...]


def compare(designs: Sequence[Design]) -> Compared:
    """Weigh designs and put them side by side.

    Raises:
        CompareError: there is but one.
    """
    if len(designs) < 2:
        raise CompareError("one design; give at least two to compare")
    balls = tuple(build_ball(design) for design in designs)
    figures = tuple(figures_of(ball, weigh(ball)) for ball in balls)
    cores = tuple(likeness(balls[0], ball) for ball in balls[1:])
    return Compared(balls, figures, tuple(_differences(designs)), cores)


def _differences(designs: Sequence[Design]) -> Iterator[Difference]:
    texts = [dict(_fields(_tree(design), "")) for design in designs]
    for field in dict.fromkeys(f for text in texts for f in text):
        values = tuple(text.get(field) for text in texts)
        if len(set(values)) > 1:
            yield Difference(field, values)


def _tree(design: Design) -> Node:
    return parse(decode(design.source, design.file or "design"), design.file or "design")


def _fields(node: Node, path: str) -> Iterator[tuple[str, str]]:
    """Every value of a file with its path; a part by its name, since its place may differ."""
    if isinstance(node, Scalar):
        yield path, node.text
    elif isinstance(node, Entries):
        for key, value in node.entries.items():
            yield from _fields(value, f"{path}.{key}" if path else key)
    elif isinstance(node, Items):
        plain = all(isinstance(item, Scalar) for item in node.items)
        if plain and node.items:
            yield path, node.shown
            return
        for k, item in enumerate(node.items):
            name = item.entries.get("name") if isinstance(item, Entries) else None
            called = name.text if isinstance(name, Scalar) and path == "parts" else str(k)
            yield from _fields(item, f"{path}[{called}]")


def told(found: Compared) -> str:
    """The comparison as a page of text."""
    heads = _heads(found.balls)
    width = max(16, *(len(head) + 2 for head in heads))
    field = max(28, *(len(one.field) for one in found.differences), 0) + 2

    def row(name: str, cells: Sequence[str]) -> str:
        return f"  {name:<{field}}" + "".join(f"{cell:>{width}}" for cell in cells)

    lines = [
        f"{len(found.balls)} balls side by side; {ESTIMATE}",
        "",
        row("", heads),
    ]
    for name, figure in AIMED.items():
        cells = [
            "undefined"
            if np.isnan(f[name])
            else f"{f[name] / figure.size:.{_DIGITS[figure.unit]}f} {figure.unit}"
            for f in found.figures
        ]
        lines.append(row(spelled(name), cells))
    lines += ["", "  parts: g/cm3 and lb"]
    for name in dict.fromkeys(p.name for ball in found.balls for p in ball.parts):
        parts = [next((p for p in ball.parts if p.name == name), None) for ball in found.balls]
        cells = [
            "" if p is None else f"{p.density_g_cm3:.4f} {p.mass_g / G_PER_LB:.4f}" for p in parts
        ]
        lines.append(row(name, cells))
    lines += ["", "  the inner core"]
    for head, core in zip(heads[1:], found.cores, strict=True):
        lines.append(f"  {head}: {_core(core, heads[0])}")
    if found.differences:
        lines += ["", "  what differs"]
        for one in found.differences:
            lines.append(row(one.field, [_short(v, width) for v in one.values]))
    return "\n".join(line.rstrip() for line in lines)


def _core(core: Likeness, first: str) -> str:
    if core.same:
        return f"the same core as in {first}, by its geometry"
    return f"another core than in {first}: {core.why}"


def _heads(balls: Sequence[Ball]) -> list[str]:
    """Name and revision of each ball, and its file where those are not its own."""
    plain = [f"{ball.design.name} {ball.design.revision}" for ball in balls]
    return [
        f"{head} ({Path(ball.design.file).stem})" if plain.count(head) > 1 else head
        for head, ball in zip(plain, balls, strict=True)
    ]


def _short(text: str | None, width: int) -> str:
    if text is None:
        return "-"
    return text if len(text) < width else f"{text[: width - 3]}…"


def as_figures(found: Compared) -> dict[str, Any]:
    """The same for machines."""
    return {
        "note": ESTIMATE,
        "balls": [
            {
                "name": ball.design.name,
                "revision": ball.design.revision,
                "sha256": ball.design.sha256,
                "figures": {
                    f"{n}_{AIMED[n].unit}": None if np.isnan(v) else round(v / AIMED[n].size, 7)
                    for n, v in figures.items()
                },
                "parts": [
                    {
                        "name": p.name,
                        "material": p.material,
                        "density_g_cm3": round(p.density_g_cm3, 6),
                        "mass_lb": round(p.mass_g / G_PER_LB, 6),
                    }
                    for p in ball.parts
                ],
            }
            for ball, figures in zip(found.balls, found.figures, strict=True)
        ],
        "same_core": [
            {
                "with_first": core.same,
                "size": None if np.isnan(core.size) else round(core.size, 6),
                "why": core.why or None,
            }
            for core in found.cores
        ],
        "differences": [{"field": d.field, "values": list(d.values)} for d in found.differences],
    }
