"""The commands on tooling packages: make one, and hold one that came back."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from pipeline.cli_words import AsJson, DesignFile, print_json

if TYPE_CHECKING:
    from pipeline.verify import Seen


def add(app: typer.Typer) -> None:
    """Give the command line these commands."""
    for command in (handover, verify):
        app.command()(command)


def handover(
    file: DesignFile,
    out: Annotated[Path, typer.Option(help="the folder to write")],
    paper: Annotated[str, typer.Option(help="of the sheets: a3, a2, ansi-b or ansi-c")] = "a3",
    projection: Annotated[str, typer.Option(help="of the sheets: first or third angle")] = "first",
    since: Annotated[
        Path | None, typer.Option(help="an earlier package, to tell what changed")
    ] = None,
    json: AsJson = False,
) -> None:
    """All that a mould maker needs: castings, moulds, checks, sheets."""
    from pipeline.ball import build_ball
    from pipeline.handed_report import form_of, handed_as_figures, handed_told
    from pipeline.handover import handover as hand_over
    from pipeline.load import load

    form = form_of(paper, projection)
    handed = hand_over(build_ball(load(file)), out, form, since)
    if json:
        print_json(handed_as_figures(handed, out))
    else:
        typer.echo(handed_told(handed, out))
    if any(check.finding.verdict == "fail" for check in handed.checks):
        raise typer.Exit(1)


def verify(
    path: Annotated[
        Path, typer.Argument(metavar="PATH", help="a folder that we made, or a dossier's page")
    ],
    json: AsJson = False,
) -> None:
    """What came back: bytes, geometry and figures."""
    from dataclasses import asdict

    seen = _held(path)
    wrong = [one for one in seen if not one.passed]
    if json:
        kind = "page" if path.is_file() else "folder"
        rows = [asdict(one) for one in seen]
        print_json({kind: str(path), "passed": not wrong, "seen": rows})
    else:
        for one in wrong:
            typer.echo(f"\u2717 {one.what}: {one.note}")
        good = len(seen) - len(wrong)
        typer.echo(f"{path}: {good} of {len(seen)} things are as they were written")
    if wrong:
        raise typer.Exit(1)


def _held(path: Path) -> tuple[Seen, ...]:
    if path.is_file():
        from pipeline.dossier.verify_page import verify_page

        return verify_page(path)
    from pipeline.verify import verify as verify_folder

    return verify_folder(path)
