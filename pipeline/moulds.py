"""The mould of a casting: its block, its parting planes, gates, vents, rod, flats and keys."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import ceil
from typing import TYPE_CHECKING

import numpy as np

from pipeline.ball import Ball
from pipeline.castings import Casting, where
from pipeline.channels import channel, check_apart, check_leaves, flat_and_pin
from pipeline.errors import KernelFault, ToolingError
from pipeline.kernel import kernel
from pipeline.process import KeysAsked
from shapes.moments import Array
from shapes.pieces import Split, pieces_of

if TYPE_CHECKING:
    import cadquery as cq

    from shapes.bars import Bar
    from shapes.mould import Block, Mould
    from shapes.skin import Skin

KEYS = KeysAsked(12.0, 6.0)
WALL_MM = 25.0  # of a block that the design does not size, up to whole
WHOLE_MM = 5.0
LEAST_WALL_MM = 5.0  # of any block
MOST_BLOCK_MM = 1000.0  # more than four balls long: a mistaken unit
_SAME_WAY = 1e-14  # of a cosine
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
        bars: the rod and the pins, as long as they are.
    """

    casting: Casting
    splits: tuple[Split, ...]
    cavity: cq.Solid
    mould: Mould
    piece_names: tuple[str, ...]
    bar_names: tuple[str, ...]
    channels: tuple[Bar, ...]
    keys: tuple[tuple[Bar, ...], ...]
    bars: tuple[Bar, ...]

    @cached_property
    def skin(self) -> Skin:
        """Of the cavity."""
        if self.cavity is self.casting.as_cut:
            return self.casting.skin_as_cut
        with kernel():
            from shapes.skin import skin_of

            return skin_of(self.cavity)


def tool_of(ball: Ball, casting: Casting, splits: Sequence[Split]) -> Tool:
    """Cut the mould of a casting.

    Args:
        ball: the ball.
        casting: with a mould.
        splits: its parting planes, as cut; see `asked_splits`.

    Raises:
        ToolingError: the block, a channel, a flat or the planes make no mould.
    """
    asked = casting.asked
    with kernel():
        from shapes import solid
        from shapes.bars import solid_of
        from shapes.grown import growth

        scale = growth(casting.shrinkage.along, casting.shrinkage.across)
        pieces = pieces_of(splits)
        _check_ejectors(ball, casting, len(pieces))
        flats = [
            flat_and_pin(
                casting.as_cut, one, pieces, scale, f"{where(ball, casting.part, 'ejectors')}[{k}]"
            )
            for k, one in enumerate(asked.ejectors)
        ]
        cavity = casting.as_cut
        if flats:
            cavity = solid.single(
                solid.fuse([cavity, *(solid_of(flat) for flat, _ in flats)]),
                "a casting with its ejector flats",
            )
        block = _block(ball, casting, cavity, splits)
        channels, named = [], []
        for word, some in (("gates", asked.gates), ("vents", asked.vents)):
            for k, one in enumerate(some):
                here = f"{where(ball, casting.part, word)}[{k}]"
                bar = channel(cavity, one, scale, here)
                check_leaves(bar, block, here)
                named.append((here, bar))
                channels.append(bar)
    bars = [*((casting.rod,) if casting.rod else ()), *(pin for _, pin in flats)]
    if casting.rod is not None:
        named.insert(0, (where(ball, casting.part, "rod"), casting.rod))
    here = where(ball, casting.part, "ejectors")
    named += [(f"{here}[{k}]", pin) for k, (_, pin) in enumerate(flats)]
    check_apart(named, block)
    mould, standing = _cut(ball, casting, cavity, block, splits, channels, bars)
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
        tuple(bars),
    )


def _check_ejectors(ball: Ball, casting: Casting, pieces: int) -> None:
    """Refuse an ejector in a piece that there is not."""
    for k, one in enumerate(casting.asked.ejectors):
        if one.piece > pieces:
            raise ToolingError(
                f"{where(ball, casting.part, 'ejectors')}[{k}].piece: read {one.piece}, but the "
                f"best parting that is found has {pieces} pieces"
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


def _block(ball: Ball, casting: Casting, cavity: cq.Solid, splits: Sequence[Split]) -> Block:
    """The block as asked, about the middle of the cavity; else with a usual wall."""
    from shapes.extent import extents_mm
    from shapes.mould import Block

    axes = block_axes(np.array(splits[-1].normal))
    low, high = extents_mm(cavity, axes)
    for k, split in enumerate(splits):
        place = f"{where(ball, casting.part, 'parting')}[{k}]"
        _check_plane(split, _extent(cavity, split, axes, np.array([low, high])), place)
    if casting.asked.block_mm is None:
        size = np.array(
            [WHOLE_MM * ceil((s + 2.0 * WALL_MM - _ROUNDING_MM) / WHOLE_MM) for s in high - low]
        )
    else:
        size = np.array(casting.asked.block_mm)
        least = high - low + 2.0 * LEAST_WALL_MM
        need, read = (" x ".join(f"{s:g}" for s in sizes) for sizes in (least.round(2), size))
        place = where(ball, casting.part, "block")
        if (size < least - _ROUNDING_MM).any():
            raise ToolingError(
                f"{place}: read {read} mm; the casting with {LEAST_WALL_MM:g} mm of wall all round "
                f"needs {need} mm or more"
            )
        if (size > MOST_BLOCK_MM).any():
            raise ToolingError(
                f"{place}: read {read} mm; no side may be longer than {MOST_BLOCK_MM:g} mm, and "
                f"the casting needs {need} mm: is a unit missing?"
            )
    return Block(axes @ ((low + high) / 2.0), axes, size)


def _extent(cavity: cq.Solid, split: Split, axes: Array, ends: Array) -> tuple[float, float]:
    """How far the cavity reaches along a plane's pull: known where that is an axis of the block."""
    from shapes.extent import extent_mm

    along = axes.T @ np.array(split.normal)
    own = int(np.abs(along).argmax())
    if abs(along[own]) < 1.0 - _SAME_WAY:
        return extent_mm(cavity, np.array(split.normal))
    low, high = sorted(along[own] * ends[:, own])
    return float(low), float(high)


def _check_plane(split: Split, extent: tuple[float, float], place: str) -> None:
    """A plane must cut through the casting, or it parts nothing."""
    low, high = extent
    if not low < split.height_mm < high:
        raise ToolingError(
            f"{place}: the plane lies {split.height_mm:.2f} mm along its pull, beside the casting, "
            f"which reaches from {low:.2f} to {high:.2f} mm (as cut)"
        )


def _cut(
    ball: Ball,
    casting: Casting,
    cavity: cq.Solid,
    block: Block,
    splits: Sequence[Split],
    channels: Sequence[Bar],
    bars: Sequence[Bar],
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
                    f"{where(ball, casting.part, 'keys')}: the parting face has no room for two "
                    f"keys of diameter {size.diameter_mm:g} mm; take a larger block or smaller keys"
                )
            mould = mould_of(cavity, block, splits, channels=channels, bars=bars, keys=keys)
            return mould, keys
    except KernelFault as error:
        raise ToolingError(
            f"{where(ball, casting.part, 'parting')}: {error}; every plane must meet the block, "
            "and the pieces hold together: move a plane or a gate, or take a larger block"
        ) from error
