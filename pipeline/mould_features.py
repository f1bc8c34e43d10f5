"""What a piece of a mould has, in the axes of its sheet: where gates, rod, keys and pins are."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from pipeline.facts import Fact
from pipeline.kernel import kernel
from pipeline.moulds import Tool
from shapes.moments import Array
from shapes.pieces import KEY_LEAN_DEG, pieces_of

if TYPE_CHECKING:
    from shapes.bars import Bar

_ON_MM = 1e-6
LEAN = f"{KEY_LEAN_DEG:g}\u00b0 a side"


def face_axes(tool: Tool, normal: Array) -> tuple[Array, Array]:
    """X and Y in a parting plane: along the block's edges, X along the part's axis where it can."""
    edges = sorted(tool.mould.block.axes.T, key=lambda edge: abs(float(edge @ normal)))[:2]
    x = max(edges, key=lambda edge: abs(float(edge[2])))
    x = x - (x @ normal) * normal
    x /= np.linalg.norm(x)
    return x, np.cross(normal, x)


def face_up(tool: Tool, k: int) -> Array:
    """Axes of a piece's sheet as rows, in the part's frame: Z against its pull."""
    pull = np.array(pieces_of(tool.splits)[k].pull)
    x, y = face_axes(tool, -pull)
    return np.array([x, y, -pull])


def touches(tool: Tool, k: int, point: Array) -> bool:
    """Whether a point lies in a piece of the mould, or on its faces."""
    return all(s.heights_mm(point) > -_ON_MM for s in pieces_of(tool.splits)[k].within)


def at_part(bar: Bar) -> Array:
    """Where a gate, vent or rod leaves the casting."""
    return bar.point_mm(bar.stations_mm[-2][0])


def at_block(tool: Tool, bar: Bar) -> Array:
    """Where a bar leaves the block."""
    low, high = bar.stations_mm[0][0], bar.stations_mm[-1][0]
    for _ in range(48):
        middle = (low + high) / 2.0
        inside = tool.mould.block.depths_mm(bar.point_mm(middle)[None, :])[0] > 0.0
        low, high = (middle, high) if inside else (low, middle)
    return bar.point_mm(low)


def bars_of(tool: Tool) -> list[tuple[str, Bar]]:
    """Gates, vents, rod and pins, each with its words."""
    asked = tool.casting.asked
    words = [f"gate {k + 1}" for k in range(len(asked.gates))]
    words += [f"vent {k + 1}" for k in range(len(asked.vents))]
    words += list(tool.bar_names)
    return list(zip(words, (*tool.channels, *tool.bars), strict=True))


def key_word(split: int, k: int) -> str:
    """What a piece has on a parting plane: the piece that is drawn there has the sockets."""
    return "socket" if split == k else "key"


def features(tool: Tool, k: int) -> Iterator[Fact]:
    """Lines for the sheet of a piece; places are in its own axes."""
    axes, piece = face_up(tool, k), pieces_of(tool.splits)[k]
    pull = np.array(piece.pull)
    with kernel():
        from shapes.extent import extent_mm

        face = next(s for s in piece.within if s.normal == piece.pull)
        deep = extent_mm(tool.cavity, pull)[1] - face.height_mm
    corners = tool.mould.block.corners_mm()
    yield Fact("behind the face", f"{float(face.heights_mm(corners).max()):.2f} mm, without keys")
    yield Fact("deepest of the cavity", f"{deep:.2f} mm below the face")
    for words, bar in bars_of(tool):
        if touches(tool, k, at_block(tool, bar)):
            start, end = (_said(axes @ p) for p in (at_part(bar), at_block(tool, bar)))
            wide = 2.0 * bar.stations_mm[-2][1]
            yield Fact(words, f"\u00d8 {wide:.2f} at the part, {start}, to the block, {end}")
    for j, keys in enumerate(tool.keys[: k + 1]):
        for turn, key in enumerate(keys):
            place = np.array(key.origin_mm)
            if touches(tool, k, place):
                size = f"\u00d8 {2.0 * key.radius_mm:g} \u00d7 {key.stations_mm[-1][0]:g}"
                yield Fact(f"{key_word(j, k)} {turn + 1}", f"{size}, {LEAN}, {_said(axes @ place)}")


def _said(point: Array) -> str:
    words = ", ".join(f"{round(float(c), 2) + 0.0:.2f}" for c in point)
    return f"[{words}]".replace("-", "\u2212")
