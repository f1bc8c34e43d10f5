"""A folder that came back, held against its manifest: bytes, geometry, figures.

Hashes tell whether a byte changed.  Geometry is read and measured anew, so that a file which was
scaled, swapped or written again is caught even where somebody wrote its new hash down; figures are
worked out again from the design in the folder.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import Any

import numpy as np

from pipeline.ball import build_ball
from pipeline.drilled import drill
from pipeline.errors import CorewrightError, KernelFault
from pipeline.folder import MANIFEST
from pipeline.load import load
from pipeline.manifest import NotOurs, read_manifest
from pipeline.quantities import quantities_of
from pipeline.units import G_PER_LB, MM_PER_IN
from pipeline.weigh import MassProperties, weigh

_SURFACE_ONLY = ("chord",)  # what takes the exact surface to measure, which a file does not hold
_ROUNDED = 0.5  # of the last digit written: what the manifest itself leaves out
_WRITTEN = 1e-8  # in or lb: figures are written to a bound, the least of which is this
_LEAST = {"mm": 1e-6, "mm2": 1e-4, "mm3": 1e-3, "mm5": 1.0}


@dataclass(frozen=True)
class Seen:
    """One thing that was looked at.

    Attributes:
        what: file, body and quantity in words.
        passed: whether it is as it should be.
        note: what was found where it is not.
    """

    what: str
    passed: bool
    note: str = ""


def verify(folder: Path) -> tuple[Seen, ...]:
    """Hold a folder against its manifest.

    Args:
        folder: as it was written by `make`, `handover`, `drill` or another of our commands.

    Raises:
        NotOurs: there is no manifest of ours, or it cannot be read.
    """
    manifest = _manifest(folder)
    found = [*_files(folder, manifest)]
    changed = {seen.what for seen in found if not seen.passed}
    found += _geometry(folder, manifest, changed)
    found += _findings(folder, manifest)
    found += _figures(folder)
    return tuple(found)


def _manifest(folder: Path) -> Mapping[str, Any]:
    data = read_manifest(folder)
    rows = data.get("files")
    if not isinstance(rows, list) or not all(_is_row(row) for row in rows):
        raise NotOurs(f"{folder / MANIFEST} lists no files with names and SHA-256 hashes")
    return data


def _is_row(row: Any) -> bool:
    """Whether a row of the manifest names a file below its folder, and a hash."""
    if not isinstance(row, dict) or not isinstance(row.get("name"), str):
        return False
    name = PurePosixPath(row["name"])
    windows = PureWindowsPath(row["name"])
    outside = name.is_absolute() or ".." in name.parts or bool(windows.drive) or "\\" in str(name)
    return not outside and isinstance(row.get("sha256"), str)


def _files(folder: Path, manifest: Mapping[str, Any]) -> Iterator[Seen]:
    """Every file that is listed is there byte for byte, and no other is."""
    listed = {row["name"]: row["sha256"] for row in manifest["files"]}
    for name, due in sorted(listed.items()):
        path = folder / name
        if not path.is_file():
            yield Seen(name, False, "the file is missing")
            continue
        with path.open("rb") as stream:
            same = hashlib.file_digest(stream, "sha256").hexdigest() == due
        yield Seen(name, same, "" if same else "its bytes are not those that were written")
    for path in sorted(p for p in folder.rglob("*") if p.is_file()):
        name = path.relative_to(folder).as_posix()
        if name != MANIFEST and name not in listed:
            yield Seen(name, False, "the manifest does not list it")


def _geometry(folder: Path, manifest: Mapping[str, Any], changed: set[str]) -> Iterator[Seen]:
    """Every quantity that was measured when the files were written, measured anew."""
    rows = manifest.get("comparisons", [])
    for name in dict.fromkeys(row["file"] for row in rows):
        path = folder / name
        if not path.is_file():
            continue  # told already
        own = [r for r in rows if r["file"] == name and r["quantity"] not in _SURFACE_ONLY]
        try:
            asked = quantities_of(path)
        except KernelFault as error:
            yield Seen(f"{name}: geometry", False, str(error))
            continue
        failed = [seen for seen in (_held(row, asked) for row in own) if not seen.passed]
        yield from failed
        if not failed:
            more = "; its bytes differ all the same" if name in changed else ""
            yield Seen(f"{name}: geometry", True, f"{len(own)} quantities measured anew{more}")


def _held(row: Mapping[str, Any], asked: Callable[[str, str], Any]) -> Seen:
    """One comparison of the manifest made anew."""
    found, due = asked(row["body"], row["quantity"]), row["due"]
    what = ": ".join(word for word in (row["file"], row["body"], row["quantity"]) if word)
    if isinstance(due, bool | str | int) or found is None:
        return Seen(what, found == due, "" if found == due else f"{found} where {due} is due")
    room = row["tolerance"] + _ROUNDED * _LEAST.get(row["unit"], 0.0)
    gap = float(np.abs(np.subtract(found, due)).max())
    unit = row["unit"]
    return Seen(
        what,
        gap <= room,
        "" if gap <= room else f"off by {gap:.6g} {unit}, {room:.3g} {unit} is allowed",
    )


def _findings(folder: Path, manifest: Mapping[str, Any]) -> Iterator[Seen]:
    """The checks of a tooling package against those that its manifest tells."""
    stored = folder / "findings.json"
    if "findings" not in manifest or not stored.is_file():
        return
    try:
        same = json.loads(stored.read_text(encoding="utf-8"))["findings"] == manifest["findings"]
    except (ValueError, KeyError, TypeError):
        same = False
    yield Seen("findings.json", same, "" if same else "it tells other checks than the manifest")


def _figures(folder: Path) -> Iterator[Seen]:
    """The figures in the folder against the design in the folder, weighed anew."""
    design, stored = folder / "design.yaml", folder / "figures.json"
    if not design.is_file() or not stored.is_file():
        return
    try:
        told = json.loads(stored.read_text(encoding="utf-8"))
        ball = build_ball(load(design))
        pairs = [(told.get("undrilled", told), weigh(ball), "figures.json")]
        if "undrilled" in told:
            drilled = drill(ball)
            if drilled is None:
                yield Seen("figures.json", False, "it is of a drilled ball, the design drills none")
                return
            pairs.append((told, drilled.properties, "figures.json, drilled"))
        for said, properties, name in pairs:
            yield _same_figures(said, properties, name)
    except (CorewrightError, KeyError, TypeError, ValueError) as error:
        yield Seen("figures.json", False, f"it cannot be held against the design: {error}")


def _same_figures(said: Mapping[str, Any], properties: MassProperties, name: str) -> Seen:
    """Mass, RGs and centre of gravity, within the bounds of both."""
    rg_in = properties.principal.rg_mm / MM_PER_IN
    bound = said["error_bound"]
    room = bound["rg_in"] + properties.bound.rg_mm / MM_PER_IN + _WRITTEN
    gaps = {
        "RG": (float(np.abs(rg_in - list(said["rg_in"].values())).max()), room),
        "mass": (
            abs(properties.mass_g / G_PER_LB - said["mass_lb"]),
            bound["mass_lb"] + properties.bound.mass_g / G_PER_LB + _WRITTEN,
        ),
        "centre of gravity": (
            float(
                np.abs(
                    properties.centre_of_gravity_mm / MM_PER_IN - said["centre_of_gravity_in"]
                ).max()
            ),
            room,
        ),
    }
    wrong = [f"{word} by {gap:.2e}" for word, (gap, most) in gaps.items() if gap > most]
    note = f"the design gives other figures: {', '.join(wrong)}" if wrong else ""
    return Seen(name, not wrong, note)
