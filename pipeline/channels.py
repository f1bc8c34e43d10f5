"""Gates, vents and ejector pins of a mould, from what the design says to bars in the mould."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, pi, radians, sin, tan
from typing import TYPE_CHECKING

import numpy as np

from pipeline.errors import ToolingError
from pipeline.process import ChannelAsked, EjectorAsked
from pipeline.rod_holes import BEYOND_MM
from shapes.moments import Array
from shapes.pieces import Piece

if TYPE_CHECKING:
    import cadquery as cq

    from shapes.bars import Bar
    from shapes.mould import Block

_RIM = 24
_SUNK_MM = 1.0  # how far the body of a flat reaches into the casting
PROUD_MM = 0.2  # and how far it stands out: a disc that just touches cannot be told from none
_TOUCH_MM = 1e-3
_ALONG_MM = np.linspace(0.0, 1500.0, 1501)  # where a channel is held against others
_WAY_OUT_MM = 2000.0  # farther than any block's side from a casting


def channel(cavity: cq.Solid, asked: ChannelAsked, growth: Array, place: str) -> Bar:
    """A gate or vent: straight inside the cavity, narrowing from where it leaves it.

    Args:
        cavity: as the mould is cut, in the part's own frame.
        asked: what the design says, at cold size.
        growth: the scale of the cavity, shape (3, 3); the diameter is the mould's.
        place: of the channel in the file, for messages.

    Raises:
        ToolingError: it does not start in the part, or narrows to nothing.
    """
    from shapes.bars import Bar, contains, crossings_mm

    start, way = growth @ np.array(asked.through_mm), np.array(asked.toward)
    if not contains(cavity, start[None, :])[0]:
        said = ", ".join(f"{c:g}" for c in asked.through_mm)
        raise ToolingError(
            f"{place}.through: read [{said}] mm, which is not inside the part; give a point of the "
            "channel's axis that is"
        )
    leaves = float(crossings_mm(cavity, start, way)[-1])
    radius = asked.diameter_mm / 2.0
    lean = tan(radians(asked.taper_deg))
    end = min(_WAY_OUT_MM, 0.9 * radius / lean) if lean else _WAY_OUT_MM
    return Bar(
        _three(start), asked.toward,
        ((0.0, radius), (leaves, radius), (leaves + end, radius - end * lean)),
    )  # fmt: skip


def check_leaves(bar: Bar, block: Block, place: str) -> None:
    """Refuse a channel that narrows to nothing before it is out of the block.

    Raises:
        ToolingError: it does; names its place in the file.
    """
    end = bar.point_mm(bar.stations_mm[-1][0])
    depth_mm = float(block.depths_mm(end[None, :])[0])
    if depth_mm > 0.0:
        raise ToolingError(
            f"{place}.taper: the channel narrows to nothing {depth_mm:.0f} mm before it leaves the "
            "block; take less taper or a wider channel"
        )


def check_apart(named: Sequence[tuple[str, Bar]], block: Block) -> None:
    """Refuse gates, vents, rod and pins that run into one another outside the casting.

    Args:
        named: each with its place in the file.
        block: round them.

    Raises:
        ToolingError: two do; names both.
    """
    for k, (place, one) in enumerate(named):
        start = one.stations_mm[-2][0]
        points = np.array([one.point_mm(start + along) for along in _ALONG_MM])
        points = points[block.depths_mm(points) >= 0.0]
        for other_place, other in named[:k]:
            low = other.stations_mm[-2][0]
            along = np.maximum((points - np.array(other.origin_mm)) @ np.array(other.way), low)
            nearest = np.array(other.origin_mm) + along[:, None] * np.array(other.way)
            gap = np.linalg.norm(points - nearest, axis=1).min(initial=np.inf)
            if gap < one.stations_mm[-2][1] + other.stations_mm[-2][1] - _TOUCH_MM:
                name = other_place.split(".")[-1]
                raise ToolingError(
                    f"{place}: it runs into {name} in the mould; move one of the two, or turn it"
                )


def flat_and_pin(
    cavity: cq.Solid, asked: EjectorAsked, pieces: Sequence[Piece], growth: Array, place: str
) -> tuple[Bar, Bar]:
    """The body that makes a flat on the casting, and the pin that stands on it.

    The flat stands a little above the highest point of the casting under the pin, so it only adds.

    Raises:
        ToolingError: the pin stands beside the casting, or in another piece of the mould.
    """
    from shapes.bars import Bar, crossings_mm

    piece = pieces[asked.piece - 1]
    at, way = growth @ np.array(asked.at_mm), np.array(piece.pull)
    radius = asked.diameter_mm / 2.0
    levels = []
    for start in (at, *_rim(at, way, radius)):
        crossed = crossings_mm(cavity, start, way)
        if len(crossed) < 2:
            raise ToolingError(
                f"{place}: a pin of diameter {asked.diameter_mm:g} mm there stands over the edge "
                "of the casting; move it inwards, or make it smaller"
            )
        levels.append(float(crossed[-1]))
    low, level = min(levels), max(levels) + PROUD_MM
    top = at + low * way
    if not all(split.heights_mm(top) > 0.0 for split in piece.within):
        raise ToolingError(
            f"{place}.piece: read {asked.piece}, but there the casting's surface is in another "
            "piece of the mould"
        )
    flat = Bar(_three(at), piece.pull, ((low - _SUNK_MM, radius), (level, radius)))
    return flat, Bar(_three(at), piece.pull, ((level, radius), (BEYOND_MM, radius)))


def _rim(at: Array, way: Array, radius: float) -> list[Array]:
    from shapes.mould import across

    axes = across(way)
    turns = [2.0 * pi * k / _RIM for k in range(_RIM)]
    return [at + radius * (cos(t) * axes[:, 0] + sin(t) * axes[:, 1]) for t in turns]


def _three(point: Array) -> tuple[float, float, float]:
    x, y, z = (float(c) for c in point)
    return x, y, z
