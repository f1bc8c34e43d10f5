"""The ball as one STEP file: an assembly in AP242, millimetres, one product a solid, in colour.

The CAD kernel writes the geometry; the text around it is put right here.  Names go through the
kernel as plain tokens and are written by ISO 10303-21's own rules, so that any letter survives in a
file of pure ASCII.  The header and the kernel's running numbers are replaced, and colours are set
here, so that the same design gives the same bytes.

The kernel's reader, which many programs share, has been seen to turn some correct files into other
solids: half an ellipsoid of revolution, a sphere with a hole inside out.  Each solid is therefore
read back on its own, and written in the first of several exact forms that comes back the same: as
it is, with closed faces divided at their seams, as rational B-splines, or both.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from pipeline.errors import KernelFault
from pipeline.kernel import kernel
from pipeline.naming import step_string
from pipeline.palette import rgb
from pipeline.solids import PartSolid

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
        solid: in the ball frame, mm.
    """

    name: str
    colour: str
    solid: cq.Solid


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


def write_step(parts: Sequence[PartSolid], name: str, path: Path, when: str) -> None:
    """Write the parts as one STEP file.

    Args:
        parts: solids in the ball frame, mm.
        name: of the assembly.
        path: the file to write.
        when: the time that the header carries, such as '2026-11-25T00:00:00'.

    Raises:
        KernelFault: the kernel could not write a solid.
        OSError: the file cannot be written.
    """
    bodies = bodies_of(parts)
    with kernel():
        shapes = [_lasting(body.solid) for body in bodies]
        text = _kernel_text(shapes)
    names = [name, *(body.name for body in bodies)]
    text = _coloured(text, [body.colour for body in bodies])
    path.write_bytes(_finished(text, names, path.name, when).encode("ascii"))


def _finished(text: str, names: Sequence[str], file: str, when: str) -> str:
    """The kernel's text with our header and names, and without its running numbers."""
    schema = re.search(r"FILE_SCHEMA\s*\(\(\s*'([^']*)'\s*\)\)\s*;", text)
    start, end = text.find("ENDSEC;"), text.rstrip().endswith("END-ISO-10303-21;")
    if not schema or start < 0 or not end:
        raise KernelFault("the CAD kernel wrote a STEP file that is not whole")
    header = (
        "ISO-10303-21;\nHEADER;\n"
        f"FILE_DESCRIPTION(('{step_string(names[0])}, design size, millimetres'),'2;1');\n"
        f"FILE_NAME('{step_string(file)}','{when}',(''),(''),'corewright','corewright','');\n"
        f"FILE_SCHEMA(('{schema[1]}'));\n"
    )
    body = re.sub(  # the running number goes: readers show it in place of some names
        r"(NEXT_ASSEMBLY_USAGE_OCCURRENCE)\(\s*'\d+'\s*,\s*('cw\d+')\s*,\s*''\s*,\s*(#\d+)\s*,"
        r"\s*(#\d+)\s*,\s*\$\s*\)",
        r"\1(\2,\2,'',\3,\4,$)",
        text[start:],
    )
    if names[0] in names[1:]:  # readers tell products apart by the first of the two
        body = body.replace("PRODUCT('cw0'", f"PRODUCT('{step_string(names[0])} (assembly)'", 1)
    return header + re.sub(r"'cw(\d+)'", lambda m: f"'{step_string(names[int(m[1])])}'", body)


def _coloured(text: str, colours: Sequence[str]) -> str:
    """The kernel's text with a colour for each solid; the kernel's own come in any order."""
    solids = re.findall(
        r"ADVANCED_BREP_SHAPE_REPRESENTATION\(\s*'',\s*\(#\d+,\s*(#\d+)\s*\),\s*(#\d+)\s*\)", text
    )
    if len(solids) != len(colours):
        raise KernelFault(f"the CAD kernel wrote {len(solids)} solids where {len(colours)} are due")
    last = max(int(number) for number in re.findall(r"^#(\d+) =", text, re.MULTILINE))
    lines = []
    for (solid, context), colour in zip(solids, colours, strict=True):
        shares = ",".join(f"{share:.6f}" for share in rgb(colour))  # COLOUR_RGB is sRGB
        style = [
            f"COLOUR_RGB('',{shares})",
            "FILL_AREA_STYLE_COLOUR('',#{})",
            "FILL_AREA_STYLE('',(#{}))",
            "SURFACE_STYLE_FILL_AREA(#{})",
            "SURFACE_SIDE_STYLE('',(#{}))",
            "SURFACE_STYLE_USAGE(.BOTH.,#{})",
            "PRESENTATION_STYLE_ASSIGNMENT((#{}))",
            f"STYLED_ITEM('colour',(#{{}}),{solid})",
            f"MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',(#{{}}),{context})",
        ]
        for entity in style:  # each stands on the one before it
            lines.append(f"#{last + 1} = {entity.format(last)};\n")
            last += 1
    head, end, tail = text.rpartition("ENDSEC;")
    return head + "".join(lines) + end + tail


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
