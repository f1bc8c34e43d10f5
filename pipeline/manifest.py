"""The manifest of a folder: every file by size and hash, how it was verified, and by what."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Mapping
from dataclasses import asdict
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

from pipeline.ball import Ball
from pipeline.comparison import Comparison, Value
from pipeline.design import Design
from pipeline.errors import CorewrightError, OutputError
from pipeline.folder import FORMAT, MANIFEST
from pipeline.package_files import Package, PackageFile, file_of, write_json
from pipeline.stl import CHORD_MM

SIZE = "as designed; no shrinkage applied"
_LIBRARIES = ("cadquery", "cadquery-ocp", "numpy", "numpy-stl", "trimesh")
_DIGITS = {  # worth writing down, by unit
    "mm": 6,
    "mm2": 4,
    "mm3": 3,
    "mm5": 0,
}


class NotOurs(CorewrightError):
    """The folder holds no package that can be verified."""


def read_manifest(folder: Path) -> dict[str, Any]:
    """The manifest of a folder of ours.

    Raises:
        NotOurs: there is none, or it cannot be read.
    """
    path = folder / MANIFEST
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise NotOurs(f"{folder} holds no {MANIFEST}: no folder that Corewright made") from None
    except (OSError, ValueError) as error:
        raise NotOurs(f"{path} cannot be read: {error}") from error
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        raise NotOurs(f"{path} is no manifest of ours: its format is not '{FORMAT}'")
    return data


def write_manifest(
    folder: Path,
    ball: Ball,
    package: Package,
    made_by: str,
    size: str = SIZE,
    more: Mapping[str, Any] | None = None,
) -> None:
    """Write the manifest of a folder: every file in it by size and hash, and how it was verified.

    Args:
        folder: complete but for the manifest.
        ball: the ball.
        package: the geometry in the folder.
        made_by: the command that made it.
        size: of the geometry, in words.
        more: other entries.
    """
    known = {file.name: file for file in package.files}
    files = []
    for path in sorted(p for p in folder.rglob("*") if p.is_file()):
        name = path.relative_to(folder).as_posix()
        if name != MANIFEST:
            files.append(_row(known.get(name) or file_of(path, "", name)))
    manifest = {
        "format": FORMAT,
        "made_by": made_by,
        "design": identity(ball),
        "unit": "mm",
        "frame": "origin at the ball's centre, +Z to the pin, right-handed",
        "size": size,
        "chord_mm": CHORD_MM,
        "versions": versions(),
        **(more or {}),
        "files": files,
        "comparisons": [_written(row) for row in package.comparisons],
    }
    write_json(folder / MANIFEST, manifest)


def identity(ball: Ball) -> dict[str, str | None]:
    """Which design a folder was made from."""
    design = ball.design
    return {
        "name": design.name,
        "revision": design.revision,
        "date": design.date,
        "sha256": design.sha256,
    }


def write_design(design: Design, folder: Path) -> None:
    """Write the design and the files that it refers to into a folder, to be made from there again.

    Raises:
        OutputError: one of them has the name of a file that is there.
    """
    for name, data in (
        ("design.yaml", design.source),
        *((a.name, a.data) for a in design.attachments),
    ):
        path = folder / name
        if path.exists() or name == MANIFEST:
            raise OutputError(
                f"{design.file}: it refers to '{name}', which is also the name of a file that is "
                "written beside it; rename it, or put it into a folder"
            )
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)


def versions() -> dict[str, str]:
    """Ours and those of the libraries that write and read geometry."""
    return {"corewright": _own_version(), **{name: version(name) for name in _LIBRARIES}}


def _row(file: PackageFile) -> dict[str, Any]:
    sag = None if file.sag_mm is None else round(file.sag_mm, 6)
    row = {**asdict(file), "sag_mm": sag}
    return {key: value for key, value in row.items() if value not in (None, "")}


def _written(row: Comparison) -> dict[str, Any]:
    """A comparison with its numbers rounded to what they are worth."""
    digits = _DIGITS.get(row.unit, 0)
    found = asdict(row)
    found["due"], found["found"] = _rounded(row.due, digits), _rounded(row.found, digits)
    found["tolerance"] = float(f"{row.tolerance:.3g}")
    return found


def _rounded(value: Value, digits: int) -> Any:
    if isinstance(value, tuple):
        return [round(x, digits) + 0.0 for x in value]
    return round(value, digits) + 0.0 if isinstance(value, float) else value


def _own_version() -> str:
    try:
        return version("corewright")
    except PackageNotFoundError:
        project = Path(__file__).parents[1] / "pyproject.toml"
        if project.is_file():
            return str(tomllib.loads(project.read_text("utf-8"))["project"]["version"])
        return "unknown"
