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
from pipeline.mould_features import (
    at_block,
    at_part,
    bars_of,
    face_up,
    features,
    key_word,
    touches,
)
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

if TYPE_CHECKING:
    pass

FOLDER = "drawings"
_OF_CASTINGS = (
    "draft wanted",
    "low wall",
    "parting plane",
    "deflash",
    "least wall",
    "largest ball",
)
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
    count = len(tooling.castings) + sum(len(t.piece_names) + len(t.bars) for t in tooling.tools)
    found: list[Sheet] = []
    for casting in tooling.castings:
        tool = tooling.tool(casting)
        found.append(_of_casting(ball, casting, tool, stems, (len(found) + 1, count)))
        if tool is not None:
            for k in range(len(tool.piece_names)):
                found.append(_of_piece(ball, tool, k, stems, (len(found) + 1, count)))
            for k in range(len(tool.bars)):
                found.append(_of_bar(ball, tool, k, stems, (len(found) + 1, count)))
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
    facts = [*_weight(casting), *casting_facts(casting)]
    if tool is not None:
        facts += [fact for fact in tool_facts(tool) if fact.label.startswith(_OF_CASTINGS)]
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
    axes, called = face_up(tool, k), name.replace(" ", "-")
    with kernel():
        from shapes.solid import turned_by

        solid = turned_by(tool.mould.pieces[k], axes)
    subject = SheetSubject(
        f"{tool.casting.name} mould, {name}",
        [solid],
        None,
        _title(
            ball, f"{stem}-{called}", number, "mould drawing",
            f"{ball.design.name}, {tool.casting.name} mould, {name}",
        ),
        (
            Fact("drawn off", way_words(-axes[2])),
            *_across(axes),
            *features(tool, k),
            *(fact for fact in casting_facts(tool.casting) if fact.label == "shrinkage"),
            *(fact for fact in tool_facts(tool) if not _told(fact, tool)),
            *ball_facts(ball),
        ),
        (
            "The piece is drawn with its parting face up, at the size that it is cut to: "
            "shrinkage is in it already. Places are in the sheet's X, Y and Z.",
        ),
        tuple(_bar_callouts(tool, axes, k)),
        _revisions(ball),
        datum_a="the line through the part's origin, square to the parting face",
        lowest="the back of the piece",
    )  # fmt: skip
    return Sheet(f"{stem}-mould-{called}", f"drawing of {tool.casting.name} mould, {name}", subject)


def _of_bar(ball: Ball, tool: Tool, k: int, stems: Stems, number: tuple[int, int]) -> Sheet:
    """A rod or pin, as far as it lies in the block, its inner end down."""
    bar, name = tool.bars[k], tool.bar_names[k]
    stem, called = stems.castings[tool.casting.name], name.replace(" ", "-")
    out = float((at_block(tool, bar) - np.array(bar.origin_mm)) @ np.array(bar.way))
    low = bar.stations_mm[0][0]
    inner = [(at - low, radius) for at, radius in bar.stations_mm if at < out]
    stations = (*inner, (out - low, inner[-1][1]))
    with kernel():
        from shapes.bars import Bar, section_of, solid_of

        upright = Bar((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), stations)
        solid, section = solid_of(upright), section_of(upright)
    subject = SheetSubject(
        f"{tool.casting.name} mould, {name}",
        [solid],
        section,
        _title(
            ball, f"{stem}-{called}", number, "mould drawing",
            f"{ball.design.name}, {tool.casting.name} mould, {name}",
        ),
        tuple(ball_facts(ball)[:1]),
        (
            "It is drawn as far as it lies in the block, its inner end down: leave as much more as "
            "your shop grips, and the fit in its bore that your shop uses.",
        ),
        (),
        _revisions(ball),
        datum_a="its axis",
        lowest="its inner end",
    )  # fmt: skip
    return Sheet(f"{stem}-mould-{called}", f"drawing of {tool.casting.name} mould, {name}", subject)


def _told(fact: Fact, tool: Tool) -> bool:
    """Whether the features of a piece tell a fact of its mould already."""
    asked = tool.casting.asked
    given = {"gate": asked.gates, "vent": asked.vents, "ejector": asked.ejectors, "keys": True}
    return any(fact.label.startswith(word) and there for word, there in given.items())


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


def _across(axes: Array) -> tuple[Fact, ...]:
    """How the sheet's axes lie in the part's own frame."""
    return tuple(
        Fact(f"sheet {name}", f"is the part's {way_words(row)}")
        for name, row in zip("XYZ", axes, strict=True)
    )


def _bar_callouts(tool: Tool, axes: Array, k: int) -> list[Callout]:
    """Gates, vents, rod, pins and a key of each plane, where they meet this piece, from above."""
    spots = [
        (f"{words} \u00d8 {2.0 * bar.stations_mm[-2][1]:.2f}", at_part(bar))
        for words, bar in bars_of(tool)
        if touches(tool, k, at_block(tool, bar))
    ]
    for j, keys in enumerate(tool.keys[: k + 1]):
        key = keys[1]
        size = f"\u00d8 {2.0 * key.radius_mm:g} \u00d7 {key.stations_mm[-1][0]:g}"
        if touches(tool, k, np.array(key.origin_mm)):
            spots.append((f"{key_word(j, k)} {size}", np.array(key.origin_mm)))
    return [Callout(said, _turned(axes, at), "top") for said, at in spots]


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
