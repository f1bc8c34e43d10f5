"""Principal axes: as unit vectors, and as angles to the ball's frame, the pin and the grip."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from pipeline.dossier.document import Block, Section, Words, table
from pipeline.dossier.plain import number, vector

Data = Mapping[str, Any]
_HEADS = {
    "azimuth_deg": "azimuth",
    "from_z_deg": "from +Z",
    "to_pin_deg": "to the pin",
    "to_grip_centre_deg": "to the grip centre",
    "to_midline_deg": "to the midline",
    "to_fingers_deg": "to the fingers",
    "to_axis_point_deg": "to the axis point",
}


def axes_section(data: Data) -> Section:
    """The axes."""
    return Section("axes", "Principal axes", tuple(_blocks(data)))


def _blocks(data: Data) -> Iterator[Block]:
    figures = data["figures"]
    yield table(
        "Unit vectors in the ball frame, x, y, z",
        ("axis", "RG in", "direction"),
        [
            (f"{name}-RG axis", number(figures["rg_in"][name]), vector(figures["axes"][name]))
            for name in ("low", "intermediate", "high")
        ],
    )
    keys = [key for key in data["axes"][0] if key != "axis"]
    yield table(
        "Angles, deg",
        ("axis", *(_HEADS[key] for key in keys)),
        [(f"{row['axis']}-RG axis", *(number(row[key]) for key in keys)) for row in data["axes"]],
    )
    yield Words(_note(figures["symmetry"], "to_grip_centre_deg" in keys), "note")


def _note(symmetry: str, gripped: bool) -> str:
    """What the angles are, and why some are undefined."""
    why = {
        "spherical": "All three RGs are one, so no axis is defined. ",
        "symmetrical": "Two RGs are one, so the axes in their plane are undefined: any line in it "
        "is one. ",
    }.get(symmetry, "")
    pin = (
        "The pin is the one that the layout was measured from; the midline runs from the grip "
        "centre to the right, the fingers are up. "
        if gripped
        else ""
    )
    return (
        f"{why}{pin}An angle to a mark is that between the axis, as a line, and the line from the "
        "ball's centre to the mark."
    )
