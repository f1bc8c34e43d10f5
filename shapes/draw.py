"""How the pieces of a mould come off a body: draft, what is trapped, and walls that drag.

Draft is the angle between a face and the way its piece is drawn; a negative one is an undercut.
Terms as in any text on die casting and injection moulding (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from shapes.low_walls import LowWall, low_area_mm2, low_walls
from shapes.moments import Array, Indices, Mask
from shapes.net import Value
from shapes.pieces import Direction, Split, piece_at, pieces_of
from shapes.shadow import shaded
from shapes.skin import Skin, cut_skin

_LEANS = 1e-6  # sine of a lean against the pull that is none
_NEAR_MM = 1e-7
_OUTSIDE_MM = 1e-5
_OVER_SAG = 1.5  # greatest sag of a triangle, at its sides, over that at its middle
_CLEAR_MM = 1e-3


@dataclass(frozen=True)
class At:
    """A figure and where it is found.

    Attributes:
        value: what the name says.
        place_mm: x, y, z.
    """

    value: float
    place_mm: Direction


@dataclass(frozen=True, eq=False)
class Draw:
    """A skin cut at the planes between the pieces, and along the lines where it stands upright.

    Attributes:
        splits: the planes.
        skin: cut, so that every facet's corners are on one side of every plane.
        parents: shape (n,), the facet of the skin given that each is a part of.
        pieces: shape (n,), which piece of `pieces_of(splits)` lies on each facet.
        corner_leans: shape (n, 3), sine of the draft at the facets' corners, from the exact
            normals of their own CAD face.
        leans: shape (n,), the same at the facets' middles, exact, but kept between those at the
            corners: a facet that lies flat along a plane may bulge across it.
        trapped: shape (n,), facets that lean against the pull of their piece, or from which a
            line along it meets the body again.  A step that stands out by less than about one
            and a half times the mesh's sag hides nothing.
    """

    splits: tuple[Split, ...]
    skin: Skin
    parents: Indices
    pieces: Indices
    corner_leans: Array
    leans: Array
    trapped: Mask

    @property
    def middles_mm(self) -> Array:
        """Shape (n, 3), on the surface."""
        return self.skin.middles_mm

    @property
    def areas_mm2(self) -> Array:
        """Shape (n,)."""
        return self.skin.areas_mm2

    @property
    def draft_deg(self) -> Array:
        """Shape (n,), at the facets' middles."""
        return np.asarray(np.degrees(np.arcsin(np.clip(self.leans, -1.0, 1.0))))

    @property
    def trapped_mm2(self) -> float:
        """Area of all that is trapped."""
        return float(self.areas_mm2[self.trapped].sum())

    @cached_property
    def deepest(self) -> At | None:
        """The trapped facet farthest behind the body's foremost point along its pull, mm."""
        if not self.trapped.any():
            return None
        depth = np.full(len(self.skin), -np.inf)
        for k, piece in enumerate(pieces_of(self.splits)):
            own = (self.pieces == k) & self.trapped
            heights = self.skin.corners_mm @ np.array(piece.pull)
            depth[own] = heights.max() - self.middles_mm[own] @ np.array(piece.pull)
        row = int(depth.argmax())
        return At(float(depth[row]), _place(self.middles_mm[row]))

    @cached_property
    def least_draft(self) -> At:
        """Least draft of all, trapped or not, degrees, and exact on the planes: at the corners.

        A lean of less than 1e-6, either way, is none.
        """
        row, corner = np.unravel_index(int(self.corner_leans.argmin()), self.corner_leans.shape)
        lean = float(np.clip(self.corner_leans[row, corner], -1.0, 1.0))
        lean = lean if abs(lean) > _LEANS else 0.0
        place = self.skin.corners_mm[self.skin.triangles[row, corner]]
        return At(float(np.degrees(np.arcsin(lean))), _place(place))

    def low_walls(self, draft_deg: float) -> tuple[LowWall, ...]:
        """Connected regions with less draft than this, not trapped, the highest first."""
        return low_walls(
            self.skin, self._heights_mm, self.pieces, self.corner_leans, self.trapped, draft_deg
        )

    def low_mm2(self, draft_deg: float) -> float:
        """Area with less draft than this, trapped or not."""
        return low_area_mm2(self.skin.areas_mm2, self.corner_leans, draft_deg)

    @cached_property
    def _heights_mm(self) -> Array:
        """Shape (n, 3), of the facets' corners along their piece's pull."""
        pulls = np.array([piece.pull for piece in pieces_of(self.splits)])[self.pieces]
        return np.asarray(np.einsum("ijk,ik->ij", self.skin.net.flat(), pulls))


def draw(skin: Skin, splits: Sequence[Split]) -> Draw:
    """How the pieces that some planes make of a mould come off a body."""
    pulls = np.array([piece.pull for piece in pieces_of(splits)])
    cutting, parents = skin, np.arange(len(skin))
    for split in splits:
        heights = split.heights_mm(cutting.corners_mm)[cutting.triangles]
        cutting, parent = cut_skin(cutting, heights, _height_over(split), _NEAR_MM)
        parents = parents[parent]
    ways = pulls[_touching(cutting, splits)]
    cutting, parent = cut_skin(
        cutting,
        np.einsum("ijk,ik->ij", cutting.corner_normals, ways),
        lambda rows, _, normals: (normals * ways[rows]).sum(axis=1),
        _LEANS,
    )
    parents = parents[parent]
    pieces = _touching(cutting, splits)
    ways = pulls[pieces]
    corner_leans = np.einsum("ijk,ik->ij", cutting.corner_normals, ways)
    leans = np.einsum("ij,ij->i", cutting.normals, ways)
    leans = np.clip(leans, corner_leans.min(axis=1), corner_leans.max(axis=1))
    trapped = _trapped(cutting, pieces, leans, pulls)
    return Draw(tuple(splits), cutting, parents, pieces, corner_leans, leans, trapped)


def _height_over(split: Split) -> Value:
    def value(_rows: Indices, points: Array, _normals: Array) -> Array:
        return split.heights_mm(points)

    return value


def _touching(skin: Skin, splits: Sequence[Split]) -> Indices:
    """The piece just outside each facet: so a face in a plane is left to what lies before it."""
    return piece_at(skin.flat_middles_mm + _OUTSIDE_MM * skin.normals, splits)


def _trapped(skin: Skin, pieces: Indices, leans: Array, pulls: Array) -> Mask:
    """Facets that lean against the pull, or whose line along it meets the body again.

    The lines start clear of the surface, by more than the mesh strays from it.
    """
    trapped = leans < -_LEANS
    clear = _OVER_SAG * skin.sag_mm + _CLEAR_MM
    starts, flat = skin.flat_middles_mm + clear * skin.normals, skin.net.flat()
    for k, pull in enumerate(pulls):
        (own,) = np.nonzero((pieces == k) & ~trapped)
        trapped[own] = shaded(starts[own], (pull[0], pull[1], pull[2]), flat)
    return trapped


def _place(point: Array) -> Direction:
    x, y, z = (float(v) for v in point)
    return x, y, z
