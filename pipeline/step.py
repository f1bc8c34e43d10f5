"""Solids as one STEP file: an assembly in AP242, millimetres, one product a solid, in colour.

The CAD kernel writes the geometry; the text around it is put right by `pipeline.step_text`.  Names
go through the kernel as plain tokens.

The kernel's reader, which many programs share, has been seen to turn some correct files into other
solids: half an ellipsoid of revolution, a sphere with a hole inside out.  Each solid is therefore
read back on its own, and written in the first of several exact forms that comes back the same: as
it is, with closed faces divided at their seams, as rational B-splines, or both.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from pipeline.errors import KernelFault
from pipeline.kernel import kernel
from pipeline.solids import PartSolid
from pipeline.step_text import Properties, coloured, finished, layered, validated

if TYPE_CHECKING:
    import cadquery as cq

    from shapes.moments import Moments

_SETTINGS = {
    "write.step.schema": "AP242DIS",
    "write.step.unit": "MM",
    "xstep.cascade.unit": "MM",
    "write.step.assembly": "Auto",
    "write.surfacecurve.mode": "On",
}
_SAME = 1e-7  # share of volume and inertia within which a solid that was read back is the same


@dataclass(frozen=True, eq=False)
class Body:
    """One solid with what the file says of it.

    Attributes:
        name: of the part, with its number when the part has several lumps.
        colour: '#RRGGBB' in capitals, as seen on a screen (sRGB).
        solid: in the frame of the file, mm.
        layer: the layer that it lies on; '' for none.
        moments: its exact ones about the origin, mm; when given, volume, surface area and centroid
            stand in the file for its reader to check by.
    """

    name: str
    colour: str
    solid: cq.Solid
    layer: str = ""
    moments: Moments | None = None


def bodies_of(parts: Sequence[PartSolid]) -> tuple[Body, ...]:
    """One body a lump, named after its part; 'part (1)', 'part (2)' when there are several."""
    taken = {one.part.name for one in parts}
    found = []
    for one in parts:
        for k, lump in enumerate(one.lumps, start=1):
            name = one.part.name
            if len(one.lumps) > 1:
                name = f"{name} ({k})"
                while name in taken:
                    name += "*"
                taken.add(name)
            found.append(Body(name, one.part.colour.upper(), lump))
    return tuple(found)


def write_step(
    bodies: Sequence[Body], name: str, path: Path, when: str, what: str = "design size, millimetres"
) -> None:
    """Write bodies as one STEP file.

    Args:
        bodies: in one frame, mm.
        name: of the assembly.
        path: the file to write.
        when: the time that the header carries, such as '2026-11-25T00:00:00'.
        what: what the header says of the file after its name.

    Raises:
        KernelFault: the kernel could not write a solid.
        OSError: the file cannot be written.
    """
    with kernel():
        shapes = [_lasting(body.solid) for body in bodies]
        properties = [_properties(body) for body in bodies]
        text = _kernel_text(shapes)
    text = coloured(text, [body.colour for body in bodies])
    text = layered(text, [body.layer for body in bodies])
    text = validated(text, properties)
    names = [name, *(body.name for body in bodies)]
    path.write_bytes(finished(text, names, path.name, when, what).encode("ascii"))


def _properties(body: Body) -> Properties | None:
    from shapes.boundary import area_of_solid

    if body.moments is None:
        return None
    x, y, z = (float(at) for at in body.moments.centroid_mm())
    return Properties(body.moments.volume_mm3, area_of_solid(body.solid), (x, y, z))


def _kernel_text(shapes: Sequence[Any]) -> str:
    """The kernel's own STEP text of an assembly; products are cw0 (the whole), cw1, cw2 ..."""
    from OCP.IFSelect import IFSelect_ReturnStatus
    from OCP.STEPCAFControl import STEPCAFControl_Writer
    from OCP.TCollection import TCollection_ExtendedString
    from OCP.TDataStd import TDataStd_Name
    from OCP.TDocStd import TDocStd_Document
    from OCP.TopLoc import TopLoc_Location
    from OCP.UnitsMethods import UnitsMethods_LengthUnit
    from OCP.XCAFDoc import XCAFDoc_DocumentTool

    with kernel_settings():
        document = TDocStd_Document(TCollection_ExtendedString("XmlOcaf"))
        XCAFDoc_DocumentTool.SetLengthUnit_s(
            document, 1.0, UnitsMethods_LengthUnit.UnitsMethods_LengthUnit_Millimeter
        )
        tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
        whole = tool.NewShape()
        TDataStd_Name.Set_s(whole, TCollection_ExtendedString("cw0"))
        for k, shape in enumerate(shapes, start=1):
            label = tool.AddShape(shape, False)
            for named in (label, tool.AddComponent(whole, label, TopLoc_Location())):
                TDataStd_Name.Set_s(named, TCollection_ExtendedString(f"cw{k}"))
        tool.UpdateAssemblies()
        writer = STEPCAFControl_Writer()
        writer.SetColorMode(False)
        writer.SetNameMode(True)
        stream = io.BytesIO()
        if (
            not writer.Transfer(document)
            or writer.WriteStream(stream) != IFSelect_ReturnStatus.IFSelect_RetDone
        ):
            raise KernelFault("the CAD kernel could not write the STEP file")
    return stream.getvalue().decode("ascii")


@contextmanager
def kernel_settings() -> Iterator[None]:
    """The kernel's global settings as this file needs them, and then as they were."""
    from OCP.Interface import Interface_Static
    from OCP.STEPCAFControl import STEPCAFControl_Controller

    STEPCAFControl_Controller.Init_s()
    before = {key: Interface_Static.CVal_s(key) for key in _SETTINGS}
    try:
        for key, value in _SETTINGS.items():
            if not Interface_Static.SetCVal_s(key, value):
                raise KernelFault(f"the CAD kernel does not take {value} for {key}")
        yield
    finally:
        for key, value in before.items():
            Interface_Static.SetCVal_s(key, value)


def _lasting(solid: cq.Solid) -> Any:
    """The solid in the first form that comes back from a STEP file as the same solid.

    When none does, the nearest: what was written is measured again before it is handed over.
    """
    from shapes.boundary import moments_of_solid

    due = moments_of_solid(solid)
    best: tuple[float, Any] | None = None
    for form in (_as_is, _divided, _splined, lambda shape: _divided(_splined(shape))):
        shape = form(_standing(solid))
        error = _change(due, shape)
        if error <= _SAME:
            return shape
        if best is None or error < best[0]:
            best = error, shape
    assert best is not None
    return best[1]


def _standing(solid: cq.Solid) -> Any:
    """A copy whose own coordinates are the ball's, so that a product opened alone is in place."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
    from OCP.TopLoc import TopLoc_Location

    shape = solid.wrapped
    move = shape.Location().Transformation()
    return BRepBuilderAPI_Transform(shape.Located(TopLoc_Location()), move, True).Shape()


def _as_is(shape: Any) -> Any:
    return shape


def _divided(shape: Any) -> Any:
    """Every face that closes upon itself as two."""
    from OCP.ShapeUpgrade import ShapeUpgrade_ShapeDivideClosed

    divide = ShapeUpgrade_ShapeDivideClosed(shape)
    divide.SetNbSplitPoints(1)
    divide.Perform()
    return divide.Result()


def _splined(shape: Any) -> Any:
    """Every face as an exact rational B-spline."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_NurbsConvert

    return BRepBuilderAPI_NurbsConvert(shape, True).Shape()


def _change(due: Moments, shape: Any) -> float:
    """How far a STEP file changes a solid: the greatest share of volume, place and inertia.

    Infinite when it is no longer one valid solid.
    """
    from OCP.Standard import Standard_Failure

    from shapes.boundary import moments_of_solid

    try:
        solids = _read(_kernel_text([shape]))
    except Standard_Failure:
        return np.inf
    if len(solids) != 1 or not solids[0].isValid():
        return np.inf
    found = moments_of_solid(solids[0])
    if not (np.isfinite(found.second_mm5).all() and found.volume_mm3 > 0.0):
        return np.inf
    size = due.volume_mm3 ** (1.0 / 3.0)
    inertia = due.inertia_mm5()
    shares = [
        found.volume_mm3 / due.volume_mm3 - 1.0,
        *((found.centroid_mm() - due.centroid_mm()) / size),
        *((found.inertia_mm5() - inertia) / np.trace(inertia)).ravel(),
    ]
    return float(np.abs(shares).max())


def _read(text: str) -> list[cq.Solid]:
    """Every solid of a STEP file's text."""
    import cadquery as cq
    from OCP.IFSelect import IFSelect_ReturnStatus
    from OCP.STEPControl import STEPControl_Reader

    with kernel_settings():
        reader = STEPControl_Reader()
        status = reader.ReadStream("body", io.BytesIO(text.encode("ascii")))
        if status != IFSelect_ReturnStatus.IFSelect_RetDone or not reader.TransferRoots():
            return []
        return cq.Shape.cast(reader.OneShape()).Solids()
