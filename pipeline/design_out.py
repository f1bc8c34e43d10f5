"""Where a design that was found may be written: nothing that is worth keeping is written over."""

from __future__ import annotations

from pathlib import Path

from pipeline.design import Design
from pipeline.errors import CorewrightError, OutputError
from pipeline.load import load


def check_place(design: Design, out: Path) -> None:
    """Refuse a place from which a design would not find the files that it refers to.

    Raises:
        OutputError: one of them does not lie there, or another of that name does.
    """
    missing = [a.name for a in design.attachments if not _lies(out.parent / a.name, a.data)]
    if missing:
        raise OutputError(
            f"the design refers to {', '.join(missing)}, which must lie beside {out}: copy it "
            "there first, or write the design where it is"
        )


def _lies(path: Path, data: bytes) -> bool:
    try:
        return path.read_bytes() == data
    except OSError:
        return False


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
