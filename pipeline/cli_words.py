"""What commands share: words of the command line, figures for machines, progress."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from time import monotonic
from typing import Annotated, Any

import typer

DesignFile = Annotated[Path, typer.Argument(metavar="FILE", help="a design file (YAML, format 1)")]
Workers = Annotated[int, typer.Option(help="processes to start; 0 works in this one")]
SchedulerAddress = Annotated[
    str, typer.Option(help="or the address of a Dask scheduler that runs already")
]
AsJson = Annotated[bool, typer.Option("--json", help="print figures for machines")]

_BAR = 24  # signs of a bar that shows how far work is


@contextmanager
def progress(what: str = "chunks") -> Iterator[Callable[[int, int], None]]:
    """A line on a terminal that tells how far the work is; nothing in a pipe."""
    if not sys.stderr.isatty():
        yield lambda _done, _all: None
        return
    began, before, last = monotonic(), 0, (0, 0)

    def told(done: int, of: int) -> None:
        nonlocal began, before, last
        if of != last[1] or done < last[0]:  # other work, or what was there already
            began, before = monotonic(), done
        last = done, of
        spent, made = monotonic() - began, done - before
        left = f", {spent / made * (of - done):.0f} s left" if made and spent > 2.0 else ""
        full = round(_BAR * done / of) if of else 0
        bar = "#" * full + "." * (_BAR - full)
        typer.echo(f"\r{bar} {done} of {of} {what}{left}\033[K", nl=False, err=True)

    try:
        yield told
    finally:
        typer.echo("\r\033[K", nl=False, err=True)


def print_json(value: Any) -> None:
    """Figures on standard output; no NaN ever stands in JSON."""
    import json

    typer.echo(json.dumps(value, indent=1, ensure_ascii=False, allow_nan=False))
