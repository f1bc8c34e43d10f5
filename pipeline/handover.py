"""The tooling package: castings, moulds, checks, sheets; each file read back, or none is left."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pipeline.ball import Ball
from pipeline.body_files import write_group
from pipeline.changes import CHANGES, LETTER, Change, changes, earlier, told
from pipeline.checked import Checked
from pipeline.dates import stamp
from pipeline.draft_bands import DraftBands, draft_bands
from pipeline.figures import figures
from pipeline.folder import check_target, whole_folder
from pipeline.manifest import identity, write_design, write_manifest
from pipeline.package_files import Package, file_of, together, write_json
from pipeline.prove import first_route
from pipeline.solids import solids_of
from pipeline.tool_dxf import write_outlines, write_sections
from pipeline.tool_faces import face_rows
from pipeline.tool_findings import PLACES, findings_of, picture_key
from pipeline.tool_groups import (
    Stems,
    cast_group,
    cut_group,
    finished_group,
    mould_group,
    stems_of,
)
from pipeline.tool_letter import facts_of, tool_letter
from pipeline.tool_maps import draft_map, place_map, wall_map
from pipeline.tool_sheets import A3_FIRST, Form, sheets_of, write_sheets
from pipeline.tooling import Tooling, tooling_of
from pipeline.uncollected import uncollected

SIZE = "finished, as cast and as cut, by folder; shrinkage is in the files of as-cut and moulds"
_PICTURES = "checks"


@dataclass(frozen=True)
class Handed:
    """What was handed over.

    Attributes:
        package: the files, and the comparisons, all passed.
        checks: of castings and moulds.
        changes: since the earlier package; None when none was named.
    """

    package: Package
    checks: tuple[Checked, ...]
    changes: tuple[Change, ...] | None = None


def handover(ball: Ball, target: Path, form: Form = A3_FIRST, since: Path | None = None) -> Handed:
    """Make the folder for the mould maker, whole or not at all.

    Args:
        ball: the ball, undrilled.
        target: the folder to write; see `pipeline.folder.whole_folder`.
        form: of the sheets.
        since: an earlier package to tell the changes from.

    Raises:
        ToolingError: a casting or its mould cannot be made as asked; nothing was changed.
        OutputError: the target cannot be written; nothing was changed.
        KernelFault: a file that was read back is not what it should be; nothing was changed.
    """
    check_target(target, "handover")
    before = None if since is None else earlier(since)
    with uncollected(), whole_folder(target, "handover") as work:
        tooling = tooling_of(ball)
        folder = work.path
        bands = [
            draft_bands(tool, out) for tool, out in zip(tooling.tools, tooling.out, strict=True)
        ]
        spread = {
            tool.casting.name: dict(zip(one.words, one.shares, strict=True))
            for tool, one in zip(tooling.tools, bands, strict=True)
        }
        package, pictures = _write_files(tooling, form, bands, folder)
        rows = findings_of(tooling.checks, pictures)
        more: dict[str, Any] = {
            "castings": [
                {
                    "name": casting.name,
                    "mould": casting.mould,
                    "facts": _as_words(tooling, index),
                }
                for index, casting in enumerate(tooling.castings)
            ],
            "findings": rows,
            "draft": spread,
            "faces": face_rows(tooling.measured),
        }
        write_json(folder / "findings.json", {"findings": rows, "draft": spread})
        route = first_route(ball)
        write_json(folder / "figures.json", figures(ball, route.properties, [route], timed=False))
        write_design(ball.design, folder)
        found, said = None, ""
        if before is not None and since is not None:
            found = changes(before, _as_manifest(ball, more, folder))
            (folder / CHANGES).write_text(told(found, since.name), "utf-8", newline="\n")
            said = f"`{CHANGES}` tells what changed since `{since.name}`: {len(found)} things."
        letter = tool_letter(tooling, rows, spread, package, said)
        (folder / LETTER).write_text(letter, "utf-8", newline="\n")
        write_manifest(folder, ball, package, "handover", SIZE, more)
    return Handed(package, tooling.checks, found)


def _write_files(
    tooling: Tooling, form: Form, bands: Sequence[DraftBands], folder: Path
) -> tuple[Package, dict[str, str]]:
    """All files of geometry, sheets and pictures; and the pictures by what they are of."""
    ball, castings, tools = tooling.ball, tooling.castings, tooling.tools
    stems, when = stems_of(ball, castings), stamp(ball.design)
    groups = [finished_group(ball, solids_of(ball), stems), cast_group(ball, castings, stems)]
    for tool in tools:
        groups += [cut_group(tool, stems), mould_group(tool, stems)]
    drawn, pictures = _maps(tooling, bands, stems, folder)
    packages = [
        *(write_group(group, folder, when) for group in groups),
        *(write_sections(casting, stems, folder) for casting in castings),
        *(write_outlines(tool, stems, folder) for tool in tools),
        write_sheets(sheets_of(tooling, stems), form, folder),
        drawn,
    ]
    return together(packages), pictures


def _maps(
    tooling: Tooling, bands: Sequence[DraftBands], stems: Stems, folder: Path
) -> tuple[Package, dict[str, str]]:
    """The pictures of draft and walls."""
    name = tooling.ball.design.name
    shots: list[tuple[str, str, str, bytes]] = []
    for tool, out, one_band in zip(tooling.tools, tooling.out, bands, strict=True):
        shot = draft_map(name, tool, out, one_band)
        shots.append((tool.casting.name, "draft", "draft", shot))
    for one in tooling.measured:
        called = one.casting.name
        own = [check for check in tooling.checks if check.casting == called]
        shots.append((called, "least wall", "walls", wall_map(name, one)))
        shots.append((called, PLACES, "places", place_map(name, one, own)))
    (folder / _PICTURES).mkdir()
    files, pictures = [], {}
    for casting, rule, word, data in shots:
        file = f"{_PICTURES}/{stems.castings[casting]}-{word}.png"
        (folder / file).write_bytes(data)
        files.append(file_of(folder / file, f"map of the {word} of {casting}", file))
        pictures[picture_key(casting, rule)] = file
    return Package(tuple(files), ()), pictures


def _as_words(tooling: Tooling, index: int) -> dict[str, str]:
    """The facts of a casting, by label; what was assumed says so."""
    casting = tooling.castings[index]
    return {
        fact.label: f"{fact.value} (assumed)" if fact.assumed else fact.value
        for fact in facts_of(casting, tooling.tool(casting))
    }


def _as_manifest(ball: Ball, more: Mapping[str, Any], folder: Path) -> dict[str, Any]:
    """What the manifest will say of a folder that is complete but for letter and changes."""
    names = sorted(p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file())
    files = [{"name": name, "sha256": file_of(folder / name, "", name).sha256} for name in names]
    return {**more, "design": identity(ball), "files": files}
