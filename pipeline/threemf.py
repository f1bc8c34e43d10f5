"""Closed meshes in one 3MF file: the core specification 1.3 of the 3MF Consortium, no extensions.

Written by the standard library, one object and one build item a body, millimetres; read back by
`shapes.mesh_files`, which shares no code with the writer.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from xml.sax.saxutils import escape

import numpy as np

from pipeline.comparison import Comparison, Due, equal, near_mesh
from pipeline.errors import KernelFault
from pipeline.meshes import MeshFile, MeshPart, measured
from shapes.errors import ShapeError
from shapes.mesh_files import meshes_in_3mf

DIGITS = 6  # behind the point of a coordinate, mm; corners of our meshes lie 1e-5 mm apart
_CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
_MODEL = "3D/3dmodel.model"
_DAY = (1980, 1, 1, 0, 0, 0)  # the first that a zip file can carry
_TYPES = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Default Extension="rels" '
    'ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Default Extension="model" '
    'ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>\n'
)
_LINKS = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    f'<Relationship Id="rel0" Target="/{_MODEL}" '
    'Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>\n'
)


def write_3mf(bodies: Sequence[MeshPart], path: Path, title: str) -> None:
    """Write meshes as one 3MF file; coordinates are rounded to 1e-6 mm, corners stay apart.

    Args:
        bodies: at least one, all in one frame, mm.
        path: the file to write.
        title: of the whole, as its metadata has it.

    Raises:
        OSError: the file cannot be written.
    """
    model = "".join(_model(bodies, title))
    # by way of memory: the file is whole or not there
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as package:
        for name, text in (
            ("[Content_Types].xml", _TYPES),
            ("_rels/.rels", _LINKS),
            (_MODEL, model),
        ):
            entry = zipfile.ZipInfo(name, _DAY)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system = 0  # whatever system writes
            package.writestr(entry, text.encode("utf-8"))
    path.write_bytes(file.getvalue())


def _model(bodies: Sequence[MeshPart], title: str) -> Iterator[str]:
    yield '<?xml version="1.0" encoding="UTF-8"?>\n'
    yield f'<model unit="millimeter" xml:lang="en-GB" xmlns="{_CORE}">\n'
    yield f'<metadata name="Title">{escape(title)}</metadata>\n'
    yield '<metadata name="Application">corewright</metadata>\n<resources>\n'
    yield '<basematerials id="1">\n'
    for body in bodies:
        yield f'<base name="{_quoted(body.name)}" displaycolor="{body.colour.upper()}"/>\n'
    yield "</basematerials>\n"
    for k, body in enumerate(bodies):
        yield (
            f'<object id="{k + 2}" type="model" name="{_quoted(body.name)}" pid="1" pindex="{k}">\n'
            "<mesh>\n<vertices>\n"
        )
        for row in (np.round(body.facets.corners_mm, DIGITS) + 0.0).tolist():  # no -0
            x, y, z = (f"{at:.{DIGITS}f}".rstrip("0").rstrip(".") for at in row)
            yield f'<vertex x="{x}" y="{y}" z="{z}"/>\n'
        yield "</vertices>\n<triangles>\n"
        for a, b, c in body.facets.triangles.tolist():
            yield f'<triangle v1="{a}" v2="{b}" v3="{c}"/>\n'
        yield "</triangles>\n</mesh>\n</object>\n"
    yield "</resources>\n<build>\n"
    for k in range(len(bodies)):
        yield f'<item objectid="{k + 2}"/>\n'
    yield "</build>\n</model>\n"


def _quoted(text: str) -> str:
    return escape(text, {'"': "&quot;"})


def read_3mf(path: Path) -> MeshFile:
    """Read a 3MF file and measure its bodies, in the order in which it builds them.

    Raises:
        KernelFault: it cannot be read.
    """
    try:
        found, unit = meshes_in_3mf(path.read_bytes())
    except ShapeError as error:
        raise KernelFault(f"{path.name} cannot be read back: {error}") from error
    bodies = tuple(measured(m.name, m.colour, m.corners_mm, m.triangles) for m in found)
    return MeshFile("mm" if unit == "millimeter" else unit, bodies)


def compare_3mf(
    file: str, due: Sequence[Due], found: MeshFile, chord_mm: float
) -> list[Comparison]:
    """A 3MF file against what it should hold, within what its triangles leave out."""
    rows = [
        equal(file, "", "unit", "mm", found.unit),
        equal(file, "", "bodies", len(due), len(found.bodies)),
    ]
    for want, body in zip(due, found.bodies, strict=False):
        rows += [
            equal(file, want.name, "name", want.name, body.name),
            equal(file, want.name, "colour", want.colour, body.colour),
            *near_mesh(file, want, body, chord_mm, 10.0**-DIGITS),
        ]
    return rows
