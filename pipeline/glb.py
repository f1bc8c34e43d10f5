"""Closed meshes as one binary glTF 2.0 file, to be looked at: metres, Y up, one node a body.

A ball's +Z becomes glTF's +Y and its +X stays: (x, y, z) mm is written as (x, z, -y) / 1000.
Written by hand, since a glTF file is JSON and one buffer (Khronos, glTF 2.0 specification): the
library at hand keeps colours to eight bits of linear light, too few for dark ones.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from pipeline.meshes import MeshPart
from pipeline.palette import linear, rgb
from pipeline.shading import shaded
from shapes.moments import Array

_FLOAT, _UINT = 5126, 5125  # componentType
_ARRAY, _ELEMENTS = 34962, 34963  # target
_ROUGH, _METAL = 0.55, 0.0


@dataclass(frozen=True)
class Material:
    """What a surface is made of.

    Attributes:
        name: in words.
        colour: '#RRGGBB', as seen on a screen (sRGB).
        roughness: 0 is a mirror, 1 is chalk.
        opacity: 1 hides what lies behind.
    """

    name: str
    colour: str
    roughness: float = _ROUGH
    opacity: float = 1.0


@dataclass(frozen=True, eq=False)
class Primitive:
    """Triangles of one material: points and normals (n, 3), triangles (m, 3), mm, +Z upwards.

    `tints`, shape (n, 3), are colours of the points from 0 to 1 (sRGB), or None.
    """

    points_mm: Array
    normals: Array
    triangles: npt.NDArray[np.int64]
    material: Material
    tints: Array | None = None


@dataclass(frozen=True, eq=False)
class Node:
    """A named body of one or more materials."""

    name: str
    primitives: tuple[Primitive, ...]


def write_glb(bodies: Sequence[MeshPart], path: Path) -> None:
    """Write meshes as one binary glTF file.

    Args:
        bodies: at least one, all in one frame, mm, +Z upwards.
        path: the file to write.

    Raises:
        OSError: the file cannot be written.
    """
    nodes = []
    for body in bodies:
        at, normals, index = shaded(body.facets)
        points = body.facets.corners_mm[at]
        material = Material(body.name, body.colour)
        nodes.append(Node(body.name, (Primitive(points, normals, index, material),)))
    write_nodes(nodes, path)


def write_nodes(nodes: Sequence[Node], path: Path) -> None:
    """Write named bodies as one binary glTF file.

    Raises:
        OSError: the file cannot be written.
    """
    buffer = _Buffer()
    materials: list[dict[str, Any]] = []
    meshes = []
    for node in nodes:
        primitives = []
        for one in node.primitives:
            attributes = {
                "POSITION": buffer.vectors(_y_up(one.points_mm) / 1000.0),
                "NORMAL": buffer.vectors(_y_up(one.normals)),
            }
            if one.tints is not None:
                attributes["COLOR_0"] = buffer.vectors(np.vectorize(linear)(one.tints))
            indices = buffer.numbers(one.triangles)
            primitives.append(
                {
                    "attributes": attributes,
                    "indices": indices,
                    "material": len(materials),
                    "mode": 4,
                }
            )
            materials.append(_material(one.material))
        meshes.append({"name": node.name, "primitives": primitives})
    tree = {
        "asset": {"version": "2.0", "generator": "corewright"},
        "scene": 0,
        "scenes": [{"nodes": list(range(len(nodes)))}],
        "nodes": [{"name": node.name, "mesh": k} for k, node in enumerate(nodes)],
        "meshes": meshes,
        "materials": materials,
        "accessors": buffer.accessors,
        "bufferViews": buffer.views,
        "buffers": [{"byteLength": len(buffer.data)}],
    }
    path.write_bytes(_packed(tree, bytes(buffer.data)))


class _Buffer:
    """The file's one buffer as it grows, with what says where everything lies in it."""

    def __init__(self) -> None:
        self.data = bytearray()
        self.views: list[dict[str, Any]] = []
        self.accessors: list[dict[str, Any]] = []

    def vectors(self, values: Array) -> int:
        """Vectors, shape (n, 3); their number in the file."""
        single = np.asarray(values).astype("<f4")
        number = self._add(single, "VEC3", _FLOAT, _ARRAY)
        self.accessors[-1]["min"] = [float(x) for x in single.min(axis=0)]
        self.accessors[-1]["max"] = [float(x) for x in single.max(axis=0)]
        return number

    def numbers(self, triangles: npt.NDArray[np.int64]) -> int:
        """Corners of triangles, shape (m, 3); their number in the file."""
        return self._add(triangles.astype("<u4").ravel(), "SCALAR", _UINT, _ELEMENTS)

    def _add(self, values: npt.NDArray[Any], kind: str, component: int, target: int) -> int:
        raw = values.tobytes()
        place = {"buffer": 0, "byteOffset": len(self.data), "byteLength": len(raw)}
        self.views.append({**place, "target": target})
        self.accessors.append(
            {
                "bufferView": len(self.views) - 1,
                "componentType": component,
                "count": len(values),
                "type": kind,
            }
        )
        self.data.extend(raw)
        return len(self.accessors) - 1


def _y_up(vectors: Array) -> Array:
    """Shape (n, 3), vectors with Z upwards as glTF has them."""
    return np.column_stack([vectors[:, 0], vectors[:, 2], -vectors[:, 1]])


def _packed(tree: dict[str, Any], data: bytes) -> bytes:
    """Header, JSON padded with blanks, buffer padded with zeros; all lengths in fours."""
    text = json.dumps(tree, ensure_ascii=False, separators=(",", ":")).encode("utf-8")
    text += b" " * (-len(text) % 4)
    data += b"\0" * (-len(data) % 4)
    chunks = b"".join(
        struct.pack("<I4s", len(chunk), kind) + chunk
        for kind, chunk in ((b"JSON", text), (b"BIN\0", data))
    )
    return struct.pack("<4sII", b"glTF", 2, 12 + len(chunks)) + chunks


def _material(material: Material) -> dict[str, Any]:
    colour = [round(linear(share), 6) for share in rgb(material.colour)]
    found: dict[str, Any] = {
        "name": material.name,
        "pbrMetallicRoughness": {
            "baseColorFactor": [*colour, round(material.opacity, 4)],
            "metallicFactor": _METAL,
            "roughnessFactor": material.roughness,
        },
    }
    return found if material.opacity == 1.0 else {**found, "alphaMode": "BLEND"}
