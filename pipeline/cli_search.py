"""The commands that search: many balls, the best of them, and the same core in others."""

from __future__ import annotations

from pathlib import Path
from shlex import quote
from typing import Annotated

import typer

from pipeline.cli_words import AsJson, DesignFile, SchedulerAddress, Workers, print_json, progress


def add(app: typer.Typer) -> None:
    """Give the command line these commands."""
    for command in (fit, lineup, sweep, pick, compare):
        app.command()(command)


def sweep(
    file: DesignFile,
    out: Annotated[Path, typer.Option(help="the folder to write")],
    samples: Annotated[int, typer.Option(help="how many balls, strewn evenly")] = 0,
    steps: Annotated[str, typer.Option(help="or a grid: 40 for every number, or 40x30")] = "",
    morph: Annotated[
        int, typer.Option(help="or frames of a film in which all numbers go from low to high")
    ] = 0,
    seed: Annotated[int, typer.Option(help="of the strewing")] = 1,
    workers: Workers = 0,
    scheduler: SchedulerAddress = "",
    json: AsJson = False,
) -> None:
    """Weigh many balls whose numbers vary, and map them.

    Killed, it goes on where it was when the same command is given again.
    """
    from dataclasses import asdict

    from pipeline.crew import Crew
    from pipeline.load import load_core
    from pipeline.samples import samples_of
    from pipeline.sweep import Plan, close, run
    from pipeline.sweep_results import write_sweep

    design = load_core(file)
    plan = Plan(design, samples_of(design.wanted.varied, samples, steps, morph, seed))
    with progress() as told:
        files = run(plan, out, Crew(workers, scheduler), told)
    swept = write_sweep(plan, files, out)
    close(out)
    if json:
        print_json(asdict(swept))
        return
    typer.echo(f"weighed {swept.rows} balls, of which {swept.good} can be; wrote {out}")
    for word, count in swept.why.items():
        typer.echo(f"  {count}: {word}")


def fit(
    file: DesignFile,
    out: Annotated[Path, typer.Option(help="the design file to write")],
    report: Annotated[
        Path | None, typer.Option(help="also a folder: report, map, pictures, other solutions")
    ] = None,
    starts: Annotated[int, typer.Option(help="from how many places to search")] = 12,
    seed: Annotated[int, typer.Option(help="of those places")] = 1,
    workers: Workers = 0,
    scheduler: SchedulerAddress = "",
    json: AsJson = False,
) -> None:
    """Find the core that meets a design's aims, and write its design."""
    from pipeline.crew import Crew
    from pipeline.design_out import check_design_file, check_place
    from pipeline.fit import fit as find
    from pipeline.fit_report import as_figures, told
    from pipeline.folder import check_target, whole_file
    from pipeline.load import load_core

    design = load_core(file)
    check_place(design, out)
    check_design_file(file, out)
    if report is not None:
        check_target(report, "fit")
    with whole_file(out) as path, progress() as tell:
        found = find(design, starts, seed, Crew(workers, scheduler), tell)
        path.write_bytes(found.best.source)
    if report is not None:
        from pipeline.fit_results import write_report

        write_report(found, report)
    if json:
        print_json(as_figures(found))
    else:
        typer.echo(told(found))
        typer.echo(f"\nwrote {out}" + (f" and {report}" if report else ""))
    if not found.best.met:
        raise typer.Exit(1)


def lineup(
    file: DesignFile,
    out: Annotated[Path, typer.Option(help="the folder to write")],
    weights: Annotated[
        str, typer.Option(help="ball weights in lb, such as 16,15,14; else those of the file")
    ] = "",
    json: AsJson = False,
) -> None:
    """Carry one core across ball weights."""
    from pipeline.folder import check_target
    from pipeline.lineup import line_up
    from pipeline.lineup_results import as_figures, parse_weights, told, write_line
    from pipeline.load import load_core

    design = load_core(file)
    check_target(out, "lineup")
    line = line_up(design, parse_weights(weights))
    write_line(design, line, out)
    if json:
        print_json(as_figures(design, line))
    else:
        typer.echo(told(design, line))
        typer.echo(f"\nwrote {out}")
    if not all(one.met for one in line):
        raise typer.Exit(1)


def compare(
    files: Annotated[list[Path], typer.Argument(metavar="FILE...", help="two designs or more")],
    json: AsJson = False,
) -> None:
    """Designs side by side, and whether they share a core."""
    from pipeline.compare import as_figures, told
    from pipeline.compare import compare as compare_designs
    from pipeline.load import load_core

    found = compare_designs([load_core(file) for file in files])
    if json:
        print_json(as_figures(found))
    else:
        typer.echo(told(found))


def pick(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="the folder of a sweep")],
    row: Annotated[int, typer.Option(help="the row of its table")],
    out: Annotated[Path, typer.Option(help="the design file to write")],
) -> None:
    """Write the design of one row of a sweep."""
    from pipeline.design_out import check_design_file, check_place
    from pipeline.folder import whole_file
    from pipeline.load import load
    from pipeline.pick import picked

    data = picked(folder, row)
    check_place(load(folder / "design.yaml"), out)
    check_design_file(folder / "design.yaml", out)
    with whole_file(out) as path:
        path.write_bytes(data)
    typer.echo(f"wrote {out}; now try:  corewright weigh {quote(str(out))}")
