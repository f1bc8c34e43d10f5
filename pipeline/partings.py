"""Where the mould of a casting parts, as asked or the best found, and that it comes free."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from pipeline.ball import Ball
from pipeline.casting_facts import draft_deg, plane_words
from pipeline.castings import Casting, where
from pipeline.errors import ToolingError
from pipeline.kernel import kernel
from pipeline.moulds import Tool, asked_splits
from shapes.moments import Array, Mask
from shapes.pieces import Direction, Split, opposite

if TYPE_CHECKING:
    from shapes.bars import Bar
    from shapes.draw import Draw
    from shapes.skin import Skin

OWN_AXES: tuple[Direction, ...] = ((0.0, 1.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
TRAPPED_MM2 = 1.0  # what the mesh may leave open on faces that just touch the pull
_END_SHARE = 0.35  # of the body's height: how far in an end piece may reach
_HEIGHTS = 12  # that are tried for an end piece


@dataclass(frozen=True, eq=False)
class Released:
    """How a casting with its gates and flats comes out of its mould.

    Attributes:
        draw: of the casting as cut with its flats and gates.
        caught_mm2: what of that is undercut, but for where the rod stands.
        casting: of the casting alone, for draft.
    """

    draw: Draw
    caught_mm2: float
    casting: Draw


def splits_of(ball: Ball, casting: Casting) -> tuple[Split, ...]:
    """The parting planes of a casting, as cut: those the design gives, else the best found.

    Raises:
        ToolingError: no plane lets the casting out of a mould of so many pieces.
    """
    asked = asked_splits(casting)
    if asked is not None:
        return asked
    with kernel():
        from shapes.draw import draw

        skin = casting.skin_as_cut
        found = best_parting(skin, draft_deg(casting.asked), casting.asked.pieces or 2)
        caught = _caught(draw(skin, found), casting.rod)
    if caught.area_mm2 > TRAPPED_MM2:
        more = "" if casting.asked.pieces == 3 else ", or take pieces: 3"
        raise ToolingError(
            f"{where(ball, casting.part, 'parting')}: the best that is found "
            f"({'; '.join(plane_words(s) for s in found)}) still leaves {caught.area_mm2:.0f} mm2 "
            f"of '{casting.name}' undercut, {caught.said}: change the shape{more}, or give the "
            "planes"
        )
    return found


def best_parting(skin: Skin, wanted_deg: float, pieces: int) -> tuple[Split, ...]:
    """The planes that leave the least undercut, then the least area under a draft.

    Of three pieces the first is an end of the body, drawn away along one of its own axes.
    """
    from shapes.best_splits import best_splits, candidate_pulls
    from shapes.draw import draw

    ranked = best_splits(skin, candidate_pulls(skin, OWN_AXES), wanted_deg)
    halves: tuple[Split, ...] = (ranked[0].split,)
    if pieces == 2:
        return halves
    best = halves, _badness(draw(skin, halves), wanted_deg)
    for end in _ends(skin):
        for other in ranked[:3]:
            if abs(float(np.dot(other.split.normal, end.normal))) > 0.9:
                continue
            drawn = draw(skin, (end, other.split))
            badness = _badness(drawn, wanted_deg)
            if badness < best[1]:
                best = (end, other.split), badness
    return best[0]


def released(ball: Ball, tool: Tool) -> Released:
    """How a mould comes off; where the rod stands there is nothing to come off.

    Raises:
        ToolingError: some of the casting or its channels is caught; says where, and by how much.
    """
    with kernel():
        from shapes.draw import draw
        from shapes.skin import skin_of

        casting = draw(tool.skin, tool.splits)
        filled = draw(skin_of(tool.mould.filled), tool.splits) if tool.channels else casting
    part, rod = tool.casting.part, tool.casting.rod
    caught = _caught(casting, rod)
    if caught.area_mm2 > TRAPPED_MM2:
        raise ToolingError(
            f"{where(ball, part, 'parting')}: {caught.area_mm2:.0f} mm2 of the casting is undercut "
            f"for {_pieces(tool, casting, caught)}, {caught.said}; move the planes, take more of "
            "them, or change the shape"
        )
    caught = _caught(filled, rod)
    if caught.area_mm2 > TRAPPED_MM2:
        raise ToolingError(
            f"{_channel_at(ball, tool, caught)}: {caught.area_mm2:.0f} mm2 of the casting with its "
            f"gates is undercut for {_pieces(tool, filled, caught)}, {caught.said}; lay the "
            "channel into a parting plane, or along the pull and narrowing outwards"
        )
    return Released(filled, caught.area_mm2, casting)


@dataclass(frozen=True, eq=False)
class _Caught:
    """What of a casting is undercut: which facets, their area, and the place of the largest."""

    facets: Mask
    area_mm2: float
    place_mm: Array

    @property
    def said(self) -> str:
        at = ", ".join(f"{c + 0.0:.1f}" for c in self.place_mm)
        return f"such as at [{at}] mm as cut, in the part's own frame"


def _caught(drawn: Draw, rod: Bar | None) -> _Caught:
    """What is trapped, but for where the rod stands."""
    facets = drawn.trapped
    if rod is not None:
        from_axis = drawn.middles_mm - np.array(rod.origin_mm)
        along = from_axis @ np.array(rod.way)
        aside = np.linalg.norm(from_axis - along[:, None] * np.array(rod.way), axis=1)
        facets = facets & ~((aside < rod.radius_mm) & (along > rod.stations_mm[0][0]))
    areas = np.where(facets, drawn.areas_mm2, 0.0)
    return _Caught(facets, float(areas.sum()), drawn.middles_mm[int(areas.argmax())])


def _pieces(tool: Tool, drawn: Draw, caught: _Caught) -> str:
    return " and ".join(tool.piece_names[k] for k in np.unique(drawn.pieces[caught.facets]))


def _channel_at(ball: Ball, tool: Tool, caught: _Caught) -> str:
    """The gate or vent nearest to a place, where it stands in the file."""
    asked = tool.casting.asked
    words = [f"gates[{k}]" for k in range(len(asked.gates))]
    words += [f"vents[{k}]" for k in range(len(asked.vents))]
    away = [
        float(np.linalg.norm(np.cross(caught.place_mm - np.array(bar.origin_mm), bar.way)))
        for bar in tool.channels
    ]
    word = words[int(np.argmin(away))]
    key = word.split("[")[0]
    return where(ball, tool.casting.part, key) + word.removeprefix(key)


def _badness(drawn: Draw, wanted_deg: float) -> tuple[float, float]:
    """Undercut, then low area; to a hundredth of the body's, so that ties are ties."""
    step = 0.002 * drawn.skin.area_mm2
    return round(drawn.trapped_mm2 / step), round(drawn.low_mm2(wanted_deg) / step)


def _ends(skin: Skin) -> Iterator[Split]:
    """Planes that take an end off a body: at the rims of its faces, near an end of an axis."""
    for axis in OWN_AXES[::-1]:
        for normal in (axis, opposite(Split(axis, 0.0)).normal):
            heights = skin.corners_mm @ np.array(normal)
            reach = float(np.ptp(heights))
            rims = sorted({round(float(h), 3) for h in _rims(skin, heights)}, reverse=True)
            near = [h for h in rims if 0.01 * reach < heights.max() - h < _END_SHARE * reach]
            for height in near[:_HEIGHTS]:
                x, y, z = (c + 0.0 for c in normal)
                yield Split((x, y, z), height)


def _rims(skin: Skin, heights: Sequence[float]) -> list[float]:
    """The least and greatest heights of each face."""
    found = []
    tall = np.asarray(heights)[skin.triangles]
    for face in np.unique(skin.faces):
        own = tall[skin.faces == face]
        found += [float(own.min()), float(own.max())]
    return found
