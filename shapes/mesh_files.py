"""Triangles from the bytes of an STL or a 3MF file, as they stand there.

STL: the binary form of 50 bytes a triangle, and the ASCII form.  3MF: the core specification 1.3 of
the 3MF Consortium, read by the standard library, without extensions.
"""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from dataclasses import dataclass
from xml.etree import ElementTree

import numpy as np

from shapes.errors import ShapeError
from shapes.moments import Array, Indices

_CORE = "{http://schemas.microsoft.com/3dmanufacturing/core/2015/02}"
_START = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"
_UNITS_MM = {
    "micron": 0.001, "millimeter": 1.0, "centimeter": 10.0, "inch": 25.4, "foot": 304.8,
    "meter": 1000.0,
}  # fmt: skip
_MOST_BYTES = 512 * 1024 * 1024  # of what a 3MF file unpacks to


@dataclass(frozen=True, eq=False)
class FiledMesh:
    """One mesh that a 3MF file builds.

    Attributes:
        name: of its object; '' when it has none.
        colour: '#RRGGBB' of its base material in capitals; '' when it has none.
        corners_mm: shape (n, 3), where the build puts them.
        triangles: shape (m, 3), indices into the corners.
    """

    name: str
    colour: str
    corners_mm: Array
    triangles: Indices


def read_mesh(data: bytes) -> tuple[Array, float | None]:
    """Corners of all triangles, shape (m, 3, 3), and the unit in mm where the file says one.

    Raises:
        ShapeError: the bytes are no such file, or hold anything but one mesh.
    """
    if data[:4] == b"PK\x03\x04":
        return _three_mf(data)
    if len(data) >= 84:
        count = int.from_bytes(data[80:84], "little")
        if len(data) == 84 + 50 * count:
            return _binary(data, count), None
    if data[:5].lower() == b"solid" and b"facet" in data[:4096].lower():
        return _ascii(data), None
    if len(data) >= 84:
        raise ShapeError(
            "file",
            f"it is neither ASCII STL nor 3MF, and as binary STL its {len(data)} bytes do not fit "
            f"the {count} triangles that it announces ({84 + 50 * count} bytes): it may be cut off",
        )
    raise ShapeError("file", f"its {len(data)} bytes are neither STL nor 3MF")


def _binary(data: bytes, count: int) -> Array:
    rows = np.frombuffer(data, dtype=np.dtype([("v", "<f4", 12), ("a", "<u2")]), offset=84)
    return rows["v"][:count].reshape(-1, 4, 3)[:, 1:].astype(float)


_NUMBER = rb"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?"
_FACET = re.compile(
    rb"facet\s+normal(?:\s+\S+){3}\s+outer\s+loop"
    + rb"".join(rb"\s+vertex" + rb"\s+(%s)" % _NUMBER * 3 for _ in range(3))
    + rb"\s+endloop\s+endfacet",
    re.IGNORECASE,
)


def _ascii(data: bytes) -> Array:
    begun = len(re.findall(rb"^\s*facet\s", data, re.IGNORECASE | re.MULTILINE))
    found = _FACET.findall(data)
    if len(found) != begun or not re.search(rb"endsolid", data, re.IGNORECASE):
        raise ShapeError(
            "file", f"{begun} facets begin in this ASCII STL and {len(found)} are whole: it is cut "
            "off or holds something else than triangles"
        )  # fmt: skip
    return np.array(found, dtype=float).reshape(-1, 3, 3)


def meshes_in_3mf(data: bytes) -> tuple[tuple[FiledMesh, ...], str]:
    """Every mesh that a 3MF file builds, in its order, and the file's own word for its unit.

    Raises:
        ShapeError: the bytes are no such file, or ask for extensions.
    """
    model = _model(data)
    asked = model.get("requiredextensions", "")
    if asked.strip():
        raise ShapeError(
            "file", f"this 3MF file asks for extensions ({asked}) that are not read; export it as "
            "a plain mesh"
        )  # fmt: skip
    unit = model.get("unit", "millimeter")
    if unit not in _UNITS_MM:
        raise ShapeError("file", f"this 3MF file is in the unknown unit '{unit}'")
    resources = model.find(f"{_CORE}resources")
    own = [] if resources is None else list(resources)
    objects = {o.get("id", ""): o for o in own if o.tag == f"{_CORE}object"}
    materials = {
        m.get("id", ""): m.findall(f"{_CORE}base") for m in own if m.tag == f"{_CORE}basematerials"
    }
    found = []
    for item in model.iterfind(f"{_CORE}build/{_CORE}item"):
        for built, corners, triangles in _meshes(objects, item, np.eye(4), 0):
            colour = _colour(built, materials)
            corners_mm = corners * _UNITS_MM[unit]
            found.append(FiledMesh(built.get("name", ""), colour, corners_mm, triangles))
    return tuple(found), unit


def _three_mf(data: bytes) -> tuple[Array, float]:
    placed, unit = meshes_in_3mf(data)
    if len(placed) != 1:
        names = ", ".join(mesh.name or "one without a name" for mesh in placed)
        raise ShapeError(
            "file",
            f"this 3MF file builds {len(placed)} meshes, not one ({names or 'no objects'}); export "
            "the body alone",
        )
    size = _UNITS_MM[unit]
    return placed[0].corners_mm[placed[0].triangles] / size, size


def _colour(built: ElementTree.Element, materials: dict[str, list[ElementTree.Element]]) -> str:
    """The colour of an object's own base material."""
    bases = materials.get(built.get("pid", ""), [])
    index = built.get("pindex", "0")
    if not index.isdecimal() or int(index) >= len(bases):
        return ""
    return bases[int(index)].get("displaycolor", "").upper()[:7]


def _model(data: bytes) -> ElementTree.Element:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as package:
            if sum(info.file_size for info in package.infolist()) > _MOST_BYTES:
                raise ShapeError("file", "this 3MF file unpacks to more than 512 MB")
            links = ElementTree.fromstring(_plain(package.read("_rels/.rels")))
            (target,) = {r.get("Target", "") for r in links if r.get("Type") == _START}
            return ElementTree.fromstring(_plain(package.read(target.lstrip("/"))))
    except (
        zipfile.BadZipFile, zlib.error, EOFError, KeyError, ValueError, ElementTree.ParseError,
        OSError, RuntimeError,  # encrypted, or packed in a way that Python does not know
    ) as error:  # fmt: skip
        if isinstance(error, ShapeError):
            raise
        raise ShapeError("file", f"it is packed like a 3MF file but is none: {error}") from error


def _plain(text: bytes) -> bytes:
    """The XML, when it declares no entities: those could swell without limit."""
    bare = text.replace(b"\0", b"")  # UTF-16 has one beside every letter
    if b"<!DOCTYPE" in bare or b"<!ENTITY" in bare:
        raise ShapeError("file", "this 3MF file declares a document type, which 3MF does not allow")
    return text


def _meshes(
    objects: dict[str, ElementTree.Element], use: ElementTree.Element, frame: Array, depth: int
) -> list[tuple[ElementTree.Element, Array, Indices]]:
    """All meshes of an object and its components, with corners in the frame of the build."""
    found = objects.get(use.get("objectid", ""))
    if found is None or depth > 16:
        raise ShapeError("file", "this 3MF file refers to an object that is not there")
    frame = _transform(use.get("transform")) @ frame
    kind = found.get("type", "model")
    if kind != "model":
        raise ShapeError("file", f"this 3MF file builds an object of type '{kind}', not a model")
    mesh = found.find(f"{_CORE}mesh")
    if mesh is not None:
        return [(found, *_mesh(mesh, frame))]
    parts = found.findall(f"{_CORE}components/{_CORE}component")
    return [m for part in parts for m in _meshes(objects, part, frame, depth + 1)]


def _transform(text: str | None) -> Array:
    """A row-vector transform, shape (4, 4)."""
    matrix = np.eye(4)
    if text:
        try:
            matrix[:, :3] = np.array([float(word) for word in text.split()]).reshape(4, 3)
        except ValueError:
            raise ShapeError(
                "file", f"this 3MF file holds the transform '{text[:60]}'; twelve numbers are due"
            ) from None
    return matrix


def _mesh(mesh: ElementTree.Element, frame: Array) -> tuple[Array, Indices]:
    try:
        points = np.array(
            [[float(v.get(k, "")) for k in "xyz"] for v in mesh.iter(f"{_CORE}vertex")]
        ).reshape(-1, 3)
        index = np.array(
            [[int(t.get(k, "")) for k in ("v1", "v2", "v3")] for t in mesh.iter(f"{_CORE}triangle")]
        ).reshape(-1, 3)
        placed = np.column_stack([points, np.ones(len(points))]) @ frame
        if index.size and (index.min() < 0 or index.max() >= len(points)):
            raise ValueError("a triangle names a corner that is not there")
        return placed[:, :3], index.astype(np.intp)
    except ValueError as error:
        raise ShapeError("file", f"this 3MF file cannot be read: {error}") from error
