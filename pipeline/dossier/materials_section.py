"""What the ball is made of: parts inside out, shapes, materials, and the designer's own words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from pipeline.dossier.document import Block, Items, Section, Words, table
from pipeline.dossier.plain import number

Data = Mapping[str, Any]


def materials_section(data: Data) -> Section:
    """Geometry and materials."""
    return Section("materials", "Geometry and materials", tuple(_blocks(data)))


def _blocks(data: Data) -> Iterator[Block]:
    design, figures = data["design"], data["figures"]
    size = f"The ball is {number(design['diameter_in'], 'in')} in diameter"
    weight = design["weight_lb"]
    asked = (
        "" if weight is None else f"; its design asks for {number(weight, 'lb')} before drilling"
    )
    yield Words(f"{size}{asked}. Parts are told inside out: an earlier part keeps its space.")
    asked_of = {part["name"]: part for part in design["parts"]}
    drilled = "drilling" in figures
    yield table(
        "Parts, as drilled" if drilled else "Parts",
        ("part", "place", "shape", "material", "density", "g/cm³", "volume in³", "mass lb"),
        [
            (
                part["name"],
                asked_of.get(part["name"], {}).get("role", "grip insert"),
                asked_of.get(part["name"], {}).get("shape", ""),
                part["material"],
                asked_of.get(part["name"], {}).get("density", "given"),
                number(part["density_g_cm3"]),
                number(part["volume_in3"]),
                number(part["mass_lb"]),
            )
            for part in figures["parts"]
        ],
        words=5,
    )
    said = [
        *design["notes"],
        *(f"{part['name']}: {part['note']}" for part in design["parts"] if part["note"]),
    ]
    if said:
        yield Words("In the designer's words, which were held against nothing:", "note")
        yield Items(tuple(f"“{one}”" for one in said))
