"""The tooling package: one STEP file, one STL file a part, each read back and measured."""

from __future__ import annotations

import hashlib
import json
import os
import tomllib
from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from datetime import UTC, datetime
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pipeline.ball import Ball
from pipeline.comparison import Comparison, Due, Value
from pipeline.design import Design
from pipeline.errors import KernelFault, OutputError
from pipeline.folder import FORMAT, MANIFEST, whole_folder
from pipeline.kernel import kernel
from pipeline.letter import CAUTIONS, FRAME
from pipeline.naming import file_stem
from pipeline.readback import (
    CENTROID_SHARE,
    INERTIA_SHARE,
    VOLUME_SHARE,
    compare_step,
    read_step,
)
from pipeline.solids import PartSolid, solids_of
from pipeline.step import bodies_of, write_step
from pipeline.stl import CHORD_MM, compare_stl, joined, read_stl, write_stl

if TYPE_CHECKING:
    from shapes.facets import Facets

SIZE = "as designed; no shrinkage applied"
_LIBRARIES = ("cadquery", "cadquery-ocp", "numpy", "numpy-stl", "trimesh")
_DIGITS = {
    "mm": 6,
    "mm2": 4,
    "mm3": 3,
    "mm5": 0,
}  # worth writing down, by unit


@dataclass(frozen=True)
class PackageFile:
    """One file of a package.

    Attributes:
        name: within its folder.
        what: what it is, in words.
        size_bytes, sha256: of its bytes.
        sag_mm: of an STL file: how far it was found to lie from the surface; None for others.
    """

    name: str
    what: str
    size_bytes: int
    sha256: str
    sag_mm: float | None = None


@dataclass(frozen=True)
class Package:
    """What was written: the files, the STEP file first, and the comparisons, all passed."""

    files: tuple[PackageFile, ...]
    comparisons: tuple[Comparison, ...]


def handover(ball: Ball, target: Path) -> Package:
    """Make the folder for the mould maker, whole or not at all.

    Args:
        ball: the ball.
        target: the folder to write; see `pipeline.folder.whole_folder`.

    Raises:
        OutputError: it cannot be written; nothing was changed.
        KernelFault: a file that was read back is not what it should be; nothing was changed.
    """
    with whole_folder(target, "handover") as work:
        package = write_package(ball, work.path)
        (work.path / "README.md").write_text(_readme(ball, package), "utf-8", newline="\n")
        write_manifest(work.path, ball, package)
    return package


def write_package(
    ball: Ball, folder: Path, meshes: Sequence[Sequence[Facets]] | None = None
) -> Package:
    """Write the geometry into an existing folder, and read it back.

    Args:
        ball: the ball.
        folder: where to write; `<ball>.step` and a `<part>_mm.stl` for each part.
        meshes: for each part the meshes of its lumps, where they are there already.

    Raises:
        KernelFault: a file that was read back is not what it should be.
    """
    parts = solids_of(ball)
    meshes = _meshes(parts) if meshes is None else meshes
    files, rows = _step_file(ball, parts, meshes, folder)
    stems: list[str] = []
    for part, own in zip(parts, meshes, strict=True):
        stems.append(file_stem(part.part.name, stems))
        file, more = _stl_file(part, joined(own), folder / f"{stems[-1]}_mm.stl")
        files.append(file)
        rows += more
    _check(rows)
    return Package(tuple(files), tuple(rows))


def write_manifest(folder: Path, ball: Ball, package: Package, made_by: str = "handover") -> None:
    """Write the manifest of a folder: every file in it by size and hash, and how it was verified.

    Args:
        folder: complete but for the manifest.
        ball: the ball.
        package: the geometry in the folder.
        made_by: the command that made it.
    """
    known = {file.name: file for file in package.files}
    files = []
    for path in sorted(p for p in folder.rglob("*") if p.is_file()):
        name = path.relative_to(folder).as_posix()
        if name != MANIFEST:
            files.append(_row(known.get(name) or _file(path, "", name)))
    manifest = {
        "format": FORMAT,
        "made_by": made_by,
        "design": {
            "name": ball.design.name,
            "revision": ball.design.revision,
            "date": ball.design.date,
            "sha256": ball.design.sha256,
        },
        "unit": "mm",
        "frame": "origin at the ball's centre, +Z to the pin, right-handed",
        "size": SIZE,
        "chord_mm": CHORD_MM,
        "versions": versions(),
        "files": files,
        "comparisons": [_written(row) for row in package.comparisons],
    }
    text = json.dumps(manifest, indent=1, ensure_ascii=False, allow_nan=False)
    (folder / MANIFEST).write_text(text + "\n", "utf-8", newline="\n")


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


def stamp(design: Design) -> str:
    """The only time that files carry: the design's day, else SOURCE_DATE_EPOCH, else 1970.

    Raises:
        OutputError: SOURCE_DATE_EPOCH is no number of seconds.
    """
    if design.date:
        return f"{design.date}T00:00:00"
    seconds = os.environ.get("SOURCE_DATE_EPOCH", "0")
    try:
        return datetime.fromtimestamp(int(seconds), UTC).strftime("%Y-%m-%dT%H:%M:%S")
    except (ValueError, OverflowError, OSError):
        raise OutputError(
            f"the environment's SOURCE_DATE_EPOCH is '{seconds}'; it must be whole seconds since "
            "1970, or unset"
        ) from None


def geometry(package: Package) -> str:
    """The section of a README on the geometry files and how they were verified, as Markdown."""
    lines = ["## Geometry", "", "| file | what it is |", "| --- | --- |"]
    lines += [f"| `{f.name}` | {f.what.replace('|', chr(92) + '|')} |" for f in package.files]
    sag = max(file.sag_mm or 0.0 for file in package.files)
    return "\n".join(
        [
            *lines,
            "",
            "Take the STEP file where you can: its surfaces are exact. In the STL files no "
            f"triangle lies further than {CHORD_MM:g} mm from the surface; {sag:.3f} mm was "
            "measured. An STL file carries no unit: read it as millimetres.",
            "",
            "Every file was read back and measured before this folder was called done: volume, "
            "centroid, bounding box, whether it is closed, and for the STEP file inertia, unit, "
            "names, colours and the number of solids. The STEP file is read by the CAD kernel "
            "that wrote it and measured by integrals of our own; the STL files are read by "
            "another library than wrote them. STEP volumes agree to "
            f"{VOLUME_SHARE:.0e} of themselves, centroids to {CENTROID_SHARE:.0e} of the part's "
            f"size, inertia to {INERTIA_SHARE:.0e}; STL volumes to what the triangles leave out. "
            "`manifest.json` has every comparison with its tolerance, and the SHA-256 of every "
            "file.",
            "",
        ]
    )


def _meshes(parts: Sequence[PartSolid]) -> list[list[Facets]]:
    with kernel():
        from shapes.facets import facets_of

        return [[facets_of(lump) for lump in one.lumps] for one in parts]


def _step_file(
    ball: Ball, parts: Sequence[PartSolid], meshes: Sequence[Sequence[Facets]], folder: Path
) -> tuple[list[PackageFile], list[Comparison]]:
    path = folder / f"{file_stem(ball.design.name)}.step"
    write_step(bodies_of(parts), ball.design.name, path, stamp(ball.design))
    bodies = iter(bodies_of(parts))
    due = []
    with kernel():
        from shapes.boundary import moments_of_solid

        for one, own in zip(parts, meshes, strict=True):
            for mesh in own:
                body = next(bodies)
                alone = len(own) == 1  # then the exact moments are those of this very solid
                moments = one.part.claimed if alone else moments_of_solid(body.solid)
                due.append(Due(body.name, body.colour, moments, mesh))
    what = "the whole ball, one solid for each part, STEP AP242, millimetres"
    rows = compare_step(path.name, ball.design.name, due, read_step(path))
    return [_file(path, what, path.name)], rows


def _stl_file(one: PartSolid, facets: Facets, path: Path) -> tuple[PackageFile, list[Comparison]]:
    part = one.part
    write_stl(facets, path, f"mm; chord <= {CHORD_MM:g} mm")
    due = Due(part.name, part.colour, part.claimed, facets)
    rows = compare_stl(path.name, due, read_stl(path), CHORD_MM)
    file = _file(path, f"{part.name}, triangles, millimetres", path.name)
    return replace(file, sag_mm=facets.sag_mm), rows


def _check(rows: Sequence[Comparison]) -> None:
    failed = [row for row in rows if not row.passed]
    if failed:
        said = "\n".join(
            f"{row.file}: {row.quantity}{f' of {row.body}' if row.body else ''}: read back "
            f"{row.found}, due {row.due} {row.unit} within {row.tolerance:g}"
            for row in failed
        )
        raise KernelFault(f"a file that was read back is not what it should be:\n{said}")


def _file(path: Path, what: str, name: str) -> PackageFile:
    data = path.read_bytes()
    return PackageFile(name, what, len(data), hashlib.sha256(data).hexdigest())


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


def _readme(ball: Ball, package: Package) -> str:
    design = ball.design
    return "\n".join(
        [
            f"# {design.name}, revision {design.revision}: geometry for tooling",
            "",
            "A bowling ball as solids: its core, what is poured round it, and its cover, each "
            "where it stands in the ball. Parts share no space and leave no gap.",
            "",
            FRAME,
            geometry(package),
            CAUTIONS,
        ]
    )
