"""One solid out of a STEP file, and why there is none."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from functools import lru_cache
from pathlib import Path

import cadquery as cq
from OCP.BRep import BRep_Tool
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeSolid, BRepBuilderAPI_Sewing
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.Interface import Interface_Static
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label, TDF_LabelSequence
from OCP.TDocStd import TDocStd_Document
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS, TopoDS_Shape
from OCP.TopTools import TopTools_IndexedDataMapOfShapeListOfShape
from OCP.XCAFDoc import XCAFDoc_DocumentTool, XCAFDoc_ShapeTool

from shapes.attachment import Attachment
from shapes.boundary import moments_of_solid
from shapes.errors import ShapeError
from shapes.step_plain import faces_agree, silence

_GAP = rb"(?:\s|/\*.*?\*/)*"
_SOLID = re.compile(
    rb"MANIFOLD_SOLID_BREP%b\(%b('(?:[^']|'')*')%b,%b(#\d+)%b\)" % ((_GAP,) * 5), re.DOTALL
)
_TURN = "export it right side out, or write 'heal: yes' to have it turned"
_SEW_MM = 0.01  # loose edges that lie nearer than this may be sewn together


@dataclass(frozen=True, eq=False)
class Found:
    """The solid, and what was mended to get it; empty when nothing was."""

    solid: cq.Solid
    note: str


@dataclass(frozen=True, eq=False)
class Product:
    """A product of the file where it is used, with its own geometry."""

    name: str
    shape: TopoDS_Shape


@lru_cache(maxsize=16)
def solid_in(file: Attachment, product: str, heal: bool) -> Found:
    """The solid of a file, mm.

    Args:
        file: a STEP file.
        product: the name of the product to take; may be empty where there is one solid.
        heal: whether loose faces may be sewn.

    Raises:
        ShapeError: there is no such product, or not one sound solid in it.
    """
    products = _chosen(file.data, product, file.name)
    solids = [(p, s) for p in products for s in cq.Shape.cast(p.shape).Solids()]
    if len(solids) > 1:
        names = sorted({p.name for p, _ in solids})
        listed = ", ".join(f"'{n}'" for n in names[:12]) + (", ..." if names[12:] else "")
        raise ShapeError(
            "product",
            f"{file.name} holds {len(solids)} solids where one is due; "
            + (f"choose one of the products {listed}" if len(names) > 1 else
               f"all belong to the product {listed}: export the one body alone"),
        )  # fmt: skip
    if solids:
        loose = [
            s for p in products for s in cq.Shape.cast(p.shape).Shells() if not _own(s, solids)
        ]
        if loose:
            raise ShapeError(
                "file",
                f"{file.name} holds {len(loose)} loose shells beside the solid; export it alone",
            )
        mended = _mended_by_reader(file, product)
        if mended and not heal:
            raise ShapeError("file", f"the solid of {file.name} {mended}; {_TURN}")
        note = (
            f"the solid of {file.name}, which {mended}, was turned right side out; "
            if mended
            else ""
        )
        return _sound(solids[0][1], file.name, heal, note)
    faces = [f for p in products for f in cq.Shape.cast(p.shape).Faces()]
    if not faces:
        raise ShapeError("file", f"{file.name} holds no solid and no face, nothing that has volume")
    if not heal:
        raise ShapeError(
            "file",
            f"{file.name} holds {len(faces)} faces and no solid ({_free_edges(products)}); export "
            "a solid, or write 'heal: yes' to have them sewn",
        )
    return _sewn(faces, file.name)


def _chosen(data: bytes, product: str, file: str) -> list[Product]:
    products = list(_products(data, file))
    return _named(products, product, file) if product else products


def _turned_by_reader(file: Attachment, product: str) -> bool:
    """Whether the kernel's reader turned a solid that stands inside out in the file.

    It does so without a word.  So the file is read again with its solids called shells, which the
    reader leaves as they are.
    """
    raw = _SOLID.sub(rb"SHELL_BASED_SURFACE_MODEL(\1,(\2))", file.data)
    shells = [
        shell
        for one in _chosen(raw, product, file.name)
        for shell in cq.Shape.cast(one.shape).Shells()
    ]
    # only its faces are asked for, and a shell has those too
    return len(shells) == 1 and moments_of_solid(shells[0]).volume_mm3 < 0.0  # type: ignore[arg-type]


def _own(shell: cq.Shape, solids: Sequence[tuple[Product, cq.Shape]]) -> bool:
    """Whether a shell bounds one of the solids."""
    return any(shell.wrapped.IsSame(s.wrapped) for _, solid in solids for s in solid.Shells())


def _mended_by_reader(file: Attachment, product: str) -> str:
    """What the kernel's reader mended of a solid, as the rest of a sentence; it does so unasked."""
    agree = faces_agree(file.data)
    if agree and not any(agree):  # of several solids, which one is asked for is not known here
        return "has faces that contradict each other, some seen from inside"
    return "is inside out" if _turned_by_reader(file, product) else ""


def _products(data: bytes, file: str) -> Iterator[Product]:
    """Every product that has geometry of its own, where each use of it stands."""
    with tempfile.TemporaryDirectory(prefix="corewright-") as folder, silence():
        path = Path(folder) / "body.step"  # the kernel reads from a path only
        path.write_bytes(data)
        # the unit that lengths are converted to; other code may have left another one there
        Interface_Static.SetCVal_s("xstep.cascade.unit", "MM")
        reader = STEPCAFControl_Reader()
        reader.SetNameMode(True)
        document = TDocStd_Document(TCollection_ExtendedString("corewright"))
        read = reader.ReadFile(str(path)) == IFSelect_ReturnStatus.IFSelect_RetDone
        if not read or not reader.Transfer(document):
            raise ShapeError("file", f"{file} is no STEP file that can be read")
    tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    free = TDF_LabelSequence()
    tool.GetFreeShapes(free)
    for k in range(1, free.Length() + 1):
        yield from _below(free.Value(k), TopLoc_Location())


def _below(label: TDF_Label, place: TopLoc_Location) -> Iterator[Product]:
    if not XCAFDoc_ShapeTool.IsAssembly_s(label):
        shape = XCAFDoc_ShapeTool.GetShape_s(label)
        yield Product(_name(label), shape.Moved(place))
        return
    parts = TDF_LabelSequence()
    XCAFDoc_ShapeTool.GetComponents_s(label, parts)
    for k in range(1, parts.Length() + 1):
        part, own = parts.Value(k), TDF_Label()
        here = place.Multiplied(XCAFDoc_ShapeTool.GetLocation_s(part))
        if XCAFDoc_ShapeTool.GetReferredShape_s(part, own):
            yield from _below(own, here)


def _name(label: TDF_Label) -> str:
    name = TDataStd_Name()
    if not label.FindAttribute(TDataStd_Name.GetID_s(), name):
        return ""
    return str(name.Get().ToExtString())


def _named(products: Sequence[Product], name: str, file: str) -> list[Product]:
    found = [p for p in products if p.name == name]
    if not found:
        names = sorted({p.name for p in products})
        near = get_close_matches(name, names, n=1)
        advice = f"; did you mean '{near[0]}'?" if near else ""
        listed = ", ".join(f"'{n}'" for n in names[:12]) + (", ..." if names[12:] else "")
        raise ShapeError("product", f"{file} has no product '{name}', but {listed}{advice}")
    if len(found) > 1:
        raise ShapeError(
            "product", f"{file} uses the product '{name}' {len(found)} times; export it alone"
        )
    return found


def _sound(solid: cq.Shape, file: str, heal: bool, note: str = "") -> Found:
    """The solid, when it is closed, valid and right side out."""
    loose = _free(solid.wrapped)
    if loose or any(not shell.wrapped.Closed() for shell in solid.Shells()):
        if heal:
            return _sewn(solid.Faces(), file)
        raise ShapeError(
            "file",
            f"the solid of {file} is open: {_told(loose)}; export a closed one, or write 'heal: "
            "yes' to have its faces sewn",
        )
    shells = len(solid.Shells())
    if shells > 1:
        raise ShapeError(
            "file", f"the solid of {file} has {shells} shells, a hollow within; export it filled, "
            "and let the hollow's part claim its space"
        )  # fmt: skip
    whole = cq.Solid(TopoDS.Solid_s(solid.wrapped))
    if not BRepCheck_Analyzer(whole.wrapped).IsValid():
        raise ShapeError("file", f"the solid of {file} is not valid; mend it where it was made")
    moments = moments_of_solid(whole)
    box = whole.BoundingBox()
    if abs(moments.volume_mm3) <= 1e-12 * float(box.DiagonalLength) ** 3:
        raise ShapeError("file", f"the solid of {file} encloses no volume")
    if moments.volume_mm3 < 0.0:  # the reader turns solids, but not what was sewn here
        whole = cq.Solid(TopoDS.Solid_s(whole.wrapped.Reversed()))
    return Found(whole, note.removesuffix("; "))


def _sewn(faces: Sequence[cq.Face], file: str) -> Found:
    """Faces sewn into one closed shell, where they lie close enough."""
    sewing = BRepBuilderAPI_Sewing(_SEW_MM)
    for face in faces:
        sewing.Add(face.wrapped)
    sewing.Perform()
    shells = cq.Shape.cast(sewing.SewedShape()).Shells()
    if len(shells) != 1:
        raise ShapeError(
            "file", f"the {len(faces)} faces of {file} sew into {len(shells)} shells, not one"
        )
    loose = _free(shells[0].wrapped)
    if loose:
        raise ShapeError(
            "file", f"the faces of {file} stay open when sewn to {_SEW_MM} mm: {_told(loose)}"
        )
    solid = BRepBuilderAPI_MakeSolid(TopoDS.Shell_s(shells[0].wrapped)).Solid()
    note = f"{len(faces)} faces of {file} were sewn into a solid, gaps up to {_SEW_MM} mm closed; "
    return _sound(cq.Solid(solid), file, True, note)


def _free(shape: TopoDS_Shape) -> list[cq.Edge]:
    """Edges that belong to one face only, and are no seam of it."""
    owners = TopTools_IndexedDataMapOfShapeListOfShape()
    TopExp.MapShapesAndUniqueAncestors_s(
        shape, TopAbs_ShapeEnum.TopAbs_EDGE, TopAbs_ShapeEnum.TopAbs_FACE, owners
    )
    found = []
    for k in range(1, owners.Extent() + 1):
        edge = cq.Edge(TopoDS.Edge_s(owners.FindKey(k)))
        faces = owners.FindFromIndex(k)
        if faces.Extent() == 1 and not _inner(edge, faces.First()):
            found.append(edge)
    return found


def _inner(edge: cq.Edge, face: TopoDS_Shape) -> bool:
    """Whether an edge is a seam of its only face, or has no length at a pole."""
    return bool(
        BRep_Tool.Degenerated_s(edge.wrapped)
        or BRep_Tool.IsClosed_s(edge.wrapped, TopoDS.Face_s(face))
    )


def _free_edges(products: Sequence[Product]) -> str:
    loose = [edge for p in products for edge in _free(p.shape)]
    return _told(loose) if loose else "no edge is loose"


def _told(loose: Sequence[cq.Edge]) -> str:
    if not loose:
        return "a shell is not closed"
    longest = max(loose, key=lambda edge: float(edge.Length()))
    middle = longest.positionAt(0.5)
    x, y, z = (round(float(c), 2) + 0.0 for c in middle.toTuple())
    return (
        f"{len(loose)} edges belong to one face only, the longest of {longest.Length():.2f} mm at "
        f"({x:.2f}, {y:.2f}, {z:.2f}) mm"
    )
