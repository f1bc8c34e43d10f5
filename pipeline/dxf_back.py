"""DXF files read back, their contours measured, and held against what they were written from.

The library that wrote them reads them too, but from the file alone: curves are followed as polygons
that lie within 1e-5 mm of them, chained by their ends, and measured as such.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from pipeline.comparison import Comparison, equal, near
from pipeline.dxf_out import OVER_MM, DxfLayer, half_section
from pipeline.errors import KernelFault
from shapes.curves import box_of
from shapes.moments import Array
from shapes.profile import Profile

_FLAT_MM = 1e-5  # between a curve and the polygon that stands for it
_MEET_MM = 1e-5  # ends that lie nearer are one
_ROUND = 4.0  # times width and height: twice the outline of its box, more than a contour is long


@dataclass(frozen=True, eq=False)
class DxfContours:
    """What lies on one layer of a DXF file.

    Attributes:
        layer: its name.
        colour: '#RRGGBB', or '' where it has none of its own.
        linetype: by name.
        closed: every curve is part of a contour that returns to its start.
        area_mm2: between the contours, holes taken off; zero when they are not closed.
        bounds_mm: shape (2, 2), the least and the greatest x and y.
    """

    layer: str
    colour: str
    linetype: str
    closed: bool
    area_mm2: float
    bounds_mm: Array


@dataclass(frozen=True, eq=False)
class DxfFile:
    """A whole DXF file: its unit ('mm' or $INSUNITS as it stands) and its layers with curves."""

    unit: str
    layers: tuple[DxfContours, ...]


@dataclass(frozen=True, eq=False)
class DxfDue:
    """What should lie on a layer.

    Attributes:
        layer: as it was written.
        bounds_mm: shape (2, 2).
        area_mm2: of its closed contours; None where they are not closed.
    """

    layer: DxfLayer
    bounds_mm: Array
    area_mm2: float | None = None


def due_of_section(profile: Profile) -> tuple[DxfDue, DxfDue]:
    """What `half_section` should put into a file; the area by Green's theorem, that of r dz."""
    contour, axis = half_section(profile)
    boxes = [box_of(curve) for curve in profile.curves]
    low = [0.0 if not profile.is_ring else min(b.r_low for b in boxes), min(b.z_low for b in boxes)]
    high = [max(b.r_high for b in boxes), max(b.z_high for b in boxes)]
    area = sum(curve.flat_sums()[0] for curve in profile.curves)
    ends = [[0.0, low[1] - OVER_MM], [0.0, high[1] + OVER_MM]]
    return DxfDue(contour, np.array([low, high]), area), DxfDue(axis, np.array(ends))


def read_dxf(path: Path) -> DxfFile:
    """Read a DXF file and measure what lies on its layers, in their order.

    Raises:
        KernelFault: it cannot be read, or holds a fault that would have to be repaired.
    """
    from ezdxf.filemanagement import readfile
    from ezdxf.lldxf.const import DXFError

    try:
        drawing = readfile(path)
        faults = drawing.audit().errors
    except (OSError, DXFError, ValueError) as error:
        raise KernelFault(f"{path.name} cannot be read back: {error}") from error
    if faults:
        raise KernelFault(f"{path.name} cannot be read back: {faults[0].message}")
    unit = int(drawing.header.get("$INSUNITS", 0))
    found = []
    for layer in drawing.layers:
        own = [e for e in drawing.modelspace() if e.dxf.layer == layer.dxf.name]
        if own:
            found.append(_contours(layer, [_polygon(entity) for entity in own]))
    return DxfFile("mm" if unit == 4 else f"$INSUNITS {unit}", tuple(found))


def _polygon(entity: Any) -> Array:
    """Shape (n, 2), points along an entity."""
    if entity.dxftype() == "LINE":
        points = [entity.dxf.start, entity.dxf.end]
    elif entity.dxftype() in ("ARC", "CIRCLE", "ELLIPSE", "SPLINE"):
        points = list(entity.flattening(_FLAT_MM))
    else:
        raise KernelFault(f"a {entity.dxftype()} stands in a drawing of ours, which has none")
    return np.array([(p[0], p[1]) for p in points], dtype=float)


def _contours(layer: Any, polygons: Sequence[Array]) -> DxfContours:
    every = np.concatenate(polygons)
    bounds = np.array([every.min(axis=0), every.max(axis=0)])
    loops = list(_loops(polygons))
    closed = all(float(np.hypot(*(loop[0] - loop[-1]))) <= _MEET_MM for loop in loops)
    rgb = layer.rgb
    colour = "" if rgb is None else "#" + "".join(f"{x:02X}" for x in rgb)
    area = _between(loops) if closed else 0.0
    return DxfContours(layer.dxf.name, colour, layer.dxf.linetype, closed, area, bounds)


def _loops(polygons: Sequence[Array]) -> Iterator[Array]:
    """Polygons end to end, as far as they meet."""
    left = list(polygons)
    while left:
        loop = left.pop(0)
        while left and float(np.hypot(*(loop[0] - loop[-1]))) > _MEET_MM:
            gaps = np.array([[np.hypot(*(loop[-1] - p[k])) for k in (0, -1)] for p in left])
            at, end = np.unravel_index(int(gaps.argmin()), gaps.shape)
            if gaps[at, end] > _MEET_MM:
                break
            piece = left.pop(int(at))
            loop = np.concatenate([loop, (piece if end == 0 else piece[::-1])[1:]])
        yield loop


def _between(loops: Sequence[Array]) -> float:
    """The area inside an odd number of loops."""
    total = 0.0
    for k, loop in enumerate(loops):
        inside = sum(_holds(other, loop[0]) for j, other in enumerate(loops) if j != k)
        x, y = (loop - loop[0]).T
        area = abs(float((x[:-1] * y[1:] - x[1:] * y[:-1]).sum())) / 2.0
        total += area if inside % 2 == 0 else -area
    return total


def _holds(loop: Array, point: Array) -> bool:
    """Whether a point lies in a loop: a ray to the right crosses it an odd number of times."""
    a, b = loop[:-1], loop[1:]
    level = (a[:, 1] <= point[1]) != (b[:, 1] <= point[1])
    a, b = a[level], b[level]
    at = a[:, 0] + (point[1] - a[:, 1]) / (b[:, 1] - a[:, 1]) * (b[:, 0] - a[:, 0])
    return int((at > point[0]).sum()) % 2 == 1


def compare_dxf(file: str, due: Sequence[DxfDue], found: DxfFile) -> list[Comparison]:
    """A DXF file against what it should hold."""
    names = ", ".join(want.layer.name for want in due)
    rows = [
        equal(file, "", "unit", "mm", found.unit),
        equal(file, "", "layers", names, ", ".join(one.layer for one in found.layers)),
    ]
    for want, have in zip(due, found.layers, strict=False):
        name, bounds = want.layer.name, want.bounds_mm
        rows += [
            equal(file, name, "colour", want.layer.colour, have.colour),
            equal(file, name, "linetype", want.layer.linetype, have.linetype),
            near(
                file, name, "bounding box", bounds.ravel(), have.bounds_mm.ravel(), 2.0 * _FLAT_MM,
                "mm",
            ),
        ]  # fmt: skip
        if want.area_mm2 is not None:
            room = _FLAT_MM * _ROUND * float((bounds[1] - bounds[0]).sum())
            rows += [
                equal(file, name, "closed", True, have.closed),
                near(file, name, "area", [want.area_mm2], [have.area_mm2], room, "mm2"),
            ]
    return rows
