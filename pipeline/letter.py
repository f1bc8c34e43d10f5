"""The one page that goes with a folder: what it is, what it says, how far to trust it."""

from __future__ import annotations

from pipeline.ball import Ball
from pipeline.check import Finding
from pipeline.digits import inches
from pipeline.report import SIGNS
from pipeline.units import G_PER_LB, G_PER_OZ, MM_PER_IN
from pipeline.weigh import MassProperties

CAUTIONS = """\
## Before anything is made from this

- Every verdict here is a design estimate. Only the governing body certifies a ball, from samples.
- Geometry is at design size: no shrinkage, no draft and no machining stock is applied. Take the
  shrinkage from a trial pour of the compound, and apply it once.
- Check the first article: size, mass and a measured RG.
- Resins, isocyanates, peroxides, fillers and drilling dust can harm people, and thick pours
  overheat. Follow the data sheets, local codes and licensed practice.
"""

FRAME = """\
## Frame and units

The origin is the ball's geometric centre, +Z points to the pin, right-handed. Files are in
millimetres.
"""


def letter(
    ball: Ball,
    properties: MassProperties,
    findings: tuple[Finding, ...],
    geometry: str,
    *,
    drilled: bool = False,
) -> str:
    """The README of a folder that `make` leaves, as Markdown.

    Args:
        ball: the ball.
        properties: what it weighs.
        findings: the limits held against it.
        geometry: the section on the geometry files and how they were verified.
        drilled: whether a folder `drilled` lies beside it.
    """
    return "\n".join(
        [
            f"# {ball.design.name}, revision {ball.design.revision}",
            "",
            "![The ball cut open, with its axes and marks](cutaway.png)",
            "",
            *(
                ["All of this is the undrilled ball; `drilled` holds the drilled one.", ""]
                if drilled
                else []
            ),
            *_figures(properties),
            "",
            *_parts(ball),
            "",
            *_limits(findings),
            "",
            FRAME,
            geometry,
            CAUTIONS,
            "`design.yaml` is the design that all of this was made from, `figures.json` and "
            "`findings.json` hold the figures for scripts, `manifest.json` the hash of every file "
            "and how it was verified.",
            "",
        ]
    )


def _figures(properties: MassProperties) -> list[str]:
    named = properties.principal.named_mm().items()
    pin_to_cg = properties.pin_to_cg_mm()
    rows = [
        ("mass", f"{properties.mass_g / G_PER_LB:.3f} lb"),
        *((name, f"{inches(mm, properties, 4)} in") for name, mm in named),
        ("symmetry", properties.principal.symmetry),
        ("pin to CG", "undefined" if pin_to_cg is None else f"{pin_to_cg / MM_PER_IN:.2f} in"),
        ("static imbalance, undrilled", f"{properties.static_imbalance_g() / G_PER_OZ:.2f} oz"),
    ]
    return ["| figure | value |", "| --- | --- |", *(f"| {a} | {b} |" for a, b in rows)]


def _parts(ball: Ball) -> list[str]:
    lines = ["| part | material | density g/cm3 | mass lb |", "| --- | --- | --- | --- |"]
    for part in ball.parts:
        name, material = (text.replace("|", "\\|") for text in (part.name, part.material))
        lines.append(
            f"| {name} | {material} | {part.density_g_cm3:.4f} | {part.mass_g / G_PER_LB:.3f} |"
        )
    return lines


def _limits(findings: tuple[Finding, ...]) -> list[str]:
    lines = ["| limit | value | allowed | verdict |", "| --- | --- | --- | --- |"]
    for f in findings:
        value = "undefined" if f.value is None else f"{f.value:.4f}"
        lines.append(f"| {f.rule} | {value} | {f.limit} | {SIGNS[f.verdict]} {f.verdict} |")
    return lines
