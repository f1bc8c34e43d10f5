"""Closed meshes as one binary glTF 2.0 file, to be looked at: metres, Y up, one node a body.

A ball's +Z becomes glTF's +Y and its +X stays: (x, y, z) mm is written as (x, z, -y) / 1000.
Written by hand, since a glTF file is JSON and one buffer (Khronos, glTF 2.0 specification): the
library at hand keeps colours to eight bits of linear light, too few for dark ones.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Sequence
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


def write_glb(bodies: Sequence[MeshPart], path: Path) -> None:
    """Write meshes as one binary glTF file.

    Args:
        bodies: at least one, all in one frame, mm, +Z upwards.
        path: the file to write.

    Raises:
        OSError: the file cannot be written.
    """
    views: list[dict[str, Any]] = []
    accessors: list[dict[str, Any]] = []
    data = bytearray()

    def add(values: npt.NDArray[Any], kind: str, component: int, target: int) -> int:
        raw = values.tobytes()
        views.append(
            {"buffer": 0, "byteOffset": len(data), "byteLength": len(raw), "target": target}
        )
        accessors.append(
            {
                "bufferView": len(views) - 1,
                "componentType": component,
                "count": len(values),
                "type": kind,
            }
        )
        if target == _ARRAY:
            accessors[-1]["min"] = [float(x) for x in values.min(axis=0)]
            accessors[-1]["max"] = [float(x) for x in values.max(axis=0)]
        data.extend(raw)
        return len(accessors) - 1

    meshes = []
    for k, body in enumerate(bodies):
        at, normals, index = shaded(body.facets)
        points = (_y_up(body.facets.corners_mm[at]) / 1000.0).astype("<f4")
        turned = _y_up(normals).astype("<f4")
        attributes = {
            "POSITION": add(points, "VEC3", _FLOAT, _ARRAY),
            "NORMAL": add(turned, "VEC3", _FLOAT, _ARRAY),
        }
        indices = add(index.astype("<u4").ravel(), "SCALAR", _UINT, _ELEMENTS)
        primitive = {"attributes": attributes, "indices": indices, "material": k, "mode": 4}
        meshes.append({"name": body.name, "primitives": [primitive]})
    tree = {
        "asset": {"version": "2.0", "generator": "corewright"},
        "scene": 0,
        "scenes": [{"nodes": list(range(len(bodies)))}],
        "nodes": [{"name": body.name, "mesh": k} for k, body in enumerate(bodies)],
        "meshes": meshes,
        "materials": [_material(body) for body in bodies],
        "accessors": accessors,
        "bufferViews": views,
        "buffers": [{"byteLength": len(data)}],
    }
    path.write_bytes(_packed(tree, bytes(data)))


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


def _material(body: MeshPart) -> dict[str, Any]:
    colour = [round(linear(share), 6) for share in rgb(body.colour)]
    return {
        "name": body.name,
        "pbrMetallicRoughness": {
            "baseColorFactor": [*colour, 1.0],
            "metallicFactor": _METAL,
            "roughnessFactor": _ROUGH,
        },
    }
