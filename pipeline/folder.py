"""Folders and files that appear whole or not at all.

Work goes into a hidden neighbour of the target and is moved into its place when it is done.  What
was there before stays as it was until that move, and comes back if the move fails.
"""

from __future__ import annotations

import errno
import json
import os
import secrets
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pipeline.errors import OutputError

MANIFEST = "manifest.json"
FORMAT = "corewright package 1"  # under "format" in the manifest: by this a folder is known as ours
_FULL = {errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC)}
_DROPPINGS = {".DS_Store", "Thumbs.db", "desktop.ini"}  # left behind by file browsers


@dataclass
class Workplace:
    """Where to write while a folder is made.

    Attributes:
        path: a new empty folder beside the target.
        abandoned: nothing is to be kept.
    """

    path: Path
    abandoned: bool = False

    def abandon(self) -> None:
        """Leave the target as it was; whatever was written goes."""
        self.abandoned = True


def check_target(target: Path, made_by: str = "") -> None:
    """Refuse a folder that `whole_folder` would refuse, before the work that goes into it.

    Raises:
        OutputError: the target cannot be written or holds what is not ours.
    """
    place = target.resolve()
    _check_parent(place, target)
    _check_folder(place, target, made_by)


@contextmanager
def whole_folder(target: Path, made_by: str = "") -> Iterator[Workplace]:
    """Make a folder, whole or not at all.

    Args:
        target: the folder; an earlier one with a manifest of ours, or an empty one, is replaced.
        made_by: the command; a folder that another command made is not replaced.

    Raises:
        OutputError: the target cannot be written or holds what is not ours, or the disk is full;
            nothing was changed.
    """
    check_target(target, made_by)
    place = target.resolve()
    work = _beside(place, "new")
    with _told(target):
        work.mkdir()
    try:
        workplace = Workplace(work)
        with _told(target, inside=work):
            yield workplace
            if not workplace.abandoned:
                _flush(work)
        if not workplace.abandoned:
            _check_folder(place, target, made_by)
            _replace(work, place, target)
    finally:
        shutil.rmtree(work, ignore_errors=True)


@contextmanager
def whole_file(target: Path) -> Iterator[Path]:
    """Write a file, whole or not at all: yields the path to write, which then becomes the target.

    Raises:
        OutputError: the target cannot be written, or the disk is full; nothing was changed.
    """
    place = target.resolve()
    _check_parent(place, target)
    if place.is_dir():
        raise OutputError(f"{target} is a folder; give the path of a file")
    # the ending stays, for writers that go by it
    work = place.with_name(f".{place.stem}.{secrets.token_hex(4)}{place.suffix}")
    try:
        with _told(target, inside=work):
            yield work
            _flush_file(work)
            work.replace(place)
    finally:
        with suppress(OSError):
            work.unlink(missing_ok=True)


def _beside(place: Path, what: str) -> Path:
    return place.with_name(f".{place.name}.{secrets.token_hex(4)}.{what}")


def _check_parent(place: Path, target: Path) -> None:
    parent = place.parent
    if not parent.is_dir():
        raise OutputError(f"{target} cannot be written: there is no folder {parent}")
    if not os.access(parent, os.W_OK):
        raise OutputError(f"{target} cannot be written: {parent} may not be written to")


def _check_folder(place: Path, target: Path, made_by: str) -> None:
    """Refuse a target that is not an empty folder, a folder of ours, or nothing at all."""
    if not place.exists():
        return
    if not place.is_dir():
        raise OutputError(f"{target} is a file; give the path of a folder")
    here = Path.cwd().resolve()
    if here == place or place in here.parents:
        raise OutputError(
            f"{target} is the folder you are in, or one that holds it; give the path of another one"
        )
    found = [entry for entry in sorted(place.iterdir()) if entry.name not in _DROPPINGS]
    listed = _listed(place)
    if found and listed is None:
        raise OutputError(
            f"{target} holds files that are not ours, such as {found[0].name}; give the path of a "
            "new or empty folder"
        )
    other = _made_by(place)
    if found and made_by and other and other != made_by:
        raise OutputError(
            f"{target} was made by `corewright {other}`, and this is `corewright {made_by}`: move "
            "it away, or give the path of another folder"
        )
    strange = [name for name in _names(place) if name not in (listed or set())]
    if found and strange:
        raise OutputError(
            f"{target} holds {strange[0]}, which is not ours; move it away, or give the path of "
            "another folder"
        )


def _listed(place: Path) -> set[str] | None:
    """The files that the folder's manifest names, with the manifest; None when it is not ours."""
    try:
        manifest: Any = json.loads((place / MANIFEST).read_text(encoding="utf-8"))
        if manifest["format"] != FORMAT:
            return None
        return {MANIFEST, *(row["name"] for row in manifest["files"])}
    except (OSError, ValueError, KeyError, TypeError):
        return None


def _made_by(place: Path) -> str:
    """The command that made a folder of ours; empty when it does not say."""
    try:
        return str(json.loads((place / MANIFEST).read_text(encoding="utf-8")).get("made_by", ""))
    except (OSError, ValueError, AttributeError):
        return ""


def _names(place: Path) -> list[str]:
    """Every file in a folder, by its path from there with forward slashes."""
    return sorted(
        path.relative_to(place).as_posix()
        for path in place.rglob("*")
        if not path.is_dir() and path.name not in _DROPPINGS
    )


def _replace(work: Path, place: Path, target: Path) -> None:
    """Move a finished folder into its place; what was there comes back if that fails."""
    old = _beside(place, "old")
    try:
        if place.exists():
            place.rename(old)
        work.rename(place)
    except BaseException as error:
        if old.exists() and not place.exists():
            old.rename(place)
        if isinstance(error, OSError):
            raise OutputError(
                f"{target} cannot be replaced ({error.strerror}); is a file of it open? "
                "nothing was changed"
            ) from error
        raise
    shutil.rmtree(old, ignore_errors=True)


@contextmanager
def _told(target: Path, inside: Path | None = None) -> Iterator[None]:
    """Turn what the system says about our own files into a sentence."""
    try:
        yield
    except OSError as error:
        if error.errno in _FULL:
            raise OutputError(
                f"{target} cannot be written: the disk is full; nothing was changed"
            ) from error
        ours = inside is None or str(error.filename or "").startswith(str(inside))
        if not ours:
            raise
        raise OutputError(
            f"{target} cannot be written: {error.strerror}; nothing was changed"
        ) from error


def _flush(folder: Path) -> None:
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            _flush_file(path)


def _flush_file(path: Path) -> None:
    """Have the system put a file on the disk before it is given its name."""
    with path.open("r+b") as file:
        os.fsync(file.fileno())
