"""Pictures of where the checks of a casting look: its draft, and its walls."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from pipeline.casting_checks import Measured
from pipeline.casting_facts import LEAST_WALL_MM, draft_deg, way_words
from pipeline.check import ESTIMATE
from pipeline.checked import AS_CUT, Checked
from pipeline.draft_bands import DraftBands
from pipeline.facet_map import Band, FacetMap, Place, banded, facet_map, shares
from pipeline.kernel import kernel
from pipeline.moulds import Tool
from pipeline.partings import Released
from pipeline.scene import UPRIGHT
from pipeline.tool_findings import decimals
from shapes.pieces import pieces_of

if TYPE_CHECKING:
    pass

# lightness rises with the figure, so that the bands are told apart in grey
_UNDERCUT, _COLOURS = "#4A1030", ("#8E2F1E", "#D08A2A", "#8FB0A9", "#C9C6BC", "#EFEBE0")
_NOTE = f"{ESTIMATE[:1].upper()}{ESTIMATE[1:]}. Only a trial pour shows how a casting comes free."


def draft_map(name: str, tool: Tool, out: Released, bands: DraftBands) -> bytes:
    """The draft all over a casting, as PNG."""
    wanted = draft_deg(tool.casting.asked)
    low = out.casting.low_walls(wanted)
    said = "; ".join(
        f"{piece} drawn {way_words(one.pull)}"
        for piece, one in zip(tool.piece_names, pieces_of(tool.splits), strict=True)
    )
    shown = FacetMap(
        f"{name}, {tool.casting.name}: draft",
        f"{said}; as cut, in the part's own frame",
        bands.skin.corners_mm[bands.skin.triangles],
        tuple(
            Band(colour, word, share)
            for colour, word, share in zip(
                (_UNDERCUT, *_COLOURS), bands.words, bands.shares, strict=True
            )
        ),
        bands.which,
        UPRIGHT,
        (
            ((low[0].place_mm, f"highest wall under {wanted:g}\u00b0: {low[0].height_mm:.1f} mm"),)
            if low
            else ()
        ),
        (_NOTE,),
    )
    return facet_map(shown)


def wall_map(name: str, of: Measured) -> bytes:
    """How thick a casting is all over, as PNG."""
    least = of.casting.asked.least_wall_mm or LEAST_WALL_MM
    limits = [least, 2.0 * least, 5.0 * least, 15.0 * least]
    walls = of.walls
    which = banded(np.where(walls.facing, walls.through_mm, np.inf), limits)
    words = [f"under {limits[0]:g} mm"]
    words += [f"{a:g} to {b:g} mm" for a, b in pairwise(limits)]
    words.append(f"{limits[-1]:g} mm and more")
    with kernel():
        from shapes.clearance import least_wall

        thin = least_wall(of.casting.as_cast, of.skin, walls)
    skin = of.skin
    places: tuple[tuple[Place, str], ...] = ()
    if thin is not None:
        x, y, z = (float(c) for c in thin[1])
        places = (((x, y, z), f"least wall: {thin[0]:.1f} mm"),)
    shown = FacetMap(
        f"{name}, {of.casting.name}: walls",
        "straight through the material from each place; as cast, in the part's own frame",
        skin.corners_mm[skin.triangles],
        tuple(
            Band(colour, word, share)
            for colour, word, share in zip(
                _COLOURS, words, shares(which, skin.areas_mm2, len(words)), strict=True
            )
        ),
        which,
        UPRIGHT,
        places,
        (_NOTE,),
    )
    return facet_map(shown)


def place_map(name: str, of: Measured, checks: Sequence[Checked]) -> bytes:
    """Where the checks of a casting look, by number, as PNG.

    Places as cut are put where they are on the cold casting.
    """
    shrinkage = of.casting.shrinkage
    less = np.array([1.0 - shrinkage.across] * 2 + [1.0 - shrinkage.along])
    places = []
    for one in checks:
        if one.place_mm is None:
            continue
        x, y, z = (float(c) for c in np.array(one.place_mm) * (less if one.size == AS_CUT else 1.0))
        f = one.finding
        value = "" if f.value is None else f": {f.value:.{decimals(f.rule, f.unit)}f} {f.unit}"
        places.append(((x, y, z), f"{f.rule}{value}"))
    shown = FacetMap(
        f"{name}, {of.casting.name}: places",
        "where each check found its figure, pale where that is behind; as cast, own frame",
        of.skin.corners_mm[of.skin.triangles],
        (),
        np.zeros(len(of.skin), dtype=np.intp),
        UPRIGHT,
        tuple(places),
        (_NOTE,),
    )
    return facet_map(shown)
