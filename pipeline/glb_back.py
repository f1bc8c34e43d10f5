"""Binary glTF files read back by the renderer's own reader, measured, and held against the source.

That reader gives triangles, colours and places, but no names: those are taken from the file's JSON.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from pipeline.comparison import Comparison, Due, equal, near_mesh
from pipeline.errors import KernelFault
from pipeline.kernel import kernel
from pipeline.meshes import MeshBody, MeshFile, measured, rounding_mm
from pipeline.palette import hex_of_linear


def read_glb(path: Path) -> MeshFile:
    """Read a binary glTF file and measure its bodies in mm, Z upwards, in the order of its nodes.

    Raises:
        KernelFault: it cannot be read.
    """
    data = path.read_bytes()
    names = _names(data, path.name)
    with kernel():
        from vtkmodules.vtkIOGeometry import vtkGLTFReader

        reader = vtkGLTFReader()
        reader.SetFileName(str(path))
        reader.Update()
        nodes = reader.GetOutput()
        if nodes is None or nodes.GetNumberOfBlocks() != len(names):
            raise KernelFault(f"{path.name} cannot be read back: its nodes are not all meshes")
        bodies = [_body(nodes.GetBlock(k), name) for k, name in enumerate(names)]
    return MeshFile("mm", tuple(bodies))  # glTF knows metres only


def _names(data: bytes, file: str) -> list[str]:
    """Names of the nodes of the scene."""
    try:
        magic, version, size = struct.unpack_from("<4sII", data)
        length, kind = struct.unpack_from("<I4s", data, 12)
        if (magic, version, size, kind) != (b"glTF", 2, len(data), b"JSON"):
            raise ValueError("it is no whole binary glTF 2.0 file")
        tree = json.loads(data[20 : 20 + length])
        return [str(tree["nodes"][k].get("name", "")) for k in tree["scenes"][0]["nodes"]]
    except (struct.error, ValueError, LookupError, TypeError, AttributeError) as error:
        raise KernelFault(f"{file} cannot be read back: {error}") from error


def _body(node: Any, name: str) -> MeshBody:
    from vtkmodules.util.numpy_support import vtk_to_numpy

    corners, triangles, colours, count = [], [], [], 0
    for part in _surfaces(node):
        points = vtk_to_numpy(part.GetPoints().GetData()).astype(float)
        corners.append(1000.0 * np.column_stack([points[:, 0], -points[:, 2], points[:, 1]]))
        sides = vtk_to_numpy(part.GetPolys().GetConnectivityArray())
        triangles.append(sides.reshape(-1, 3) + count)
        count += len(points)
        factor = part.GetFieldData().GetArray("BaseColorMultiplier")
        colours.append("" if factor is None else hex_of_linear(factor.GetTuple(0)[:3]))
    if not corners:
        return measured(name, "", np.zeros((0, 3)), np.zeros((0, 3), dtype=np.int64))
    # corners stand once for each of their normals
    merged, index = np.unique(np.concatenate(corners), axis=0, return_inverse=True)
    faces = index.reshape(-1)[np.concatenate(triangles)]
    return measured(name, " + ".join(sorted(set(colours))), merged, faces)


def _surfaces(block: Any) -> Iterator[Any]:
    """Every surface with points below a block of the reader's output."""
    if block is None:
        return
    if block.IsA("vtkMultiBlockDataSet"):
        for k in range(block.GetNumberOfBlocks()):
            yield from _surfaces(block.GetBlock(k))
    elif block.GetNumberOfPoints():
        yield block


def compare_glb(
    file: str, due: Sequence[Due], found: MeshFile, chord_mm: float
) -> list[Comparison]:
    """A glTF file against what it should hold, within what its triangles leave out."""
    rows = [equal(file, "", "bodies", len(due), len(found.bodies))]
    for want, body in zip(due, found.bodies, strict=False):
        rows += [
            equal(file, want.name, "name", want.name, body.name),
            equal(file, want.name, "colour", want.colour, body.colour),
            *near_mesh(file, want, body, chord_mm, 2.0 * rounding_mm(want.facets)),
        ]
    return rows
