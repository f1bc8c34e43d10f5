"""Which plane parts a body best in two, among the directions that are offered."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from shapes.draw import Draw, draw
from shapes.moments import Array, Mask
from shapes.net import cut
from shapes.pieces import Direction, Split
from shapes.skin import Skin

FEW = 3  # are looked at closely
_EVEN = 50  # directions over half a sphere
_LARGE = 0.02  # of the body's area: a flat face that counts
_SAME = 1e-6  # sine between directions that are one
_LEANS = 1e-6
_UPRIGHT = 1e-9  # sine of the lean of a line round the body that stands upright
_TIE = 1e-6  # of the body's area
_MESH = 0.01  # of the body's area: what the facets' size leaves open of an area of low draft
_WIDE = 1e-9  # of the greatest section: as wide
_LEVEL_MM = 1e-9


@dataclass(frozen=True)
class Ranked:
    """A plane and what it does.

    Attributes:
        split: the plane; its normal is the direction that was offered.
        trapped_mm2: area of what is trapped, by true visibility.
        low_mm2: area with less than the wanted draft, what is trapped with it.
        least_draft_deg: least draft anywhere, negative for an undercut.
    """

    split: Split
    trapped_mm2: float
    low_mm2: float
    least_draft_deg: float


def candidate_pulls(skin: Skin, axes: Sequence[Direction]) -> tuple[Direction, ...]:
    """Directions worth a try, none twice: axes, normals of large flat faces, an even set.

    Args:
        skin: of the body.
        axes: its own, the ones to be preferred first.
    """
    found = [_unit(np.array(axis, dtype=float)) for axis in axes]
    areas = np.bincount(skin.faces, skin.areas_mm2)
    for face in np.argsort(-areas, kind="stable"):
        own = skin.faces == face
        normal = skin.normals[own][0]
        if (
            areas[face] >= _LARGE * skin.area_mm2
            and np.ptp(skin.normals[own], axis=0).max() < _SAME
        ):
            found.append(normal)
    found.extend(_even(_EVEN))
    ways = np.array(found)
    square = np.linalg.norm(np.cross(ways[:, None], ways[None]), axis=2)
    again = (np.tril(square < _SAME, -1)).any(axis=1)
    return tuple((float(x), float(y), float(z)) for x, y, z in ways[~again])


def best_splits(
    skin: Skin, candidates: Sequence[Direction], wanted_draft_deg: float, few: int = FEW
) -> tuple[Ranked, ...]:
    """The best plane square to each of the best directions, best first.

    The least trapped area wins, then the least area under the wanted draft, then the earlier
    candidate: trapped areas are the same to a millionth of the body's area, areas under a draft,
    which the facets' size blurs, to a hundredth.  All directions are tried by the facets'
    normals and middles alone, the best few then by true visibility.

    Args:
        skin: of the body.
        candidates: unit vectors.
        wanted_draft_deg: the draft that there should be.
        few: how many are looked at closely and returned.
    """
    area = skin.area_mm2
    tried = [_best_height(skin, np.array(way), wanted_draft_deg) for way in candidates]
    first = _order([t[:2] for t in tried], range(len(tried)), area)[:few]
    found = []
    for k in first:
        way = np.array(candidates[k])
        split = Split(candidates[k], round(_refined(skin, way, tried[k][2]), 6) + 0.0)
        found.append((split, draw(skin, [split])))
    ranked = [_ranked(split, drawn, wanted_draft_deg) for split, drawn in found]
    order = _order([(r.trapped_mm2, r.low_mm2) for r in ranked], first, area)
    return tuple(ranked[k] for k in order)


def _ranked(split: Split, drawn: Draw, wanted_draft_deg: float) -> Ranked:
    low = drawn.low_mm2(wanted_draft_deg)
    return Ranked(split, drawn.trapped_mm2, low, drawn.least_draft.value)


def _order(figures: Sequence[tuple[float, float]], turn: Sequence[int], area: float) -> list[int]:
    """The best first: by trapped area, then by low area; ties are broken by their turn."""
    trapped, low = np.array(figures).T
    left, order = np.ones(len(figures), dtype=bool), list[int]()
    while left.any():
        best = left & (trapped <= trapped[left].min() + _TIE * area)
        best &= low <= low[best].min() + _MESH * area
        order.append(min(np.flatnonzero(best).tolist(), key=lambda row: turn[row]))
        left[order[-1]] = False
    return order


def _best_height(skin: Skin, way: Array, wanted_deg: float) -> tuple[float, float, float]:
    """Trapped and low area by the facets' normals, and the height, for one direction."""
    heights, leans = skin.middles_mm @ way, skin.normals @ way
    order = np.argsort(heights, kind="stable")
    heights, leans, areas = heights[order], leans[order], skin.areas_mm2[order]
    little = float(np.sin(np.radians(wanted_deg)))

    def beyond(part: Mask) -> Array:
        """Area of a part above each place between two facets, shape (n + 1,)."""
        total = np.cumsum(np.where(part, areas, 0.0)[::-1])[::-1]
        return np.append(total, 0.0)

    down, up = beyond(leans < -_LEANS), beyond(leans > _LEANS)
    trapped = down + (up[0] - up)
    some_up = beyond((leans >= -_LEANS) & (leans < little))
    some_down = beyond((leans <= _LEANS) & (leans > -little))
    low = some_up + (some_down[0] - some_down)
    # the section across a body is the flux of the pull out of all that lies beyond it
    section = np.append(np.cumsum((areas * leans)[::-1])[::-1], 0.0)
    total = float(areas.sum())
    best = np.ones(len(trapped), dtype=bool)
    best[1:-1] = np.diff(heights) > _LEVEL_MM  # between two facets at one height is no place
    best &= trapped <= trapped[best].min() + _TIE * total
    best &= low <= low[best].min() + _TIE * total
    ends = np.concatenate([heights[:1], heights, heights[-1:]])
    between = (ends[1:] + ends[:-1]) / 2.0
    (wide,) = np.nonzero(section >= section.max() * (1.0 - _WIDE))
    widest = (between[wide[0]] + between[wide[-1]]) / 2.0
    rows = np.flatnonzero(best)
    row = rows[np.abs(between[rows] - widest).argmin()]
    return float(trapped[row]), float(low[row]), float(between[row])


def _refined(skin: Skin, way: Array, height: float) -> float:
    """The exact height of the line round the body where it turns from one side to the other.

    That is the middle between the facets that must lie above and those that must lie below; where
    a facet is both, since it is round, where the surface itself stands upright.
    """
    middles, leans = skin.middles_mm @ way, skin.normals @ way
    corners = (skin.corners_mm @ way)[skin.triangles]
    above, below = (leans > _LEANS) & (middles > height), (leans < -_LEANS) & (middles < height)
    top = float(corners[below].max(initial=-np.inf))
    bottom = float(corners[above].min(initial=np.inf))
    if not np.isfinite(top + bottom):
        return height
    if top <= bottom + _LEVEL_MM:
        return (top + bottom) / 2.0
    corner_leans = skin.corner_normals @ way
    net, _ = cut(skin.net, corner_leans, lambda _, __, normals: normals @ way, _UPRIGHT)
    upright = net.corners_mm[len(skin.corners_mm) :] @ way
    upright = upright[(upright >= bottom) & (upright <= top)]
    return float(np.median(upright)) if len(upright) else height


def _even(count: int) -> list[Array]:
    """Directions spread evenly over half a sphere, by the golden angle."""
    found = []
    for k in range(count):
        z = 1.0 - (k + 0.5) / count
        angle, r = k * np.pi * (3.0 - np.sqrt(5.0)), np.sqrt(1.0 - z * z)
        found.append(np.array([r * np.cos(angle), r * np.sin(angle), z]))
    return found


def _unit(way: Array) -> Array:
    return way / np.linalg.norm(way)
