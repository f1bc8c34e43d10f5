"""What a geometry file says of a body and a quantity, by the words that comparisons use."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

from pipeline.dxf_back import DxfFile, read_dxf
from pipeline.glb_back import read_glb
from pipeline.meshes import MeshFile
from pipeline.readback import StepBody, StepFile, read_step
from pipeline.step_text import Properties
from pipeline.stl import StlFile, read_stl
from pipeline.threemf import read_3mf
from shapes.moments import Array, Moments


def quantities_of(path: Path) -> Callable[[str, str], Any]:
    """Read a file; what it says of a body (or a layer) and a quantity, None where it has no such.

    Raises:
        KernelFault: the file cannot be read.
    """
    if path.suffix == ".stl":
        stl = read_stl(path)
        return lambda _, quantity: _of_stl(stl, quantity)
    if path.suffix in (".3mf", ".glb"):
        meshes = read_3mf(path) if path.suffix == ".3mf" else read_glb(path)
        return lambda body, quantity: _of_meshes(meshes, body, quantity)
    if path.suffix == ".dxf":
        drawing = read_dxf(path)
        return lambda layer, quantity: _of_dxf(drawing, layer, quantity)
    step = read_step(path)
    return lambda body, quantity: _of_step(step, body, quantity)


def _of_stl(stl: StlFile, quantity: str) -> Any:
    return {
        "triangles": stl.triangles,
        "size": stl.size_bytes,
        "closed": stl.closed,
        "bounding box": _row(stl.bounds_mm),
        **_of_moments(stl.moments),
    }.get(quantity)


def _of_step(step: StepFile, body: str, quantity: str) -> Any:
    if not body:
        return {
            "schema": step.schema, "unit": step.unit, "name": step.name, "solids": len(step.bodies)
        }.get(quantity)  # fmt: skip
    found: StepBody | None = next((b for b in step.bodies if b.name == body), None)
    if found is None:
        return None
    return {
        "name": found.name,
        "colour": found.colour,
        "closed": found.closed,
        "layer": found.layer,
        "bounding box": _row(found.bounds_mm),
        "surface area": found.area_mm2,
        **_of_moments(found.moments),
        **_of_stated(found.stated),
    }.get(quantity)


def _of_stated(stated: Properties | None) -> dict[str, Any]:
    if stated is None:
        return {}
    return {
        "stated volume": stated.volume_mm3,
        "stated surface area": stated.area_mm2,
        "stated centroid": list(stated.centroid_mm),
    }


def _of_meshes(file: MeshFile, body: str, quantity: str) -> Any:
    if not body:
        return {"unit": file.unit, "bodies": len(file.bodies)}.get(quantity)
    found = next((b for b in file.bodies if b.name == body), None)
    if found is None:
        return None
    return {
        "name": found.name,
        "colour": found.colour,
        "triangles": found.triangles,
        "closed": found.closed,
        "bounding box": _row(found.bounds_mm),
        **_of_moments(found.moments),
    }.get(quantity)


def _of_dxf(file: DxfFile, layer: str, quantity: str) -> Any:
    if not layer:
        names = ", ".join(one.layer for one in file.layers)
        return {"unit": file.unit, "layers": names}.get(quantity)
    found = next((one for one in file.layers if one.layer == layer), None)
    if found is None:
        return None
    return {
        "colour": found.colour,
        "linetype": found.linetype,
        "closed": found.closed,
        "area": found.area_mm2,
        "bounding box": _row(found.bounds_mm),
    }.get(quantity)


def _row(numbers: Array) -> list[float]:
    return [float(x) for x in numbers.ravel()]


def _of_moments(moments: Moments) -> dict[str, Any]:
    if not moments.volume_mm3:
        return {"volume": 0.0}
    at = np.triu_indices(3)
    return {
        "volume": moments.volume_mm3,
        "centroid": _row(moments.centroid_mm()),
        "inertia at unit density": _row(moments.inertia_mm5()[at]),
    }
