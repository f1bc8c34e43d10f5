"""STEP files read back as a stranger would, measured, and held against what they are written from.

They are read by the CAD kernel's assembly reader and measured by `shapes.boundary`, never by the
kernel's own mass properties; unit and schema are taken from the file's text.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from pipeline.comparison import Comparison, Due, equal, near, near_box, near_moments
from pipeline.errors import KernelFault
from pipeline.kernel import kernel
from pipeline.meshes import bounds_of
from pipeline.step import kernel_settings
from pipeline.step_text import Properties
from shapes.moments import Array, Moments

VOLUME_SHARE = 1e-6  # STEP: worst seen on 238 random solids 2.5e-7, on shipped designs 1e-12
CENTROID_SHARE = 1e-6  # of the cube root of the volume; the same
INERTIA_SHARE = 1e-6  # of the trace
AREA_SHARE = 1e-6  # worst seen on shipped designs and shapes that readers change 1e-11
# the mesh for a STEP solid's box: chord as a share of the cube root of the volume, so that a file
# in a wrong unit is meshed no finer, and angle
_CHORD_SHARE, _ANGLE_RAD = 3e-3, 0.5


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
        area_mm2: of its surface.
        layer: that it lies on; '' for none, 'a + b' for two.
        stated: validation properties that the file states of it; None where it states not all.
    """

    name: str
    colour: str
    moments: Moments
    bounds_mm: Array
    sag_mm: float
    closed: bool
    area_mm2: float
    layer: str = ""
    stated: Properties | None = None


@dataclass(frozen=True, eq=False)
class StepFile:
    """A whole STEP file: its assembly's name, schema, unit ('mm' or what else it says), solids."""

    name: str
    schema: str
    unit: str
    bodies: tuple[StepBody, ...]


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
        reader.SetLayerMode(True)
        reader.SetPropsMode(True)
        status = reader.ReadStream(file, io.BytesIO(data))
        if status != IFSelect_ReturnStatus.IFSelect_RetDone or not reader.Transfer(document):
            raise KernelFault(f"{file} cannot be read back")
        tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
        free = TDF_LabelSequence()
        tool.GetFreeShapes(free)
        tops = [free.Value(k) for k in range(1, free.Length() + 1)]
        layers = XCAFDoc_DocumentTool.LayerTool_s(document.Main())
        bodies = tuple(b for top in tops for b in _walk(top, TopLoc_Location(), layers))
        return " + ".join(_name(top) for top in tops), bodies


def _walk(label: Any, place: Any, layers: Any) -> Iterator[StepBody]:
    """Every solid below a label of the kernel's document, where the assembly puts it."""
    from OCP.TDF import TDF_Label, TDF_LabelSequence
    from OCP.XCAFDoc import XCAFDoc_ShapeTool as Tool

    if Tool.IsAssembly_s(label):
        parts = TDF_LabelSequence()
        Tool.GetComponents_s(label, parts, False)
        for k in range(1, parts.Length() + 1):
            product = TDF_Label()
            Tool.GetReferredShape_s(parts.Value(k), product)
            there = place.Multiplied(Tool.GetLocation_s(parts.Value(k)))
            yield from _walk(product, there, layers)
        return
    import cadquery as cq

    shape = Tool.GetShape_s(label)
    for solid in cq.Shape.cast(shape.Moved(place)).Solids():
        body = _measured(solid, _name(label), _colour(label))
        yield replace(body, layer=_layer(label, layers), stated=_stated(label))


def _measured(solid: Any, name: str, colour: str) -> StepBody:
    from shapes.boundary import area_of_solid, moments_of_solid
    from shapes.errors import SolidError
    from shapes.facets import facets_of

    whole = solid.isValid() and all(shell.wrapped.Closed() for shell in solid.Shells())
    moments, area = moments_of_solid(solid), area_of_solid(solid)
    size = np.cbrt(moments.volume_mm3)
    try:
        mesh = facets_of(solid, _CHORD_SHARE * size, _ANGLE_RAD) if size > 0.0 else None
    except SolidError:
        mesh = None
    if mesh is None:
        return StepBody(name, colour, moments, np.zeros((2, 3)), 0.0, False, area)
    return StepBody(name, colour, moments, bounds_of(mesh.corners_mm), mesh.sag_mm, whole, area)


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


def _layer(label: Any, layers: Any) -> str:
    from OCP.TDF import TDF_LabelSequence

    found = TDF_LabelSequence()
    layers.GetLayers(label, found)
    return " + ".join(sorted(_name(found.Value(k)) for k in range(1, found.Length() + 1)))


def _stated(label: Any) -> Properties | None:
    from OCP.TDF import TDF_AttributeIterator

    found: dict[str, Any] = {}
    attributes = TDF_AttributeIterator(label)
    while attributes.More():  # asked for by their identifiers, the kernel's binding crashes
        attribute = attributes.Value()
        found[type(attribute).__name__] = attribute
        attributes.Next()
    volume, area, centroid = (found.get(f"XCAFDoc_{w}") for w in ("Volume", "Area", "Centroid"))
    if volume is None or area is None or centroid is None:
        return None
    at = centroid.Get()
    return Properties(volume.Get(), area.Get(), (at.X(), at.Y(), at.Z()))


def compare_step(file: str, name: str, due: Sequence[Due], found: StepFile) -> list[Comparison]:
    """A STEP file against what it should hold."""
    rows = [
        equal(file, "", "schema", "AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF", found.schema),
        equal(file, "", "unit", "mm", found.unit),
        equal(file, "", "name", name, found.name),
        equal(file, "", "solids", len(due), len(found.bodies)),
    ]
    for want, body in zip(due, found.bodies, strict=False):
        volume = want.moments.volume_mm3
        shift = CENTROID_SHARE * volume ** (1.0 / 3.0)
        rows += [
            equal(file, want.name, "name", want.name, body.name),
            equal(file, want.name, "colour", want.colour, body.colour),
            equal(file, want.name, "closed", True, body.closed),
            *near_moments(file, want, body.moments, VOLUME_SHARE * volume, shift),
            _near_inertia(file, want, body.moments),
            near_box(file, want, body.bounds_mm, want.facets.sag_mm + body.sag_mm),
        ]
        if want.layer or body.layer:
            rows.append(equal(file, want.name, "layer", want.layer, body.layer))
        if want.area_mm2 is not None:
            rows += _near_stated(file, want, want.area_mm2, body)
    return rows


def _near_stated(file: str, due: Due, area_mm2: float, found: StepBody) -> list[Comparison]:
    """The area as it is measured, and volume, area and centroid as the file states them."""
    volume = due.moments.volume_mm3
    off, off_area = VOLUME_SHARE * volume, AREA_SHARE * area_mm2
    said = found.stated or Properties(np.nan, np.nan, (np.nan,) * 3)
    rows = (
        ("surface area", [area_mm2], [found.area_mm2], off_area, "mm2"),
        ("stated volume", [volume], [said.volume_mm3], off, "mm3"),
        ("stated surface area", [area_mm2], [said.area_mm2], off_area, "mm2"),
        (
            "stated centroid", due.moments.centroid_mm(), said.centroid_mm,
            CENTROID_SHARE * volume ** (1.0 / 3.0), "mm",
        ),
    )  # fmt: skip
    return [near(file, due.name, *row) for row in rows]


def _near_inertia(file: str, due: Due, found: Moments) -> Comparison:
    at = np.triu_indices(3)
    want = due.moments.inertia_mm5()
    have = found.inertia_mm5() if found.volume_mm3 else np.full((3, 3), np.nan)
    tolerance = INERTIA_SHARE * float(np.trace(want))
    return near(file, due.name, "inertia at unit density", want[at], have[at], tolerance, "mm5")
