"""Files read back as a stranger would, measured, and held against what they were written from.

STEP is read by the CAD kernel's assembly reader and measured by `shapes.boundary`, never by the
kernel's own mass properties; its unit and schema are taken from the file's text.  STL is read by
`pipeline.stl`.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from pipeline.errors import KernelFault
from pipeline.kernel import kernel
from pipeline.step import kernel_settings
from pipeline.stl import StlFile, bounds_of, left_out, rounding_mm
from shapes.moments import Array, Moments

if TYPE_CHECKING:
    from shapes.facets import Facets

VOLUME_SHARE = 1e-6  # STEP: worst seen on 238 random solids 2.5e-7, on shipped designs 1e-12
CENTROID_SHARE = 1e-6  # of the cube root of the volume; the same
INERTIA_SHARE = 1e-6  # of the trace
# the mesh for a STEP solid's box: chord as a share of the cube root of the volume, so that a file
# in a wrong unit is meshed no finer, and angle
_CHORD_SHARE, _ANGLE_RAD = 3e-4, 0.2

Value = float | int | str | bool | tuple[float, ...]


@dataclass(frozen=True, eq=False)
class StepBody:
    """One solid of a STEP file.

    Attributes:
        name: of its product.
        colour: '#RRGGBB', or '' when it has none.
        moments: about the origin of the file's frame, mm.
        bounds_mm: shape (2, 3), least and greatest coordinates of points on its surface.
        sag_mm: how far it may reach beyond these bounds.
        closed: one valid solid with closed shells whose mesh closes too.
    """

    name: str
    colour: str
    moments: Moments
    bounds_mm: Array
    sag_mm: float
    closed: bool


@dataclass(frozen=True, eq=False)
class StepFile:
    """A whole STEP file: its assembly's name, schema, unit ('mm' or what else it says), solids."""

    name: str
    schema: str
    unit: str
    bodies: tuple[StepBody, ...]


@dataclass(frozen=True)
class Comparison:
    """One quantity of a file that was read back.

    Attributes:
        file, body, quantity: what was compared; body is '' for the whole file.
        due, found: by the source, and in the file.
        tolerance: how far they may differ, in `unit`; 0 for what must be equal.
        passed: whether they agree.
    """

    file: str
    body: str
    quantity: str
    due: Value
    found: Value
    tolerance: float
    unit: str
    passed: bool


@dataclass(frozen=True, eq=False)
class Due:
    """What a body in a file should be.

    Attributes:
        name, colour: as asked for.
        moments: about the ball's centre, mm.
        facets: a mesh with its corners on the surface, mm.
    """

    name: str
    colour: str
    moments: Moments
    facets: Facets


def read_step(path: Path) -> StepFile:
    """Read a STEP file with a reader of its own.

    Raises:
        KernelFault: it cannot be read.
    """
    data = path.read_bytes()
    text = data.decode("latin-1")
    schema = re.search(r"FILE_SCHEMA\s*\(\s*\(\s*'([^' ]*)", text)
    with kernel():
        name, bodies = _bodies(data, path.name)
    return StepFile(name, schema[1] if schema else "", _unit(text), bodies)


def _unit(text: str) -> str:
    """'mm' when every length of the file is in millimetres, else all the units that it declares."""
    found = set()
    for entity in re.findall(r"#\d+\s*=\s*\((?:[^;']|'[^']*')*?LENGTH_UNIT\s*\(\)[^;]*;", text):
        other = re.search(r"CONVERSION_BASED_UNIT\s*\(\s*'([^']*)'", entity)
        si = re.search(r"SI_UNIT\s*\(([^)]*)\)", entity)
        found.add(other[1] if other else re.sub(r"\s", "", si[1]) if si else "unknown")
    return ", ".join("mm" if u == ".MILLI.,.METRE." else u for u in sorted(found)) or "none"


def _bodies(data: bytes, file: str) -> tuple[str, tuple[StepBody, ...]]:
    from OCP.IFSelect import IFSelect_ReturnStatus
    from OCP.STEPCAFControl import STEPCAFControl_Reader
    from OCP.TCollection import TCollection_ExtendedString
    from OCP.TDF import TDF_LabelSequence
    from OCP.TDocStd import TDocStd_Document
    from OCP.TopLoc import TopLoc_Location
    from OCP.UnitsMethods import UnitsMethods_LengthUnit
    from OCP.XCAFDoc import XCAFDoc_DocumentTool

    with kernel_settings():
        document = TDocStd_Document(TCollection_ExtendedString("XmlOcaf"))
        XCAFDoc_DocumentTool.SetLengthUnit_s(
            document, 1.0, UnitsMethods_LengthUnit.UnitsMethods_LengthUnit_Millimeter
        )
        reader = STEPCAFControl_Reader()
        reader.SetColorMode(True)
        reader.SetNameMode(True)
        status = reader.ReadStream(file, io.BytesIO(data))
        if status != IFSelect_ReturnStatus.IFSelect_RetDone or not reader.Transfer(document):
            raise KernelFault(f"{file} cannot be read back")
        tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
        free = TDF_LabelSequence()
        tool.GetFreeShapes(free)
        tops = [free.Value(k) for k in range(1, free.Length() + 1)]
        bodies = tuple(b for top in tops for b in _walk(top, TopLoc_Location()))
        return " + ".join(_name(top) for top in tops), bodies


def _walk(label: Any, place: Any) -> Iterator[StepBody]:
    """Every solid below a label of the kernel's document, where the assembly puts it."""
    from OCP.TDF import TDF_Label, TDF_LabelSequence
    from OCP.XCAFDoc import XCAFDoc_ShapeTool as Tool

    if Tool.IsAssembly_s(label):
        parts = TDF_LabelSequence()
        Tool.GetComponents_s(label, parts, False)
        for k in range(1, parts.Length() + 1):
            product = TDF_Label()
            Tool.GetReferredShape_s(parts.Value(k), product)
            yield from _walk(product, place.Multiplied(Tool.GetLocation_s(parts.Value(k))))
        return
    import cadquery as cq

    shape = Tool.GetShape_s(label)
    for solid in cq.Shape.cast(shape.Moved(place)).Solids():
        yield _measured(solid, _name(label), _colour(label))


def _measured(solid: Any, name: str, colour: str) -> StepBody:
    from shapes.boundary import moments_of_solid
    from shapes.errors import SolidError
    from shapes.facets import facets_of

    whole = solid.isValid() and all(shell.wrapped.Closed() for shell in solid.Shells())
    moments = moments_of_solid(solid)
    size = np.cbrt(moments.volume_mm3)
    try:
        mesh = facets_of(solid, _CHORD_SHARE * size, _ANGLE_RAD) if size > 0.0 else None
    except SolidError:
        mesh = None
    if mesh is None:
        return StepBody(name, colour, moments, np.zeros((2, 3)), 0.0, False)
    return StepBody(name, colour, moments, bounds_of(mesh.corners_mm), mesh.sag_mm, whole)


def _name(label: Any) -> str:
    from OCP.TDataStd import TDataStd_Name

    name = TDataStd_Name()
    found = label.FindAttribute(TDataStd_Name.GetID_s(), name)
    return str(name.Get().ToExtString()) if found else ""


def _colour(label: Any) -> str:
    from OCP.Quantity import Quantity_Color, Quantity_TypeOfColor
    from OCP.XCAFDoc import XCAFDoc_ColorTool, XCAFDoc_ColorType

    colour = Quantity_Color()
    for kind in (XCAFDoc_ColorType.XCAFDoc_ColorGen, XCAFDoc_ColorType.XCAFDoc_ColorSurf):
        if XCAFDoc_ColorTool.GetColor_s(label, kind, colour):
            seen = colour.Values(Quantity_TypeOfColor.Quantity_TOC_sRGB)
            return "#" + "".join(f"{round(255 * x):02X}" for x in seen)
    return ""


def compare_step(file: str, name: str, due: Sequence[Due], found: StepFile) -> list[Comparison]:
    """A STEP file against what it should hold."""
    rows = [
        _equal(file, "", "schema", "AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF", found.schema),
        _equal(file, "", "unit", "mm", found.unit),
        _equal(file, "", "name", name, found.name),
        _equal(file, "", "solids", len(due), len(found.bodies)),
    ]
    for want, body in zip(due, found.bodies, strict=False):
        volume = want.moments.volume_mm3
        shift = CENTROID_SHARE * volume ** (1.0 / 3.0)
        rows += [
            _equal(file, want.name, "name", want.name, body.name),
            _equal(file, want.name, "colour", want.colour, body.colour),
            _equal(file, want.name, "closed", True, body.closed),
            *_moments(file, want, body.moments, VOLUME_SHARE * volume, shift),
            _inertia(file, want, body.moments),
            _box(file, want, body.bounds_mm, want.facets.sag_mm + body.sag_mm),
        ]
    return rows


def compare_stl(file: str, due: Due, found: StlFile, chord_mm: float) -> list[Comparison]:
    """An STL file against the part that it should be, within what its triangles leave out."""
    facets = due.facets
    off, moment = left_out(facets, due.moments.centroid_mm())
    shift = moment / (due.moments.volume_mm3 - off)
    whole = 84 + 50 * len(facets.triangles)
    return [
        _near(file, due.name, "chord", [0.0], [facets.sag_mm], chord_mm, "mm"),
        _equal(file, due.name, "triangles", len(facets.triangles), found.triangles),
        _equal(file, due.name, "size", whole, found.size_bytes, "bytes"),
        _equal(file, due.name, "closed", True, found.closed),
        *_moments(file, due, found.moments, off, shift),
        _box(file, due, found.bounds_mm, 2.0 * rounding_mm(facets)),
    ]


def _moments(
    file: str, due: Due, found: Moments, volume_mm3: float, shift_mm: float
) -> list[Comparison]:
    at = found.centroid_mm() if found.volume_mm3 else np.full(3, np.nan)
    want = due.moments
    return [
        _near(file, due.name, "volume", [want.volume_mm3], [found.volume_mm3], volume_mm3, "mm3"),
        _near(file, due.name, "centroid", want.centroid_mm(), at, shift_mm, "mm"),
    ]


def _box(file: str, due: Due, found_mm: Array, tolerance: float) -> Comparison:
    want = bounds_of(due.facets.corners_mm).ravel()
    return _near(file, due.name, "bounding box", want, found_mm.ravel(), tolerance, "mm")


def _inertia(file: str, due: Due, found: Moments) -> Comparison:
    at = np.triu_indices(3)
    want = due.moments.inertia_mm5()
    have = found.inertia_mm5() if found.volume_mm3 else np.full((3, 3), np.nan)
    tolerance = INERTIA_SHARE * float(np.trace(want))
    return _near(file, due.name, "inertia at unit density", want[at], have[at], tolerance, "mm5")


def _equal(
    file: str, body: str, quantity: str, due: Value, found: Value, unit: str = ""
) -> Comparison:
    return Comparison(file, body, quantity, due, found, 0.0, unit, due == found)


def _near(
    file: str,
    body: str,
    quantity: str,
    due: Sequence[float] | Array,
    found: Sequence[float] | Array,
    tolerance: float,
    unit: str,
) -> Comparison:
    """Numbers of one kind; passed when the greatest difference is within the tolerance."""
    gap = float(np.abs(np.subtract(found, due)).max())
    return Comparison(
        file, body, quantity, _value(due), _value(found), tolerance, unit, gap <= tolerance
    )


def _value(numbers: Sequence[float] | Array) -> Value:
    found = tuple(float(x) for x in numbers)
    return found if len(found) > 1 else found[0]
