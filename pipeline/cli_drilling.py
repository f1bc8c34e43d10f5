"""The commands that drill: a map of layouts, and what a driller is handed."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from pipeline.cli_words import AsJson, DesignFile, SchedulerAddress, Workers, print_json, progress


def add(app: typer.Typer) -> None:
    """Give the command line these commands."""
    app.command()(layouts)


def layouts(
    file: DesignFile,
    out: Annotated[Path, typer.Option(help="the folder to write")],
    pin: Annotated[str, typer.Option(help="pin to axis point, from and to, inches")] = "1:6.5",
    val: Annotated[
        str, typer.Option(help="pin to vertical axis line, from and to, inches")
    ] = "0:4",
    steps: Annotated[str, typer.Option(help="how many values of each")] = "20x20",
    workers: Workers = 0,
    scheduler: SchedulerAddress = "",
    json: AsJson = False,
) -> None:
    """Map what layouts of a grip leave of a core's figures."""
    from pipeline.ball import build_ball
    from pipeline.crew import Crew
    from pipeline.folder import check_target
    from pipeline.layouts import field_of, mapped, parse_ends, parse_steps, within_in
    from pipeline.layouts_results import as_figures, write_layouts
    from pipeline.load import load

    ends = parse_ends("pin", pin), parse_ends("val", val)
    counts = parse_steps(steps)
    field = field_of(build_ball(load(file)), *ends, counts)
    check_target(out)
    with progress() as told:
        found = mapped(field, Crew(workers, scheduler), told)
    within = within_in(field, found)
    write_layouts(field, found, within, out)
    if json:
        print_json(as_figures(field, found, within))
        return
    typer.echo(
        f"weighed {int(found.closes.sum())} layouts of {field.count}, RGs within {within:.0e} in; "
        f"wrote {out}"
    )
