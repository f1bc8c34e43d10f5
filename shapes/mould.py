"""A mould in a block: what surrounds a cavity, split into pieces that mate without gap or overlap.

Pieces are cut with the same bodies on both sides of each parting plane, so what one gains at a key
the other loses.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

from shapes import solid
from shapes.bars import Bar, solid_of
from shapes.boundary import moments_of_solid
from shapes.errors import SolidError
from shapes.moments import Array
from shapes.pieces import Split

if TYPE_CHECKING:
    import cadquery as cq

SUM_SHARE = 1e-6  # the bodies of a mould add up to its block to this share


@dataclass(frozen=True, eq=False)
class Block:
    """The block that a mould is cut from.

    Attributes:
        centre_mm: shape (3,).
        axes: shape (3, 3), its edges' directions as columns, right-handed.
        size_mm: shape (3,), full sizes along these.
    """

    centre_mm: Array
    axes: Array
    size_mm: Array

    def solid(self) -> cq.Solid:
        """As a solid."""
        return _box(self.centre_mm, self.axes, self.size_mm)

    def depths_mm(self, points: Array) -> Array:
        """How deep points, shape (n, 3), lie below the nearest face; negative outside."""
        local = np.abs((points - self.centre_mm) @ self.axes)
        return np.asarray((self.size_mm / 2.0 - local).min(axis=1))

    def corners_mm(self) -> Array:
        """Its corners, shape (8, 3)."""
        ways = np.array(list(product((-0.5, 0.5), repeat=3)))
        return np.asarray(self.centre_mm + (ways * self.size_mm) @ self.axes.T)

    @property
    def diagonal_mm(self) -> float:
        """Between two opposite corners."""
        return float(np.linalg.norm(self.size_mm))


@dataclass(frozen=True, eq=False)
class Mould:
    """Bodies that fill a block.

    Attributes:
        block: what they fill.
        pieces: in the order in which they are drawn.
        filled: cavity, gates and vents together.
        pour: the same less rods and pins: what is poured.
        bars: rods and pins, as far as they lie in the block.
    """

    block: Block
    pieces: tuple[cq.Solid, ...]
    filled: cq.Solid
    pour: cq.Solid
    bars: tuple[cq.Solid, ...]

    def missing_share(self) -> float:
        """By which share of the block its bodies do not add up to it."""
        bodies = (*self.pieces, self.pour, *self.bars)
        total = sum(moments_of_solid(body).volume_mm3 for body in bodies)
        return float(abs(total / float(np.prod(self.block.size_mm)) - 1.0))


def mould_of(
    cavity: cq.Solid,
    block: Block,
    splits: Sequence[Split],
    *,
    channels: Sequence[Bar] = (),
    bars: Sequence[Bar] = (),
    keys: Sequence[Sequence[Bar]] = (),
) -> Mould:
    """Cut a mould.

    Args:
        cavity: the casting as the mould is cut, with its flats, without gates.
        block: round it.
        splits: the parting planes in the order in which pieces are drawn.
        channels: gates and vents, from inside the cavity out of the block.
        bars: rods and pins; each keeps its own space.
        keys: for each split the cones that stand on it, on the side of what is left.

    Raises:
        SolidError: a piece falls apart, or the bodies do not add up to the block.
    """
    whole = block.solid()
    cut_bars = [solid.single(solid.common(whole, [solid_of(bar)]), "a rod or pin") for bar in bars]
    cavities = [cavity, *(solid_of(bar) for bar in channels)]
    filled = solid.single(solid.fuse(cavities), "the cavity with its gates") if channels else cavity
    filled = solid.single(solid.common(whole, [filled]), "the cavity in its block")
    pour = solid.single(solid.cut(filled, cut_bars), "the pour") if bars else filled
    rest = solid.single(solid.cut(whole, [filled, *cut_bars]), "the block round the cavity")
    pieces = []
    for k, split in enumerate(splits):
        tool = _behind(block, split, keys[k] if keys else ())
        beyond, behind = solid.meeting([rest], [tool], "cut")
        pieces.append(_piece(beyond, k, len(splits)))
        rest = _piece(behind, k + 1, len(splits))
    mould = Mould(block, (*pieces, rest), filled, pour, tuple(cut_bars))
    missing = mould.missing_share()
    if missing > SUM_SHARE:
        raise SolidError(f"the pieces of a mould add up to its block but for {missing:.1e} of it")
    return mould


def _piece(lumps: list[cq.Solid], k: int, splits: int) -> cq.Solid:
    """The one lump that a piece, or what is left, must be."""
    if len(lumps) != 1:
        count = f"{len(lumps)} lumps" if lumps else "nothing"
        what = f"piece {k + 1} of {splits + 1}"
        raise SolidError(f"the mould's {what} comes out as {count}")
    return lumps[0]


def _behind(block: Block, split: Split, keys: Sequence[Bar]) -> cq.Solid:
    """What lies on the near side of a plane, as far as the block reaches, with keys beyond it."""
    size = 2.0 * block.diagonal_mm
    normal = np.array(split.normal)
    foot = block.centre_mm - split.heights_mm(block.centre_mm) * normal
    half = _box(foot - size / 2.0 * normal, across(normal), np.array([size, size, size]))
    if not keys:
        return half
    return solid.single(solid.fuse([half, *(solid_of(bar) for bar in keys)]), "a parting face")


def across(normal: Array) -> Array:
    """Right-handed axes as columns, shape (3, 3), the third along a unit vector."""
    aside = np.eye(3)[int(np.argmin(np.abs(normal)))]
    first = np.cross(aside, normal)
    first /= np.linalg.norm(first)
    return np.column_stack([first, np.cross(normal, first), normal])


def _box(centre: Array, axes: Array, size: Array) -> cq.Solid:
    import cadquery as cq

    width, depth, height = (float(s) for s in size)
    plane = cq.Plane(tuple(centre), tuple(axes[:, 0]), tuple(axes[:, 2]))
    corner = cq.Vector(-width / 2.0, -depth / 2.0, -height / 2.0)
    block = cq.Solid.makeBox(width, depth, height, corner)
    return solid.gate(block.moved(cq.Location(plane)).wrapped, "a block")
