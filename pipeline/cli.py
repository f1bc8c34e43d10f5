"""The command line: parse words, call one stage, print.

Exit status: 0 done; 1 done, but a limit is broken or the routes to a figure disagree; 2 the input
cannot be used; 3 an internal failure, with the file to send.
"""

from __future__ import annotations

import sys
from pathlib import Path
from shlex import quote
from typing import TYPE_CHECKING, Annotated

import typer

from pipeline import cli_dossier, cli_drilling, cli_pictures, cli_search, cli_tooling
from pipeline.cli_words import AsJson, DesignFile, print_json

if TYPE_CHECKING:
    from pipeline.ball import Ball

app = typer.Typer(
    add_completion=False,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    help="Weigh, check, picture and hand over bowling-ball cores, from a design file.",
)

_STOPPED = "stopped; no file was changed, and what is done of a long work is kept beside it"
_INTERRUPTED = 130  # how a shell says Ctrl-C, and what typer makes of it


@app.command()
def new(
    name: Annotated[str, typer.Argument(help="the ball's name, or a shipped design's")] = "Plover",
    out: Annotated[Path | None, typer.Option(help="the file to write")] = None,
) -> None:
    """Write a commented starter design.

    The name of a shipped design (dunlin, godwit, turnstone) gives a copy of that one, that of a
    drilling of one (dunlin-drilled, turnstone-drilled) the drilling, and dunlin-storyboard its
    storyboard, to lie beside it.
    """
    from pipeline.errors import OutputError
    from pipeline.folder import whole_file
    from pipeline.naming import file_stem
    from pipeline.shipped import STORYBOARDS
    from pipeline.starter import starter

    target = out or Path(f"{file_stem(name)}.yaml")
    text = starter(name, str(target))
    if target.exists():
        raise OutputError(f"{target} is there already; give another name, or --out")
    with whole_file(target) as path:
        path.write_bytes(text.encode())
    if name.lower() in STORYBOARDS:
        typer.echo(f"wrote {target}; the designs that it names must lie beside it: corewright new "
                   "dunlin, godwit and turnstone")  # fmt: skip
        return
    typer.echo(f"wrote {target}; now try:  corewright weigh {quote(str(target))}")


@app.command()
def weigh(
    file: DesignFile,
    json: AsJson = False,
    prove: Annotated[
        bool,
        typer.Option("--prove", help="weigh by every route and hold them together"),
    ] = False,
) -> None:
    """Mass, RGs, differentials, axes, parts."""
    from pipeline.ball import build_ball
    from pipeline.figures import figures
    from pipeline.load import load
    from pipeline.prove import first_route
    from pipeline.prove import prove as prove_ball
    from pipeline.report import weighed

    ball = build_ball(load(file))
    if ball.design.drilling is not None:
        _weigh_drilled(ball, json=json, prove=prove)
        return
    route = first_route(ball)
    properties = route.properties
    proof = prove_ball(ball) if prove else None
    if json:
        print_json(figures(ball, properties, proof.routes if proof else [route]))
    else:
        typer.echo(weighed(ball, properties, proof))
    if proof and proof.disagreements:
        _fail(proof.disagreements)


@app.command()
def check(file: DesignFile, json: AsJson = False) -> None:
    """Limits with margins and sources."""
    from pipeline.ball import build_ball
    from pipeline.check import check as check_ball
    from pipeline.check import failed
    from pipeline.drill_check import check_drilled
    from pipeline.drilled import drill
    from pipeline.figures import figures, findings_as_figures
    from pipeline.load import load
    from pipeline.prove import prove
    from pipeline.report import checked, routes
    from pipeline.weigh import weigh as weigh_ball

    ball = build_ball(load(file))
    properties = weigh_ball(ball)
    proof = prove(ball)
    findings = check_ball(ball, properties)
    drilled = drill(ball)
    if drilled is not None:
        findings = (*findings, *check_drilled(drilled))
    if json:
        found = findings_as_figures(ball, findings)
        print_json({**found, "routes": figures(ball, properties, proof.routes)["routes"]})
    else:
        typer.echo("\n".join([checked(ball, findings), "", *routes(proof)]))
    if proof.disagreements:
        _fail(proof.disagreements)
    if failed(findings):
        raise typer.Exit(1)


@app.command()
def shapes(
    name: Annotated[
        str | None, typer.Argument(metavar="NAME", help="a shape's word, to tell of that one")
    ] = None,
    json: AsJson = False,
    picture: Annotated[
        Path | None, typer.Option(help="also draw its typical body: the PNG file to write")
    ] = None,
) -> None:
    """The shapes there are, and what each parameter does."""
    from pipeline import shape_pages

    if name is None:
        if picture is not None:
            raise typer.BadParameter("say which shape to draw: corewright shapes NAME --picture")
        if json:
            print_json(shape_pages.listing_as_figures())
        else:
            typer.echo(shape_pages.listing())
        return
    word = shape_pages.word_of(name)
    drawn = shape_pages.drawn(word) if picture is not None else b""
    if json:
        print_json(shape_pages.page_as_figures(word))
    else:
        typer.echo(shape_pages.page(word))
    if picture is not None:
        from pipeline.folder import whole_file

        with whole_file(picture) as path:
            path.write_bytes(drawn)
        typer.echo(f"wrote {picture}", err=json)


cli_pictures.add(app)
cli_search.add(app)
cli_drilling.add(app)
cli_tooling.add(app)
cli_dossier.add(app)


@app.command()
def make(
    file: DesignFile,
    out: Annotated[Path, typer.Option(help="the folder to write")],
    json: AsJson = False,
) -> None:
    """All of it into one folder, whole or not at all."""
    from pipeline.check import failed
    from pipeline.figures import figures
    from pipeline.make import make as make_all
    from pipeline.report import checked, weighed

    made = make_all(file, out)
    if json:
        print_json(figures(made.ball, made.properties, made.proof.routes))
    else:
        typer.echo(weighed(made.ball, made.properties, made.proof))
        typer.echo("")
        typer.echo(checked(made.ball, made.findings))
        if made.drilled is not None:
            typer.echo("")
            typer.echo(checked(made.ball, made.drilled.findings))
        typer.echo(f"\nwrote {out}; start with {out / 'README.md'} and {out / 'cutaway.png'}")
    if failed(made.findings) or (made.drilled and failed(made.drilled.findings)):
        raise typer.Exit(1)


def _weigh_drilled(ball: Ball, *, json: bool, prove: bool) -> None:
    from pipeline.drilled_figures import drilled_figures
    from pipeline.drilled_report import drilled_report
    from pipeline.prove import first_route
    from pipeline.prove_drilled import drilled_route, prove_drilled

    drilled, route = drilled_route(ball)
    disagreements: tuple[str, ...] = ()
    routes = [route]
    if prove:
        proof = prove_drilled(drilled, route)
        routes, disagreements = list(proof.routes), proof.disagreements
    if json:
        print_json(drilled_figures(drilled, routes, [first_route(ball)]))
    else:
        typer.echo(drilled_report(drilled, routes))
    if disagreements:
        _fail(disagreements)


def _fail(sentences: tuple[str, ...]) -> None:
    for sentence in sentences:
        typer.echo(sentence, err=True)
    raise typer.Exit(1)


def main() -> None:
    """The `corewright` command: run, and turn what went wrong into words and an exit status."""
    for stream in (
        sys.stdout,
        sys.stderr,
    ):  # names may hold letters that the terminal cannot show
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure:
            reconfigure(errors="replace")
    try:
        app()
    except SystemExit as done:
        if done.code == _INTERRUPTED:
            typer.echo(
                "stopped; no file was changed, and what is done of a long work is kept beside it",
                err=True,
            )
        raise
    except Exception as error:
        sys.exit(_explain(error))


def _explain(error: Exception) -> int:
    """Say what went wrong; the exit status."""
    from pipeline.errors import CorewrightError, RoutesDisagree

    if isinstance(error, RoutesDisagree):
        typer.echo(str(error), err=True)
        return 1
    if isinstance(error, CorewrightError):
        typer.echo(str(error), err=True)
        return 2
    if isinstance(error, OSError):
        where = f"{error.filename}: " if error.filename else ""
        typer.echo(f"{where}{error.strerror or error}; nothing was changed", err=True)
        return 2
    return _internal(error)


def _internal(error: Exception) -> int:
    """An internal failure: keep what is needed to mend it."""
    import tempfile
    import traceback

    from pipeline.errors import KernelFault

    text = "".join(traceback.format_exception(error))
    with tempfile.NamedTemporaryFile(
        "w", prefix="corewright-fault-", suffix=".txt", delete=False, encoding="utf-8"
    ) as file:
        file.write(f"{' '.join(sys.argv)}\n{text}")
    what = str(error) if isinstance(error, KernelFault) else f"{type(error).__name__}: {error}"
    typer.echo(
        f"internal failure: {what}\nNothing was written. Please send {file.name} with your design.",
        err=True,
    )
    return 3


if __name__ == "__main__":
    main()
