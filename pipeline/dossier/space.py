"""What a page shows in space: the parts as triangles, axes, marks and holes, as plain data.

Triangles are packed: corners as 16-bit steps across the part's own box, normals as signed bytes,
deflated and written in base 64.  All lengths are millimetres in the ball frame.
"""

from __future__ import annotations

import base64
import zlib
from collections.abc import Sequence
from typing import Any

import numpy as np

from pipeline.ball import Part
from pipeline.digits import inches
from pipeline.dossier.contents import MESH_MM, Contents
from pipeline.drilled import Drilled
from pipeline.kernel import kernel
from pipeline.markdown import visible
from pipeline.palette import HIGH_AXIS, INTERMEDIATE_AXIS, LOW_AXIS
from pipeline.shells import Shell, shell_of
from pipeline.weigh import MassProperties
from shapes.moments import Array

_STEPS = 65535  # of a 16-bit number
_FINE = 127  # of a signed byte
_RG_PLACES = 4
_AXES = (
    ("low", "solid", LOW_AXIS),
    ("intermediate", "dashed", INTERMEDIATE_AXIS),
    ("high", "double", HIGH_AXIS),
)


def space_of(found: Contents) -> dict[str, Any]:
    """Everything in space.

    Raises:
        KernelFault: the kernel cannot mesh a part.
    """
    properties = found.properties
    return {
        "radius_mm": _told(properties.radius_mm),
        "mass_g": float(properties.mass_g),
        "cg_mm": [float(x) for x in properties.centre_of_gravity_mm],
        "inertia_g_mm2": [[float(x) for x in row] for row in properties.inertia_g_mm2],
        "symmetry": properties.principal.symmetry,
        "parts": _parts(found),
        "axes": _axes(properties),
        "marks": _marks(properties, found.drilled),
        "holes": _holes(found.drilled),
    }


def _parts(found: Contents) -> list[dict[str, Any]]:
    with kernel():
        return [
            packed(one.part, [shell_of(lump, k, *MESH_MM) for lump in one.lumps])
            for k, one in enumerate(found.solids)
        ]


def packed(part: Part, shells: Sequence[Shell]) -> dict[str, Any]:
    """A part's triangles, packed."""
    starts = np.cumsum([0, *(len(shell.points_mm) for shell in shells)])
    points = np.concatenate([shell.points_mm for shell in shells])
    normals = np.concatenate([shell.normals for shell in shells])
    triangles = np.concatenate([s.triangles + n for s, n in zip(shells, starts, strict=False)])
    low = points.min(axis=0)
    scale = (points.max(axis=0) - low) / _STEPS
    steps = np.round((points - low) / scale).astype("<u2")
    bytes_ = np.clip(np.round(normals * _FINE), -_FINE, _FINE).astype("i1")
    wide = len(points) > _STEPS
    raw = steps.tobytes() + bytes_.tobytes()
    raw += b"\0" * (-len(raw) % 4)
    raw += triangles.astype("<u4" if wide else "<u2").tobytes()
    return {
        "name": visible(part.name),
        "colour": part.colour,
        "role": part.role,
        "corners": len(points),
        "triangles": len(triangles),
        "index": 32 if wide else 16,
        "scale": [float(x) for x in scale],
        "offset": [float(x) for x in low],
        "data": base64.b64encode(zlib.compress(raw, 9)).decode("ascii"),
    }


def _axes(properties: MassProperties) -> list[dict[str, Any]]:
    principal = properties.principal
    ways = (principal.low, principal.intermediate, principal.high)
    return [
        {
            "name": name,
            "line": line,
            "colour": colour,
            "way": None if way is None else [float(x) for x in way],
            "rg": inches(rg, properties, _RG_PLACES),
        }
        for (name, line, colour), way, rg in zip(_AXES, ways, principal.rg_mm, strict=True)
    ]


def _marks(properties: MassProperties, drilled: Drilled | None) -> list[dict[str, Any]]:
    """Pin, PSA and CG mark; on a drilled ball where they were marked before, and its grip."""
    radius = properties.radius_mm
    found: list[tuple[str, Array | None]]
    if drilled is None:
        found = [("pin", properties.pin_mm()), ("PSA", properties.psa_mm())]
    else:
        laid = drilled.laid
        found = [("pin", laid.pin * radius)]
        found += [
            (name, None if way is None else way * radius)
            for name, way in (
                ("mark", laid.mark),
                ("grip centre", laid.grip_centre),
                ("axis point", laid.axis_point),
            )
        ]
    found.append(("CG mark", properties.cg_mark_mm()))
    return [{"name": name, "at_mm": _place(at)} for name, at in found if at is not None]


def _holes(drilled: Drilled | None) -> list[dict[str, Any]]:
    if drilled is None:
        return []
    return [
        {
            "name": visible(hole.name),
            "entry_mm": _place(hole.entry_mm),
            "way": [float(x) for x in hole.way],
            "depth_mm": _told(hole.drill.depth_mm),
            "diameter_mm": _told(hole.drill.diameter_mm),
        }
        for hole in drilled.holes
    ]


def _place(at: Array) -> list[float]:
    return [_told(float(x)) for x in at]


def _told(length_mm: float) -> float:
    return round(length_mm, 6) + 0.0
