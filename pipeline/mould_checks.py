"""Checks of a casting in its mould: undercut, draft, radii, slivers, the mould's own walls.

Limits are the design's own or common practice; only a trial pour tells how a casting comes free.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from pipeline.casting_facts import CUTTER_MM, FILLET_MM, UPRIGHT_MM, draft_deg
from pipeline.check import Finding
from pipeline.checked import (
    AS_CUT,
    ASKED,
    PRACTICE,
    Checked,
    Place,
    at_least,
    at_most,
    held,
    place_of,
)
from pipeline.digits import counted
from pipeline.kernel import kernel
from pipeline.moulds import LEAST_WALL_MM, Tool
from pipeline.partings import TRAPPED_MM2, Released

if TYPE_CHECKING:
    from shapes.face_sizes import FaceSize
    from shapes.roundness import SharpEdge
    from shapes.skin import Skin

NARROW_MM = 0.5  # a face narrower than this is a sliver: common practice, no source


def check_tool(tool: Tool, out: Released) -> tuple[Checked, ...]:
    """What holds of the casting in its mould: undercut, draft, radii, edges, faces, mould walls."""
    with kernel():
        from shapes.face_sizes import face_sizes
        from shapes.roundness import sharp_edges, smallest_concave, smallest_convex

        # an ejector's flat is sharp by nature: it is not held against cutter and fillet
        skin = tool.casting.skin_as_cut
        faces = face_sizes(tool.casting.as_cut, skin)
        edges = sharp_edges(tool.casting.as_cut)
        convex, concave = smallest_convex(skin), smallest_concave(skin)
    asked, name = tool.casting.asked, tool.casting.name
    inside, outside = "smallest convex radius", "smallest concave radius"
    cutter, fillet = asked.cutter_mm or CUTTER_MM, asked.fillet_mm or FILLET_MM
    bulging, hollow = [e for e in edges if e.convex], [e for e in edges if not e.convex]
    return (
        _undercut(tool, out),
        _low_walls(tool, out),
        _rounding(
            name, inside, convex.radius_mm, convex.place_mm, bulging, cutter,
            asked.cutter_mm is not None, "the finest cutter for the cavity",
        ),
        _rounding(
            name, outside, concave.radius_mm, concave.place_mm, hollow, fillet,
            asked.fillet_mm is not None, "a ridge of the mould",
        ),
        *_narrow(name, faces, edges),
        _mould_wall(tool, skin),
    )  # fmt: skip


def _undercut(tool: Tool, out: Released) -> Checked:
    """Trapped area of the casting with its gates; a mould that catches more is not made at all."""
    area = out.caught_mm2
    finding = held(
        "undercut", area, f"at most {TRAPPED_MM2:g} mm2, the mesh's own", TRAPPED_MM2 - area, "mm2",
        area <= TRAPPED_MM2, "follows from the pull",
        "by sight along each piece's pull, casting with gates and flats",
    )  # fmt: skip
    return Checked(tool.casting.name, finding)


def _low_walls(tool: Tool, out: Released) -> Checked:
    """The highest wall with less than the draft wanted."""
    asked, drawn = tool.casting.asked, out.casting
    wanted = draft_deg(asked)
    most = UPRIGHT_MM if asked.upright_mm is None else asked.upright_mm
    low = drawn.low_walls(wanted)
    height = low[0].height_mm if low else 0.0
    share = drawn.low_mm2(wanted) / drawn.skin.area_mm2
    least = round(drawn.least_draft.value, 2) + 0.0
    finding = at_most(
        f"wall under {wanted:g}\u00b0 of draft", height, most, "mm", asked.upright_mm is not None,
        f"highest; least draft {least:.2f}\u00b0; {100.0 * share:.1f} % of the surface is under "
        f"{wanted:g}\u00b0",
    )  # fmt: skip
    return Checked(tool.casting.name, finding, low[0].place_mm if low else None, AS_CUT)


def _rounding(
    name: str,
    rule: str,
    radius_mm: float,
    place_mm: Place | None,
    sharp: Sequence[SharpEdge],
    least_mm: float,
    asked: bool,
    why: str,
) -> Checked:
    """The smallest radius one way; a sharp edge has none at all."""
    if sharp:
        longest = max(sharp, key=lambda edge: edge.length_mm)
        total = sum(edge.length_mm for edge in sharp)
        note = f"{why}; {counted(len(sharp), 'sharp edge')}, {total:.0f} mm in all"
        return Checked(
            name, at_least(rule, 0.0, least_mm, "mm", asked, note), longest.place_mm, AS_CUT
        )
    if not np.isfinite(radius_mm):
        finding = Finding(
            rule, None, f"at least {least_mm:g} mm", None, "mm", "pass",
            ASKED if asked else PRACTICE, "C", f"{why}; nothing bends this way",
        )  # fmt: skip
        return Checked(name, finding, None, AS_CUT)
    return Checked(name, at_least(rule, radius_mm, least_mm, "mm", asked, why), place_mm, AS_CUT)


def _narrow(name: str, faces: Sequence[FaceSize], sharp: Sequence[SharpEdge]) -> Iterator[Checked]:
    """The narrowest face with a sharp edge: such a sliver cannot be milled; a smooth one can."""
    edged = {row for edge in sharp for row in edge.faces}
    rows = [k for k, face in enumerate(faces) if np.isfinite(face.width_mm)]
    if not rows:
        return
    row = min(rows, key=lambda k: (k not in edged, faces[k].width_mm))
    least = faces[row]
    note = f"twice area over perimeter; a {least.kind} face of {least.area_mm2:.0f} mm2"
    finding = at_least("narrowest face", least.width_mm, NARROW_MM, "mm", False, note)
    if row not in edged:
        finding = replace(
            finding, limit=f"{finding.limit} with sharp edges", verdict="pass", margin=None,
            note=f"{note}; smooth to its neighbours, as all faces are",
        )  # fmt: skip
    yield Checked(name, finding, least.centre_mm, AS_CUT)


def _mould_wall(tool: Tool, skin: Skin) -> Checked:
    """The least steel between cavity and block."""
    depths = tool.mould.block.depths_mm(skin.corners_mm)
    thin = int(depths.argmin())
    finding = at_least("least wall of the mould", float(depths[thin]), LEAST_WALL_MM, "mm", False)
    return Checked(tool.casting.name, finding, place_of(skin.corners_mm[thin]), AS_CUT)
