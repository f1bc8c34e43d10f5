"""The command that makes the review dossier."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from pipeline.cli_words import AsJson, DesignFile, print_json


def add(app: typer.Typer) -> None:
    """Give the command line this command."""
    app.command()(dossier)


def dossier(
    file: DesignFile,
    out: Annotated[Path, typer.Option(help="the HTML file to write")],
    pdf: Annotated[
        Path | None, typer.Option(help="the PDF to write; else beside --out, ending in .pdf")
    ] = None,
    paper: Annotated[str, typer.Option(help="of the PDF: a4 or letter")] = "a4",
    since: Annotated[
        Path | None, typer.Option(help="the page of an earlier dossier, to tell what changed")
    ] = None,
    json: AsJson = False,
) -> None:
    """The review document: one offline page, and the same as PDF."""
    from pipeline.ball import build_ball
    from pipeline.dossier.told import dossier_told, fails
    from pipeline.dossier.writing import paper_of, write_dossier
    from pipeline.load import load

    written = write_dossier(
        build_ball(load(file)), out, pdf or out.with_suffix(".pdf"), paper_of(paper), since
    )
    data = written.contents.data
    if json:
        print_json(data)
    else:
        typer.echo(dossier_told(data, written.page, written.pdf))
    if fails(data):
        raise typer.Exit(1)
