"""How the draft of a casting is spread over its surface, in bands round the draft wanted."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import radians, sin
from typing import TYPE_CHECKING

import numpy as np

from pipeline.casting_facts import draft_deg
from pipeline.facet_map import banded, shares
from pipeline.kernel import kernel
from pipeline.moulds import Tool
from pipeline.partings import Released
from shapes.moments import Array, Indices, Mask
from shapes.pieces import pieces_of

if TYPE_CHECKING:
    from shapes.draw import Draw
    from shapes.skin import Skin

_NEAR = 1e-4  # of a sine: bands that end so near a corner end at it


@dataclass(frozen=True, eq=False)
class DraftBands:
    """The bands, what is undercut first.

    Attributes:
        words: such as '0 to 0.5\u00b0'.
        shares: of the casting's area, in words.
        skin: cut where the bands end.
        which: shape (n,), the band of each of its facets.
    """

    words: tuple[str, ...]
    shares: tuple[str, ...]
    skin: Skin
    which: Indices


def draft_bands(tool: Tool, out: Released) -> DraftBands:
    """The draft of a casting as cut, by exact normals."""
    wanted = draft_deg(tool.casting.asked)
    limits = [wanted / 2.0, wanted, max(5.0, 3.0 * wanted), max(30.0, 6.0 * wanted)]
    skin, draft, trapped = _cut_at(out.casting, limits)
    which = np.where(trapped, 0, banded(draft, limits) + 1)
    ends = ["0", *(f"{limit:g}" for limit in limits)]
    spans = [f"{a} to {b}\u00b0" for a, b in pairwise(ends)]
    words = ("undercut", *spans, f"{ends[-1]}\u00b0 and more")
    return DraftBands(words, shares(which, skin.areas_mm2, len(words)), skin, which)


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
