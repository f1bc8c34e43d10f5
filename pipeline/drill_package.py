"""What a driller is handed: the drilled ball as STEP and STL, a sheet, pictures, figures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from pipeline.ball import Ball
from pipeline.check import ESTIMATE, Finding
from pipeline.drill_check import check_drilled
from pipeline.drill_sheet import CAUTIONS, Paper, drill_sheet
from pipeline.drilled import Drilled
from pipeline.drilled_figures import drilled_figures, removed_figures
from pipeline.drilled_report import drilled_report
from pipeline.errors import BallError, RoutesDisagree
from pipeline.figures import findings_as_figures
from pipeline.folder import whole_folder
from pipeline.letter import FRAME
from pipeline.manifest import write_design, write_manifest
from pipeline.package import geometry, write_package
from pipeline.package_files import Package, write_json
from pipeline.picture import picture_drilled
from pipeline.plugs import plugs_of
from pipeline.polar_map import polar_map
from pipeline.prove import Proof, first_route
from pipeline.prove_drilled import drilled_route, prove_drilled


@dataclass(frozen=True, eq=False)
class DrillPackage:
    """What came of a drilling.

    Attributes:
        drilled: the drilled ball.
        proof: its figures by every route.
        findings: the rules on a drilled ball held against it.
        package: geometry that was written and read back.
    """

    drilled: Drilled
    proof: Proof
    findings: tuple[Finding, ...]
    package: Package


def drill_package(ball: Ball, target: Path, paper: Paper = "a4") -> DrillPackage:
    """Make the folder for the driller, whole or not at all.

    Args:
        ball: the ball, undrilled; its design has a drilling.
        target: the folder to write.
        paper: of the sheet.

    Raises:
        BallError: the design has no drilling, or it cannot be.
        RoutesDisagree: two routes differ by more than their bounds; nothing was changed.
        OutputError: it cannot be written; nothing was changed.
    """
    with whole_folder(target, "drill") as work:
        made = write_drill_package(ball, work.path, paper)
        write_design(ball.design, work.path)
        write_manifest(work.path, ball, made.package, "drill")
    return made


def write_drill_package(ball: Ball, folder: Path, paper: Paper = "a4") -> DrillPackage:
    """Write all of it but design and manifest into an existing folder."""
    if ball.design.drilling is None:
        raise BallError(
            f"{ball.design.file or ball.design.name}: the design has no drilling section; add "
            "one, or write a drilling file that names the design"
        )
    drilled, route = drilled_route(ball)
    proof = prove_drilled(drilled, route)
    if proof.disagreements:
        raise RoutesDisagree("\n".join(proof.disagreements))
    findings = check_drilled(drilled)
    whole = drilled.as_ball()
    write_json(
        folder / "figures.json",
        {
            **drilled_figures(drilled, proof.routes, [first_route(ball)], timed=False),
            "taken": removed_figures(drilled),
        },
    )
    write_json(folder / "findings.json", findings_as_figures(ball, findings))
    for form in ("pdf", "svg"):
        sheet = drill_sheet(drilled, findings, form, paper)
        (folder / f"drill-sheet.{form}").write_bytes(sheet)
    pictures = _write_pictures(drilled, folder)
    package = write_package(whole, folder, proof.facets)
    text = _letter(drilled, proof, findings, pictures, package)
    (folder / "README.md").write_text(text, "utf-8", newline="\n")
    return DrillPackage(drilled, proof, findings, package)


def _write_pictures(drilled: Drilled, folder: Path) -> list[tuple[str, str]]:
    """Every picture that there is something to draw in, and what it shows."""
    laid = drilled.laid
    found = []
    views = {
        "drilled": "the drilled ball from outside: holes, grip lines, marks, lines of equal RG",
        "bored": "a section through two of the holes",
    }
    if plugs_of(drilled):
        views["taken"] = "the core alone, with what the holes took of it"
    if laid.axis_point is not None:
        views["rings"] = "the track rings of successive revolutions, an explanation"
    for view, what in views.items():
        name = f"{view}.png"
        (folder / name).write_bytes(picture_drilled(drilled, view=view))
        found.append((name, what))
    for name, about in (("axis-map", "the axis point"), ("pin-map", "the pin")):
        if name == "pin-map" or laid.axis_point is not None:
            (folder / f"{name}.png").write_bytes(polar_map(drilled, name))
            found.append((f"{name}.png", f"the surface laid flat about {about}"))
    return found


def _letter(
    drilled: Drilled,
    proof: Proof,
    findings: Sequence[Finding],
    pictures: Sequence[tuple[str, str]],
    package: Package,
) -> str:
    design = drilled.ball.design
    report = drilled_report(drilled, list(proof.routes))
    lines = [
        f"# {design.name}, revision {design.revision}: drilled",
        "",
        "![The drilled ball from outside](drilled.png)",
        "",
        "`drill-sheet.pdf` and `drill-sheet.svg` are the sheet to work from.",
        "",
        "```",
        *report.splitlines()[2:],
        "```",
        "",
        f"## Rules ({ESTIMATE})",
        "",
        "| rule | value | allowed | verdict | note |",
        "| --- | --- | --- | --- | --- |",
    ]
    for f in findings:
        value = "" if f.value is None else f"{f.value:{f.form(3)}} {f.unit}"
        lines.append(f"| {f.rule} | {value} | {f.limit} | {f.verdict} | {f.note} |")
    lines += ["", "## Pictures", "", "| file | what it shows |", "| --- | --- |"]
    lines += [f"| `{name}` | {what} |" for name, what in pictures]
    lines += ["", FRAME, geometry(package), "## Before anything is drilled", ""]
    lines += [f"- {text}" for text in CAUTIONS]
    lines += [
        "",
        "`figures.json` and `findings.json` hold the figures for scripts.",
        "",
    ]
    return "\n".join(lines)
