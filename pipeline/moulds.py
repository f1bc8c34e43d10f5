"""The mould of a casting: its block, its parting planes, gates, vents, rod, flats and keys."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING

import numpy as np

from pipeline.ball import Ball
from pipeline.castings import Casting, where
from pipeline.channels import channel, check_leaves, flat_and_pin
from pipeline.errors import KernelFault, ToolingError
from pipeline.kernel import kernel
from pipeline.process import KeysAsked
from shapes.moments import Array
from shapes.pieces import Split, pieces_of

if TYPE_CHECKING:
    import cadquery as cq

    from shapes.bars import Bar
    from shapes.mould import Block, Mould

KEYS = KeysAsked(12.0, 6.0)
WALL_MM = 25.0  # of a block that the design does not size, up to whole
WHOLE_MM = 5.0
LEAST_WALL_MM = 5.0  # of any block
_ROUNDING_MM = 1e-3  # a block just as large as is needed will do


@dataclass(frozen=True, eq=False)
class Tool:
    """A casting with its mould, in the part's own frame, as the mould is cut.

    Attributes:
        casting: what is cast.
        splits: the parting planes.
        cavity: the casting as cut, with its ejector flats, without gates.
        mould: the bodies.
        piece_names, bar_names: of its pieces and bars.
        channels: gates and vents.
        keys: for each parting plane.
    """

    casting: Casting
    splits: tuple[Split, ...]
    cavity: cq.Solid
    mould: Mould
    piece_names: tuple[str, ...]
    bar_names: tuple[str, ...]
    channels: tuple[Bar, ...]
    keys: tuple[tuple[Bar, ...], ...]


def tool_of(ball: Ball, casting: Casting, splits: Sequence[Split]) -> Tool:
    """Cut the mould of a casting.

    Args:
        ball: the ball.
        casting: with a mould.
        splits: its parting planes, as cut; see `asked_splits`.

    Raises:
        ToolingError: the block, a channel, a flat or the planes make no mould.
    """
    place, asked = where(ball, casting.part), casting.asked
    with kernel():
        from shapes import solid
        from shapes.bars import solid_of
        from shapes.grown import growth

        scale = growth(casting.shrinkage.along, casting.shrinkage.across)
        pieces = pieces_of(splits)
        flats = [
            flat_and_pin(casting.as_cut, one, pieces, scale, f"{place}.ejectors[{k}]")
            for k, one in enumerate(asked.ejectors)
        ]
        cavity = casting.as_cut
        if flats:
            cavity = solid.single(
                solid.fuse([cavity, *(solid_of(flat) for flat, _ in flats)]),
                "a casting with its ejector flats",
            )
        block = _block(casting, cavity, splits, place)
        channels = []
        for word, some in (("gates", asked.gates), ("vents", asked.vents)):
            for k, one in enumerate(some):
                here = f"{place}.{word}[{k}]"
                bar = channel(cavity, one, scale, here)
                check_leaves(bar, block, here)
                channels.append(bar)
    bars = [*((casting.rod,) if casting.rod else ()), *(pin for _, pin in flats)]
    mould, standing = _cut(casting, cavity, block, splits, channels, bars, place)
    rods = ("rod",) if casting.rod else ()
    pins = tuple(f"ejector pin {k + 1}" for k in range(len(flats)))
    return Tool(
        casting,
        tuple(splits),
        cavity,
        mould,
        names_of(splits),
        (*rods, *pins),
        tuple(channels),
        standing,
    )


def asked_splits(casting: Casting) -> tuple[Split, ...] | None:
    """The parting planes that the design gives, where they are as cut; None when it gives none.

    A plane n . x = h of the cold casting becomes (A^-T n) . x = h under x -> A x.
    """
    if casting.asked.splits is None:
        return None
    shrinkage = casting.shrinkage
    less = np.array([1.0 - shrinkage.across] * 2 + [1.0 - shrinkage.along])
    found = []
    for asked in casting.asked.splits:
        normal = less * np.array(asked.pull)
        size = float(np.linalg.norm(normal))
        x, y, z = (float(c) + 0.0 for c in normal / size)
        found.append(Split((x, y, z), asked.at_mm / size))
    return tuple(found)


def names_of(splits: Sequence[Split]) -> tuple[str, ...]:
    """What the pieces are called: halves of a mould in two, else numbered as they are drawn."""
    if len(splits) == 1:
        return "half 1", "half 2"
    return tuple(f"piece {k + 1}" for k in range(len(splits) + 1))


def block_axes(pull: Array) -> Array:
    """The part's own axes as columns, turned the least way that brings one of them to the pull."""
    own = int(np.argmax(np.abs(pull)))
    start = np.eye(3)[own] * (1.0 if pull[own] > 0.0 else -1.0)
    turn, cosine = np.cross(start, pull), float(start @ pull)
    if np.linalg.norm(turn) < 1e-12:
        return np.eye(3)
    cross = np.array([[0, -turn[2], turn[1]], [turn[2], 0, -turn[0]], [-turn[1], turn[0], 0]])
    return np.asarray(np.eye(3) + cross + cross @ cross / (1.0 + cosine))


def _block(casting: Casting, cavity: cq.Solid, splits: Sequence[Split], place: str) -> Block:
    """The block as asked, about the middle of the cavity; else with a usual wall."""
    from shapes.extent import extent_mm
    from shapes.mould import Block

    axes = block_axes(np.array(splits[-1].normal))
    for k, split in enumerate(splits):
        _check_plane(split, extent_mm(cavity, np.array(split.normal)), f"{place}.parting[{k}]")
    low, high = np.array([extent_mm(cavity, edge) for edge in axes.T]).T
    if casting.asked.block_mm is None:
        size = np.array(
            [WHOLE_MM * ceil((s + 2.0 * WALL_MM - _ROUNDING_MM) / WHOLE_MM) for s in high - low]
        )
    else:
        size = np.array(casting.asked.block_mm)
        least = high - low + 2.0 * LEAST_WALL_MM
        if (size < least - _ROUNDING_MM).any():
            need, read = (" x ".join(f"{s:g}" for s in sizes) for sizes in (least.round(2), size))
            raise ToolingError(
                f"{place}.block: read {read} mm; the casting with {LEAST_WALL_MM:g} mm of wall all "
                f"round needs {need} mm or more"
            )
    return Block(axes @ ((low + high) / 2.0), axes, size)


def _check_plane(split: Split, extent: tuple[float, float], place: str) -> None:
    """A plane must cut through the casting, or it parts nothing."""
    low, high = extent
    if not low < split.height_mm < high:
        raise ToolingError(
            f"{place}: the plane lies {split.height_mm:.2f} mm along its pull, beside the casting, "
            f"which reaches from {low:.2f} to {high:.2f} mm (as cut)"
        )


def _cut(
    casting: Casting,
    cavity: cq.Solid,
    block: Block,
    splits: Sequence[Split],
    channels: Sequence[Bar],
    bars: Sequence[Bar],
    place: str,
) -> tuple[Mould, tuple[tuple[Bar, ...], ...]]:
    size = casting.asked.keys or KEYS
    try:
        with kernel():
            from shapes.keys import keys_of
            from shapes.mould import mould_of

            keys = keys_of(
                cavity, block, splits, [*channels, *bars], size.diameter_mm, size.height_mm
            )
            if any(len(some) < 2 for some in keys):
                raise ToolingError(
                    f"{place}.keys: the parting face has no room for two keys of diameter "
                    f"{size.diameter_mm:g} mm; take a larger block or smaller keys"
                )
            mould = mould_of(cavity, block, splits, channels=channels, bars=bars, keys=keys)
            return mould, keys
    except KernelFault as error:
        raise ToolingError(
            f"{place}.parting: {error}; every plane must meet the block, and the pieces hold "
            "together: move a plane or a gate, or take a larger block"
        ) from error
