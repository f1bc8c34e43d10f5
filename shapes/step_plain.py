"""Whether the faces of a STEP file's solids agree, as they are written.

The kernel's reader turns single faces round without a word, so its result cannot tell.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from OCP.BRep import BRep_Tool
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.Message import Message
from OCP.STEPControl import STEPControl_Reader
from OCP.StepData import StepData_Factors
from OCP.StepShape import StepShape_ManifoldSolidBrep
from OCP.StepToTopoDS import StepToTopoDS_Builder
from OCP.TopAbs import TopAbs_Orientation, TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Shape
from OCP.Transfer import Transfer_TransientProcess

from shapes.boundary import faces_of


def faces_agree(data: bytes) -> list[bool]:
    """For every solid of a STEP file whether each edge is run along as often one way as the other.

    The solids are translated just as they are written.
    """
    with silence():
        return _read(data)


def _read(data: bytes) -> list[bool]:
    reader = STEPControl_Reader()
    if reader.ReadStream("body", io.BytesIO(data)) != IFSelect_ReturnStatus.IFSelect_RetDone:
        return []
    model = reader.WS().Model()
    found = []
    for k in range(1, model.NbEntities() + 1):
        entity = model.Value(k)
        if not isinstance(entity, StepShape_ManifoldSolidBrep):
            continue
        process = Transfer_TransientProcess(model.NbEntities())
        process.SetModel(model)
        builder = StepToTopoDS_Builder()
        builder.Init(entity, process, StepData_Factors())
        if builder.IsDone():
            found.append(_agree(builder.Value()))
    return found


def _agree(shape: TopoDS_Shape) -> bool:
    balance: dict[Any, int] = {}
    for face in faces_of(shape):
        explorer = TopExp_Explorer(face, TopAbs_ShapeEnum.TopAbs_EDGE)
        while explorer.More():
            edge = TopoDS.Edge_s(explorer.Current())
            explorer.Next()
            if not BRep_Tool.Degenerated_s(edge):  # a pole stands once
                way = 1 if edge.Orientation() == TopAbs_Orientation.TopAbs_FORWARD else -1
                key = edge.TShape()  # the very edge, whichever way it is run along
                balance[key] = balance.get(key, 0) + way
    return not any(balance.values())


@contextmanager
def silence() -> Iterator[None]:
    """Keep the kernel's reader from writing its own messages to the terminal."""
    messenger = Message.DefaultMessenger_s()
    printers = list(messenger.Printers())
    for printer in printers:
        messenger.RemovePrinter(printer)
    try:
        yield
    finally:
        for printer in printers:
            messenger.AddPrinter(printer)
