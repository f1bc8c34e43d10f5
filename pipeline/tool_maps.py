"""Pictures of where the checks of a casting look: its draft, and its walls."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import radians, sin
from typing import TYPE_CHECKING

import numpy as np

from pipeline.casting_checks import Measured
from pipeline.casting_facts import LEAST_WALL_MM, draft_deg, way_words
from pipeline.check import ESTIMATE
from pipeline.checked import AS_CUT, Checked
from pipeline.facet_map import Band, FacetMap, Place, banded, facet_map, shares
from pipeline.kernel import kernel
from pipeline.moulds import Tool
from pipeline.partings import Released
from pipeline.scene import UPRIGHT
from pipeline.tool_findings import decimals
from shapes.moments import Array, Indices, Mask
from shapes.pieces import pieces_of

if TYPE_CHECKING:
    from shapes.draw import Draw
    from shapes.skin import Skin

# lightness rises with the figure, so that the bands are told apart in grey
_UNDERCUT, _COLOURS = "#4A1030", ("#8E2F1E", "#D08A2A", "#8FB0A9", "#C9C6BC", "#EFEBE0")
_NEAR = 1e-4  # of a sine: bands that end so near a corner end at it
_NOTE = f"{ESTIMATE[:1].upper()}{ESTIMATE[1:]}. Only a trial pour shows how a casting comes free."


def draft_map(name: str, tool: Tool, out: Released) -> bytes:
    """The draft all over a casting, as PNG."""
    wanted = draft_deg(tool.casting.asked)
    limits = [wanted / 2.0, wanted, max(5.0, 3.0 * wanted), max(30.0, 6.0 * wanted)]
    drawn = out.casting
    skin, draft, trapped = _cut_at(drawn, limits)
    which = np.where(trapped, 0, banded(draft, limits) + 1)
    ends = ["0", *(f"{limit:g}" for limit in limits)]
    words = ["undercut", *(f"{a} to {b}\u00b0" for a, b in pairwise(ends))]
    words.append(f"{ends[-1]}\u00b0 and more")
    low = drawn.low_walls(wanted)
    said = "; ".join(
        f"{piece} drawn {way_words(one.pull)}"
        for piece, one in zip(tool.piece_names, pieces_of(tool.splits), strict=True)
    )
    shown = FacetMap(
        f"{name}, {tool.casting.name}: draft",
        f"{said}; as cut, in the part's own frame",
        skin.corners_mm[skin.triangles],
        tuple(
            Band(colour, word, share)
            for colour, word, share in zip(
                (_UNDERCUT, *_COLOURS),
                words,
                shares(which, skin.areas_mm2, len(words)),
                strict=True,
            )
        ),
        which,
        UPRIGHT,
        (
            ((low[0].place_mm, f"highest wall under {wanted:g}\u00b0: {low[0].height_mm:.1f} mm"),)
            if low
            else ()
        ),
        (_NOTE,),
    )
    return facet_map(shown)


def _cut_at(drawn: Draw, limits_deg: list[float]) -> tuple[Skin, Array, Mask]:
    """The skin cut where the draft reaches a limit, so that bands end where they should.

    With it the draft of each facet, degrees, and whether it is trapped.
    """
    with kernel():
        from shapes.skin import cut_skin

    pulls = np.array([piece.pull for piece in pieces_of(drawn.splits)])
    skin, rows = drawn.skin, np.arange(len(drawn.skin))
    for limit in limits_deg:
        level = sin(radians(limit))
        ways = pulls[drawn.pieces[rows]]
        leans = np.einsum("ijk,ik->ij", skin.corner_normals, ways) - level

        def above(
            which: Indices, _: Array, normals: Array, ways: Array = ways, level: float = level
        ) -> Array:
            return np.asarray((normals * ways[which]).sum(axis=1) - level)

        skin, parents = cut_skin(skin, leans, above, _NEAR)
        rows = rows[parents]
    leans = np.einsum("ij,ij->i", skin.normals, pulls[drawn.pieces[rows]])
    return skin, np.degrees(np.arcsin(np.clip(leans, -1.0, 1.0))), drawn.trapped[rows]


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
