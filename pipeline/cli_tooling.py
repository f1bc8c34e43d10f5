"""The commands on tooling packages: make one, and hold one that came back."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from pipeline.cli_words import AsJson, DesignFile, print_json


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
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="a folder that we made")],
    json: AsJson = False,
) -> None:
    """A folder that came back: bytes, geometry and figures."""
    from dataclasses import asdict

    from pipeline.verify import verify as hold

    seen = hold(folder)
    wrong = [one for one in seen if not one.passed]
    if json:
        print_json({"folder": str(folder), "passed": not wrong, "seen": [asdict(s) for s in seen]})
    else:
        for one in wrong:
            typer.echo(f"\u2717 {one.what}: {one.note}")
        good = len(seen) - len(wrong)
        typer.echo(f"{folder}: {good} of {len(seen)} things are as they were written")
    if wrong:
        raise typer.Exit(1)
