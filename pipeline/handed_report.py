"""What is said on a tooling package: the form of its sheets by name, and what was handed over."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from pipeline.check import ESTIMATE
from pipeline.errors import OutputError
from pipeline.fields import nearest
from pipeline.handover import Handed
from pipeline.report import SIGNS
from pipeline.sheet_frame import PaperName, ProjectionName
from pipeline.tool_findings import decimals, findings_of
from pipeline.tool_sheets import Form

PAPERS: dict[str, PaperName] = {
    "a3": "A3", "a2": "A2", "ansi-b": "ANSI B", "ansi-c": "ANSI C",
}  # fmt: skip
PROJECTIONS: dict[str, ProjectionName] = {"first": "first", "third": "third"}


def form_of(paper: str, projection: str) -> Form:
    """The form that two words ask for.

    Raises:
        OutputError: there is no such paper or projection; names those there are.
    """
    for option, word, known in (
        ("--paper", paper, list(PAPERS)),
        ("--projection", projection, list(PROJECTIONS)),
    ):
        if word.lower() not in known:
            near = nearest(word.lower(), known)
            advice = f"; {near}" if near else ""
            raise OutputError(f"{option}: read '{word}'; allowed: {', '.join(known)}{advice}")
    return Form(PAPERS[paper.lower()], PROJECTIONS[projection.lower()])


def handed_told(handed: Handed, out: Path) -> str:
    """What was handed over, in lines for a terminal: the checks that do not pass, and a count."""
    lines = []
    for one in handed.checks:
        f = one.finding
        if f.verdict == "pass":
            continue
        places = decimals(f.rule, f.unit)
        value = "undefined" if f.value is None else f"{f.value:.{places}f} {f.unit}".strip()
        note = f"; {f.note}" if f.note else ""
        lines.append(
            f"{SIGNS[f.verdict]} {one.casting}: {f.rule}: {value} ({f.limit}), {f.verdict}{note}"
        )
    passed = sum(one.finding.verdict == "pass" for one in handed.checks)
    lines.append(f"{passed} of {len(handed.checks)} checks pass ({ESTIMATE})")
    if handed.changes is not None:
        lines.append(f"{len(handed.changes)} changes, told in CHANGES.md")
    lines.append(
        f"wrote {len(handed.package.files)} files to {out}; every file of geometry was read back "
        f"and measured, {len(handed.package.comparisons)} quantities"
    )
    return "\n".join(lines)


def handed_as_figures(handed: Handed, out: Path) -> dict[str, Any]:
    """The same for scripts."""
    changes = handed.changes
    return {
        "folder": str(out),
        "files": [file.name for file in handed.package.files],
        "comparisons": len(handed.package.comparisons),
        "findings": findings_of(handed.checks, {}),
        "changes": None if changes is None else [vars(change) for change in changes],
        "status": ESTIMATE,
    }
