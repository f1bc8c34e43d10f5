"""The drawing sheets of a tooling package: one for each cold casting and each mould piece."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from pipeline.ball import Ball
from pipeline.casting_facts import (
    TOLERANCE,
    ball_facts,
    casting_facts,
    hole_lines,
    tool_facts,
    way_words,
)
from pipeline.castings import Casting
from pipeline.drawing_sheet import SheetSubject, drawn
from pipeline.facts import Fact
from pipeline.kernel import kernel
from pipeline.moulds import Tool
from pipeline.package_files import Package, PackageFile, file_of
from pipeline.sheet_column import Revision
from pipeline.sheet_frame import PaperName, ProjectionName
from pipeline.sheet_views import Callout
from pipeline.title_block import TitleBlock
from pipeline.tolerances import named
from pipeline.tool_dxf import profile_of
from pipeline.tool_groups import Stems
from pipeline.tooling import Tooling
from pipeline.typeset import typeset
from pipeline.units import MM3_PER_CM3
from shapes.moments import Array
from shapes.pieces import pieces_of

if TYPE_CHECKING:
    from shapes.bars import Bar

FOLDER = "drawings"
_ON_MM = 1e-6
_POINTS = 48  # along an edge of a parting line


@dataclass(frozen=True)
class Form:
    """How sheets are drawn: paper, and first- or third-angle projection."""

    paper: PaperName = "A3"
    projection: ProjectionName = "first"


A3_FIRST = Form()


@dataclass(frozen=True, eq=False)
class Sheet:
    """A sheet to be drawn: the stem of its files, what it is, its subject."""

    stem: str
    what: str
    subject: SheetSubject


def sheets_of(tooling: Tooling, stems: Stems) -> tuple[Sheet, ...]:
    """All sheets: castings inside out, each followed by the pieces of its mould."""
    ball = tooling.ball
    count = len(tooling.castings) + sum(len(tool.piece_names) for tool in tooling.tools)
    found: list[Sheet] = []
    for casting in tooling.castings:
        tool = tooling.tool(casting)
        found.append(_of_casting(ball, casting, tool, stems, (len(found) + 1, count)))
        if tool is not None:
            for k in range(len(tool.piece_names)):
                found.append(_of_piece(ball, tool, k, stems, (len(found) + 1, count)))
    return tuple(found)


def write_sheets(sheets: Sequence[Sheet], form: Form, folder: Path) -> Package:
    """Draw every sheet as PDF and as SVG.

    Raises:
        OutputError: one does not fit the paper.
    """
    files: list[PackageFile] = []
    (folder / FOLDER).mkdir(exist_ok=True)
    for one in sheets:
        paper = drawn(one.subject, form.paper, form.projection)
        for ending in ("pdf", "svg"):
            name = f"{FOLDER}/{one.stem}.{ending}"
            (folder / name).write_bytes(typeset(paper, ending))
            files.append(file_of(folder / name, f"{one.what}; {ending.upper()}", name))
    return Package(tuple(files), ())


def _of_casting(
    ball: Ball, casting: Casting, tool: Tool | None, stems: Stems, number: tuple[int, int]
) -> Sheet:
    """The cold casting: what is measured when it comes out of the mould."""
    stem = stems.castings[casting.name]
    callouts = []
    if casting.hole is not None:
        callouts.append(Callout("\n".join(hole_lines(casting)), casting.hole.origin_mm, "front"))
    facts = [*_weight(casting), *casting_facts(casting), *(tool_facts(tool) if tool else ())]
    subject = SheetSubject(
        f"{casting.name}, as cast",
        [casting.as_cast],
        profile_of(casting),
        _title(ball, stem, number, "casting drawing", f"{ball.design.name}, {casting.name}"),
        tuple(facts + list(ball_facts(ball))),
        (
            "Sizes are those of the cold casting. The mould is larger: as-cut files hold its size; "
            "do not scale them again.",
        ),
        tuple(callouts),
        _revisions(ball),
        _parting_lines(tool) if tool else (),
        isometric="cut" if casting.inside else "above",
    )
    return Sheet(f"{stem}-as-cast", f"drawing of {casting.name}, as cast", subject)


def _of_piece(ball: Ball, tool: Tool, k: int, stems: Stems, number: tuple[int, int]) -> Sheet:
    """A piece of a mould, laid with its parting face up."""
    name, stem = tool.piece_names[k], stems.castings[tool.casting.name]
    pull = np.array(pieces_of(tool.splits)[k].pull)
    axes = _face_up(tool, pull)
    with kernel():
        from shapes.solid import turned_by

        solid = turned_by(tool.mould.pieces[k], axes)
    subject = SheetSubject(
        f"{tool.casting.name} mould, {name}",
        [solid],
        None,
        _title(
            ball, f"{stem}-{name.replace(' ', '-')}", number, "mould drawing",
            f"{ball.design.name}, {tool.casting.name} mould, {name}",
        ),
        (
            Fact("drawn off", way_words(pull)),
            *_across(axes),
            _shrinkage(tool.casting),
            *tool_facts(tool),
            *ball_facts(ball),
        ),
        (
            "The piece is drawn with its parting face up, at the size that it is cut to: "
            "shrinkage is in it already.",
        ),
        tuple(_bar_callouts(tool, axes, k)),
        _revisions(ball),
        datum_a="the line through the part's origin, square to the parting face",
        lowest="the back of the piece",
    )  # fmt: skip
    return Sheet(
        f"{stem}-mould-{name.replace(' ', '-')}", f"drawing of {tool.casting.name} mould, {name}",
        subject,
    )  # fmt: skip


def _weight(casting: Casting) -> list[Fact]:
    """Material, density, mass, volume and centre of gravity of the cold casting."""
    with kernel():
        from shapes.boundary import moments_of_solid

        moments = moments_of_solid(casting.as_cast)
    volume = moments.volume_mm3 / MM3_PER_CM3
    density = casting.part.density_g_cm3
    return [
        Fact("material", casting.part.material),
        Fact("density", f"{density:.4f} g/cm\u00b3"),
        Fact("mass", f"{volume * density:.1f} g"),
        Fact("volume", f"{volume:.2f} cm\u00b3"),
        Fact("centre of gravity", f"{_point(moments.centroid_mm())} mm, own frame"),
    ]


def _point(place: Array) -> str:
    """A place as a sheet says it, with true minus signs."""
    words = (f"{name} {round(float(c), 2) + 0.0:.2f}" for name, c in zip("xyz", place, strict=True))
    return ", ".join(words).replace("-", "\u2212")


def _shrinkage(casting: Casting) -> Fact:
    return next(fact for fact in casting_facts(casting) if fact.label == "shrinkage")


def _title(ball: Ball, stem: str, number: tuple[int, int], kind: str, title: str) -> TitleBlock:
    process, design = ball.design.process, ball.design
    day = tuple(int(word) for word in design.date.split("-")) if design.date else None
    return TitleBlock(
        legal_owner=process.owner,
        number=f"{process.number or f'{design.name} {design.revision}'} {stem}",
        title=title,
        document_type=kind,
        creator=process.creator,
        date=day,  # type: ignore[arg-type]  # an ISO day has three numbers
        revision=design.revision,
        sheet=f"{number[0]}/{number[1]}",
        tolerance=named(process.tolerance or TOLERANCE),
    )


def _revisions(ball: Ball) -> tuple[Revision, ...]:
    rows = ball.design.process.revisions
    if not rows:
        return (Revision(ball.design.revision, "", ball.design.date or ""),)
    return tuple(Revision(row.index, row.change, row.date, row.by) for row in rows)


def _face_up(tool: Tool, pull: Array) -> Array:
    """Axes of a sheet as rows, in the part's frame: Z against the pull, the others along edges."""
    edges = sorted(tool.mould.block.axes.T, key=lambda edge: abs(float(edge @ pull)))
    x = edges[0] - (edges[0] @ pull) * pull
    x /= np.linalg.norm(x)
    return np.array([x, np.cross(-pull, x), -pull])


def _across(axes: Array) -> tuple[Fact, ...]:
    """How the sheet's axes lie in the part's own frame."""
    return tuple(
        Fact(f"sheet {name}", f"is the part's {way_words(row)}")
        for name, row in zip("XYZ", axes, strict=True)
    )


def _bar_callouts(tool: Tool, axes: Array, k: int) -> list[Callout]:
    """Gates, vents, rod and a key of each plane, where they meet this piece, from above."""
    asked, rod = tool.casting.asked, tool.casting.rod
    words = [f"gate \u00d8 {one.diameter_mm:g}" for one in asked.gates]
    words += [f"vent \u00d8 {one.diameter_mm:g}" for one in asked.vents]
    spots = [(said, _at_block(tool, bar)) for said, bar in zip(words, tool.channels, strict=True)]
    if rod is not None:
        spots.append((f"rod bore \u00d8 {2.0 * rod.stations_mm[-1][1]:.2f}", _at_block(tool, rod)))
    for keys in tool.keys[: k + 1]:
        key = keys[1]
        said = f"key or socket \u00d8 {2.0 * key.radius_mm:g} \u00d7 {key.stations_mm[-1][0]:g}"
        spots.append((said, np.array(key.origin_mm)))
    within = pieces_of(tool.splits)[k].within
    return [
        Callout(said, _turned(axes, at), "top")
        for said, at in spots
        if all(split.heights_mm(at) > -_ON_MM for split in within)
    ]


def _at_block(tool: Tool, bar: Bar) -> Array:
    """Where a bar leaves the block."""
    low, high = bar.stations_mm[0][0], bar.stations_mm[-1][0]
    for _ in range(40):
        middle = (low + high) / 2.0
        inside = tool.mould.block.depths_mm(bar.point_mm(middle)[None, :])[0] > 0.0
        low, high = (middle, high) if inside else (low, middle)
    return bar.point_mm(low)


def _turned(axes: Array, point: Array) -> tuple[float, float, float]:
    x, y, z = (float(c) for c in axes @ point)
    return x, y, z


def _parting_lines(tool: Tool) -> tuple[Array, ...]:
    """The lines where the planes meet the casting, at cold size, as polylines."""
    shrinkage = tool.casting.shrinkage
    less = np.array([1.0 - shrinkage.across] * 2 + [1.0 - shrinkage.along])
    found = []
    with kernel():
        from shapes.plane_cuts import edges_on

        for split in tool.splits:
            for edge in edges_on(tool.casting.as_cut, split):
                points = edge.positions([k / _POINTS for k in range(_POINTS + 1)])
                found.append(np.array([p.toTuple() for p in points]) * less)
    return tuple(found)
