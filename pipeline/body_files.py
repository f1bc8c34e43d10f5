"""Bodies in files: STEP, 3MF, glTF and an STL file a body, each read back and measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from pipeline.comparison import Comparison, Due
from pipeline.glb import write_glb
from pipeline.glb_back import compare_glb, read_glb
from pipeline.kernel import kernel
from pipeline.meshes import MeshPart
from pipeline.naming import file_stem
from pipeline.package_files import Package, PackageFile, check_rows, file_of
from pipeline.readback import compare_step, read_step
from pipeline.step import Body, write_step
from pipeline.stl import compare_stl, read_stl, write_stl
from pipeline.threemf import compare_3mf, read_3mf, write_3mf

if TYPE_CHECKING:
    from shapes.facets import Facets

CHORD_MM, ANGLE_RAD = 0.1, 0.2  # stated for every file of triangles
_ASKED_MM = 0.04  # of the kernel, which keeps two and a half times that


@dataclass(frozen=True, eq=False)
class BodyGroup:
    """Bodies that belong together.

    Attributes:
        stem: of the group's files within the folder, such as 'as-cast/dunlin-as-cast'.
        name: of the assembly.
        what: what they are, in words, with their size and frame.
        bodies: mm, with their layers.
        viewed: whether a glTF file is written for viewers.
    """

    stem: str
    name: str
    what: str
    bodies: tuple[Body, ...]
    viewed: bool = True


def write_group(group: BodyGroup, folder: Path, when: str) -> Package:
    """Write a group's files, and read them back.

    Args:
        group: what to write.
        folder: that the names are within.
        when: the time that the files carry.

    Raises:
        KernelFault: a file that was read back is not what it should be.
    """
    path = folder / group.stem
    path.parent.mkdir(parents=True, exist_ok=True)
    with kernel():
        from shapes.boundary import area_of_solid, moments_of_solid
        from shapes.facets import facets_of

        bodies = [replace(b, moments=b.moments or moments_of_solid(b.solid)) for b in group.bodies]
        meshes = [facets_of(body.solid, _ASKED_MM, ANGLE_RAD) for body in bodies]
        areas = [area_of_solid(body.solid) for body in bodies]
    due = [
        Due(body.name, body.colour, body.moments, mesh, body.layer, area)
        for body, mesh, area in zip(bodies, meshes, areas, strict=True)
        if body.moments is not None
    ]
    made = [
        _step(group, bodies, due, folder, when),
        _threemf(group, bodies, meshes, due, folder),
        *([_glb(group, bodies, meshes, due, folder)] if group.viewed else []),
        *_stls(group, bodies, meshes, due, folder),
    ]
    rows = [row for _, some in made for row in some]
    check_rows(rows)
    return Package(tuple(file for file, _ in made), tuple(rows))


Made = tuple[PackageFile, list[Comparison]]


def _step(
    group: BodyGroup, bodies: Sequence[Body], due: Sequence[Due], folder: Path, when: str
) -> Made:
    name = f"{group.stem}.step"
    write_step(bodies, group.name, folder / name, when, f"{group.what}, millimetres")
    rows = compare_step(name, group.name, due, read_step(folder / name))
    return file_of(folder / name, f"{group.what}; STEP AP242, millimetres", name), rows


def _threemf(
    group: BodyGroup,
    bodies: Sequence[Body],
    meshes: Sequence[Facets],
    due: Sequence[Due],
    folder: Path,
) -> Made:
    name = f"{group.stem}.3mf"
    write_3mf(_parts(bodies, meshes), folder / name, group.name)
    rows = compare_3mf(name, due, read_3mf(folder / name), CHORD_MM)
    return _meshed(folder, name, f"{group.what}; triangles, 3MF", meshes), rows


def _glb(
    group: BodyGroup,
    bodies: Sequence[Body],
    meshes: Sequence[Facets],
    due: Sequence[Due],
    folder: Path,
) -> Made:
    name = f"{group.stem}.glb"
    write_glb(_parts(bodies, meshes), folder / name)
    rows = compare_glb(name, due, read_glb(folder / name), CHORD_MM)
    return _meshed(folder, name, f"{group.what}; for viewers, glTF, metres", meshes), rows


def _stls(
    group: BodyGroup,
    bodies: Sequence[Body],
    meshes: Sequence[Facets],
    due: Sequence[Due],
    folder: Path,
) -> list[Made]:
    found: list[Made] = []
    taken: list[str] = []
    place = Path(group.stem).parent
    for body, mesh, one in zip(bodies, meshes, due, strict=True):
        taken.append(file_stem(body.name, taken))
        name = (place / f"{taken[-1]}_mm.stl").as_posix()
        write_stl(mesh, folder / name, f"mm; chord <= {CHORD_MM:g} mm, angle <= {ANGLE_RAD:g} rad")
        rows = compare_stl(name, one, read_stl(folder / name), CHORD_MM)
        found.append((_meshed(folder, name, f"{body.name}; triangles, millimetres", [mesh]), rows))
    return found


def _parts(bodies: Sequence[Body], meshes: Sequence[Facets]) -> list[MeshPart]:
    return [MeshPart(b.name, b.colour, m) for b, m in zip(bodies, meshes, strict=True)]


def _meshed(folder: Path, name: str, what: str, meshes: Sequence[Facets]) -> PackageFile:
    return replace(file_of(folder / name, what, name), sag_mm=max(mesh.sag_mm for mesh in meshes))
