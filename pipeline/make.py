"""The main job: the stages in order, from a design file to one folder with everything in it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from pipeline.ball import Ball, build_ball
from pipeline.check import Finding, check
from pipeline.drill_package import DrillPackage, write_drill_package
from pipeline.errors import RoutesDisagree
from pipeline.figures import figures, findings_as_figures
from pipeline.folder import whole_folder
from pipeline.letter import letter
from pipeline.load import load
from pipeline.manifest import write_design, write_manifest
from pipeline.package import geometry, write_package
from pipeline.package_files import Package, write_json
from pipeline.picture import picture
from pipeline.prove import Proof, prove
from pipeline.weigh import MassProperties, weigh

__all__ = ["Made", "build_ball", "check", "load", "make", "picture", "prove", "weigh"]

DRILLED = "drilled"  # the folder of what a driller is handed


@dataclass(frozen=True, eq=False)
class Made:
    """What came of a design.

    Attributes:
        ball: what exists.
        properties: what it weighs.
        proof: the same by every route.
        findings: the limits held against it.
        package: geometry that was written and read back.
        drilled: the same for the drilled ball; None where the design drills no holes.
    """

    ball: Ball
    properties: MassProperties
    proof: Proof
    findings: tuple[Finding, ...]
    package: Package
    drilled: DrillPackage | None = None


def make(design_file: Path | str, target: Path | str) -> Made:
    """Do everything that a design asks for, into one folder, whole or not at all.

    Args:
        design_file: a design of format 1.
        target: the folder to write; an earlier one of ours is replaced when the new one is whole.

    Raises:
        RoutesDisagree: two routes differ by more than their bounds; nothing was changed.
        CorewrightError: the design, the ball or the target cannot be used; nothing was changed.
    """
    ball = build_ball(load(design_file))
    with whole_folder(Path(target), "make") as work:
        folder = work.path
        proof = prove(ball)
        if proof.disagreements:
            raise RoutesDisagree("\n".join(proof.disagreements))
        properties = weigh(ball)
        findings = check(ball, properties)
        write_json(folder / "figures.json", figures(ball, properties, proof.routes, timed=False))
        write_json(folder / "findings.json", findings_as_figures(ball, findings))
        (folder / "cutaway.png").write_bytes(picture(ball, properties))
        package = write_package(ball, folder, proof.facets)
        drilled = None
        if ball.design.drilling is not None:
            (folder / DRILLED).mkdir()
            drilled = write_drill_package(ball, folder / DRILLED)
        text = letter(ball, properties, findings, geometry(package), drilled=drilled is not None)
        (folder / "README.md").write_text(text, encoding="utf-8", newline="\n")
        write_design(ball.design, folder)
        write_manifest(folder, ball, package, "make")
    return Made(ball, properties, proof, findings, package, drilled)
