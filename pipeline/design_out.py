"""Where a design that was found may be written: nothing that is worth keeping is written over."""

from __future__ import annotations

from pathlib import Path

from pipeline.design import Design
from pipeline.errors import CorewrightError, OutputError
from pipeline.load import load


def check_place(design: Design, out: Path) -> None:
    """Refuse a place from which the fitted design would not find the files that it refers to.

    Raises:
        OutputError: it refers to files, and they lie elsewhere.
    """
    home = Path(design.file).resolve().parent
    if design.attachments and out.resolve().parent != home:
        names = ", ".join(a.name for a in design.attachments)
        raise OutputError(f"the design refers to {names}; write {out.name} into {home}")


def check_design_file(source: Path, out: Path) -> None:
    """Refuse to write over the design itself, or over what is no design of that ball.

    Raises:
        OutputError: the place is taken.
    """
    if not out.exists() or out.is_dir():
        return
    if source.exists() and out.samefile(source):
        raise OutputError(f"{out} is the design itself; give another name")
    try:
        earlier = load(out).name == load(source).name
    except CorewrightError:
        earlier = False
    if not earlier:
        raise OutputError(
            f"{out} is there already, and is no design of that ball; give another name"
        )
