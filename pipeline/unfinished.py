"""Work that takes long, kept beside its target until it is done, so that nothing of it is lost.

What is done lies in a folder named after the target with `.unfinished`.  A plan in it says what is
being made; the same command goes on from there, and another one is refused.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from pipeline.errors import OutputError
from pipeline.folder import whole_file

_PLAN = "plan.json"


def unfinished(target: Path) -> Path:
    """Where the pieces of a target lie until it is done."""
    return target.with_name(f"{target.name}.unfinished")


def begin(target: Path, said: Any, what: str) -> Path:
    """The folder for the pieces of a target, made, or found as it was left.

    Args:
        target: what is to be made.
        said: what makes two of them the same: plain values, as JSON has them.
        what: what a folder with another plan holds the beginnings of.

    Raises:
        OutputError: it holds the beginnings of something else.
    """
    place = unfinished(target)
    plan = json.loads(json.dumps(said, allow_nan=False))
    if place.exists() and not (place.is_dir() and not any(place.glob("[!.]*"))):
        try:
            found = json.loads((place / _PLAN).read_text(encoding="utf-8"))
        except (OSError, ValueError):
            found = None
        if found != plan:
            raise OutputError(
                f"{place} holds the beginnings of {what}; remove it, or give another --out"
            )
        for half in place.glob(".*"):  # what a run was writing when it was killed
            if half.is_dir() and not half.is_symlink():
                shutil.rmtree(half, ignore_errors=True)
            else:
                half.unlink(missing_ok=True)
        return place
    place.mkdir(exist_ok=True)
    with whole_file(place / _PLAN) as path:
        path.write_text(json.dumps(plan, indent=1) + "\n", encoding="utf-8")
    return place


@contextmanager
def begun(target: Path, said: Any, what: str) -> Iterator[Path]:
    """As `begin`; if the work breaks before any of it is done, nothing is left of it."""
    place = begin(target, said, what)
    try:
        yield place
    except BaseException:
        if all(path.name == _PLAN or path.name.startswith(".") for path in place.iterdir()):
            end(target)
        raise


def end(target: Path) -> None:
    """Remove the pieces, once the target is made."""
    shutil.rmtree(unfinished(target), ignore_errors=True)
