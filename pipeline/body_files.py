"""Bodies in files: STEP, 3MF, glTF and an STL file a body, each read back and measured."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from pipeline.comparison import Comparison, Due
from pipeline.errors import ToolingError
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

CHORD_MM, ANGLE_RAD = 0.2, 0.25  # stated for every file of triangles
_BOX_MM = 0.3  # where a mesh only gives the box that a STEP file is held against
_ASKED_MM = 0.08  # of the kernel, which keeps two and a half times that

Made = tuple[PackageFile, list[Comparison]]


@dataclass(frozen=True, eq=False)
class BodyGroup:
    """Bodies that belong together.

    Attributes:
        stem: of the group's files within the folder, such as 'as-cast/dunlin-as-cast'.
        name: of the assembly.
        what: what they are, in words, with their size and frame.
        bodies: mm, with their layers.
        endings: of the files that are wanted, keys of `WRITERS`.
        exact_only: names of bodies that only the STEP file holds.
    """

    stem: str
    name: str
    what: str
    bodies: tuple[Body, ...]
    endings: tuple[str, ...] = ("step", "3mf", "glb", "stl")
    exact_only: frozenset[str] = frozenset()

    def meshed(self, name: str) -> bool:
        """Whether any file of triangles holds a body."""
        return self.endings != ("step",) and name not in self.exact_only


@dataclass(frozen=True, eq=False)
class _Work:
    """A group that is being written: with what its bodies should be, into a folder, at a time."""

    group: BodyGroup
    bodies: tuple[Body, ...]
    due: tuple[Due, ...]
    folder: Path
    when: str

    @property
    def meshed(self) -> list[Due]:
        return [one for one in self.due if self.group.meshed(one.name)]

    @property
    def meshes(self) -> list[Facets]:
        return [one.facets for one in self.meshed]

    @property
    def parts(self) -> list[MeshPart]:
        return [MeshPart(one.name, one.colour, one.facets) for one in self.meshed]


def write_group(group: BodyGroup, folder: Path, when: str) -> Package:
    """Write a group's files, and read them back.

    Args:
        group: what to write.
        folder: that the names are within.
        when: the time that the files carry.

    Raises:
        KernelFault: a file that was read back is not what it should be.
        ToolingError: the kernel cannot mesh a body; names it.
    """
    (folder / group.stem).parent.mkdir(parents=True, exist_ok=True)
    bodies, due = [], []
    with kernel():
        from shapes.boundary import area_of_solid, moments_of_solid
        from shapes.errors import SolidError
        from shapes.facets import facets_of

        for body in group.bodies:
            moments = moments_of_solid(body.solid) if body.moments is None else body.moments
            chord = _ASKED_MM if group.meshed(body.name) else _BOX_MM
            try:
                mesh = facets_of(body.solid, chord, ANGLE_RAD)
            except SolidError as error:
                raise ToolingError(
                    f"'{body.name}': {error}, at any fineness; move a plane, a rod or a gate by a "
                    "little, or give the shrinkage the same every way"
                ) from error
            area = area_of_solid(body.solid)
            bodies.append(replace(body, moments=moments))
            due.append(Due(body.name, body.colour, moments, mesh, body.layer, area))
    work = _Work(group, tuple(bodies), tuple(due), folder, when)
    made = [one for ending in group.endings for one in WRITERS[ending](work)]
    rows = [row for _, some in made for row in some]
    check_rows(rows)
    return Package(tuple(file for file, _ in made), tuple(rows))


def _step(work: _Work) -> list[Made]:
    group, name = work.group, f"{work.group.stem}.step"
    path = work.folder / name
    write_step(work.bodies, group.name, path, work.when, f"{group.what}, millimetres")
    rows = compare_step(name, group.name, work.due, read_step(path))
    return [(file_of(path, f"{group.what}; STEP AP242, millimetres", name), rows)]


def _threemf(work: _Work) -> list[Made]:
    name = f"{work.group.stem}.3mf"
    path = work.folder / name
    write_3mf(work.parts, path, work.group.name)
    rows = compare_3mf(name, work.meshed, read_3mf(path), CHORD_MM)
    return [(_meshed(path, name, f"{work.group.what}; triangles, 3MF", work.meshes), rows)]


def _glb(work: _Work) -> list[Made]:
    name = f"{work.group.stem}.glb"
    path = work.folder / name
    write_glb(work.parts, path)
    rows = compare_glb(name, work.meshed, read_glb(path), CHORD_MM)
    what = f"{work.group.what}; for viewers, glTF, metres"
    return [(_meshed(path, name, what, work.meshes), rows)]


def _stls(work: _Work) -> list[Made]:
    found: list[Made] = []
    taken: list[str] = []
    place = Path(work.group.stem).parent
    for one in work.meshed:
        taken.append(file_stem(one.name, taken))
        name = (place / f"{taken[-1]}_mm.stl").as_posix()
        path = work.folder / name
        head = f"mm; chord <= {CHORD_MM:g} mm, angle <= {ANGLE_RAD:g} rad"
        write_stl(one.facets, path, head)
        rows = compare_stl(name, one, read_stl(path), CHORD_MM)
        what = f"{one.name}; triangles, millimetres"
        found.append((_meshed(path, name, what, [one.facets]), rows))
    return found


WRITERS: dict[str, Callable[[_Work], list[Made]]] = {
    "step": _step,
    "3mf": _threemf,
    "glb": _glb,
    "stl": _stls,
}


def _meshed(path: Path, name: str, what: str, meshes: Sequence[Facets]) -> PackageFile:
    return replace(file_of(path, what, name), sag_mm=max(mesh.sag_mm for mesh in meshes))
