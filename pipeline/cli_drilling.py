"""The commands that drill: a map of layouts, and what a driller is handed."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from pipeline.cli_words import AsJson, DesignFile, SchedulerAddress, Workers, print_json, progress


def add(app: typer.Typer) -> None:
    """Give the command line these commands."""
    for command in (drill, layouts):
        app.command()(command)


def drill(
    file: DesignFile,
    out: Annotated[Path, typer.Option(help="the folder to write")],
    paper: Annotated[str, typer.Option(help="of the sheet: a4 or letter")] = "a4",
    json: AsJson = False,
) -> None:
    """The drilled ball: sheet, STEP and STL, pictures, figures, rules."""
    from pipeline.ball import build_ball
    from pipeline.check import failed
    from pipeline.drill_package import drill_package
    from pipeline.drilled_figures import drilled_figures
    from pipeline.drilled_report import drilled_report
    from pipeline.errors import OutputError
    from pipeline.load import load
    from pipeline.prove import first_route
    from pipeline.report import checked

    if paper not in ("a4", "letter"):
        raise OutputError(f"--paper: there is no '{paper}'; the sheet comes as a4 or letter")
    ball = build_ball(load(file))
    made = drill_package(ball, out, "a4" if paper == "a4" else "letter")
    if json:
        print_json(drilled_figures(made.drilled, made.proof.routes, [first_route(ball)]))
    else:
        typer.echo(drilled_report(made.drilled, list(made.proof.routes)))
        typer.echo("")
        typer.echo(checked(ball, made.findings))
        typer.echo(f"\nwrote {out}; start with {out / 'drill-sheet.pdf'}")
    if failed(made.findings):
        raise typer.Exit(1)


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
    check_target(out, "layouts")
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
