"""The ball's geometry in a folder: one STEP file and an STL file a part, read back and measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from pipeline.ball import Ball
from pipeline.comparison import Comparison, Due
from pipeline.dates import stamp
from pipeline.kernel import kernel
from pipeline.naming import file_stem
from pipeline.package_files import Package, PackageFile, check_rows, file_of
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
    check_rows(rows)
    return Package(tuple(files), tuple(rows))


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
    return [file_of(path, what, path.name)], rows


def _stl_file(one: PartSolid, facets: Facets, path: Path) -> tuple[PackageFile, list[Comparison]]:
    part = one.part
    write_stl(facets, path, f"mm; chord <= {CHORD_MM:g} mm")
    due = Due(part.name, part.colour, part.claimed, facets)
    rows = compare_stl(path.name, due, read_stl(path), CHORD_MM)
    file = file_of(path, f"{part.name}, triangles, millimetres", path.name)
    return replace(file, sag_mm=facets.sag_mm), rows
