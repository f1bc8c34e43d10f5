"""What the holes did to the ball."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from pipeline.digits import counted
from pipeline.dossier.document import Block, Section, Table, Words, table
from pipeline.dossier.plain import UNDEFINED, change, number, places_of, vector
from pipeline.dossier.space_section import stills

Data = Mapping[str, Any]
DRILLED = "drilled"  # of the pictures of this section
_LAYOUT = {
    "pin_to_axis_point": "pin to axis point",
    "mark_to_axis_point": "mark to axis point",
    "pin_to_grip_centre": "pin to grip centre",
    "pin_to_val": "pin to vertical axis line",
    "pin_to_mark": "pin to mark",
}


def drilled_section(data: Data) -> Section | None:
    """Before and after; None for a ball without holes."""
    if "drilling" not in data["figures"]:
        return None
    return Section("drilled", "The drilled ball", tuple(_blocks(data)))


def _blocks(data: Data) -> Iterator[Block]:
    figures, drilling = data["figures"], data["figures"]["drilling"]
    hand = f"for a {drilling['hand']} hand, " if drilling["hand"] else ""
    yield Words(
        f"Drilled {hand}with {counted(len(drilling['holes']), 'hole')}, which takes "
        f"{number(drilling['removed_oz'], 'oz')} off."
    )
    yield _before_and_after(figures, figures["undrilled"])
    moved = [("pin", drilling["pin_moved"]), ("PSA", drilling["psa_moved"])]
    yield table(
        "How far drilling moved the axes",
        ("mark", "turned deg", "on the surface in"),
        [(name, number(way["deg"]), number(way["in"])) for name, way in moved],
    )
    yield from stills(data, DRILLED)
    yield _holes(drilling)
    if drilling["layout_in"]:
        yield table(
            "Layout: distances along the surface before drilling moved pin and mark, in",
            ("from, to", "distance"),
            [(_LAYOUT[name], number(value)) for name, value in drilling["layout_in"].items()],
        )
    yield from _statics(drilling["static_weights"])
    if drilling["rg_about_axis_point_in"] is not None:
        rg = number(drilling["rg_about_axis_point_in"], "in")
        yield Words(f"RG about the axis through the axis point: {rg}.")
    yield from _flare(drilling["flare"])


def _before_and_after(after: Data, before: Data) -> Table:
    rows = [
        (f"{name} RG", before["rg_in"][name], after["rg_in"][name])
        for name in ("low", "intermediate", "high")
    ]
    rows += [
        (f"{name} differential", before[key], after[key])
        for name, key in (
            ("total", "total_differential_in"),
            ("intermediate", "intermediate_differential_in"),
        )
    ]
    lines = [("mass, lb", before["mass_lb"], after["mass_lb"])]
    lines += [(f"{name}, in", one, other) for name, one, other in rows]
    sure = {unit: _places(before, after, key) for unit, key in (("lb", "mass_lb"), ("in", "rg_in"))}
    return table(
        "Before and after drilling",
        ("figure", "undrilled", "drilled", "change"),
        [
            (name, number(a), number(b), change(a, b, sure[name.rpartition(" ")[2]]))
            for name, a, b in lines
        ],
    )


def _places(before: Data, after: Data, key: str) -> int:
    """Decimals that both bounds defend."""
    return min(places_of(one["error_bound"][key]) for one in (before, after))


def _holes(drilling: Data) -> Table:
    return table(
        "Holes",
        (
            "hole", "use", "bottom", "entry x, y, z in", "diameter in", "depth in",
            "axis misses the centre by in",
        ),
        [
            (
                hole["name"],
                hole["use"],
                _bottom(hole),
                vector(hole["entry_in"]),
                number(hole["diameter_in"]),
                number(hole["depth_in"]),
                number(hole["misses_centre_in"]),
            )
            for hole in drilling["holes"]
        ],
        words=3,
    )  # fmt: skip


def _bottom(hole: Data) -> str:
    bottom = hole["bottom"]
    found = "flat" if bottom == "flat" else f"point of {bottom['point_deg']:g} deg"
    if hole["bevel_in"]:
        found += f", bevel {number(hole['bevel_in'], 'in')}"
    if "insert" in hole:
        insert = hole["insert"]
        found += (
            f", insert in a bore of {number(insert['bore_in'], 'in')}, "
            f"{number(insert['depth_in'], 'in')} deep"
        )
    return found


def _statics(statics: Data | None) -> Iterator[Block]:
    if statics is None:
        yield Words("Static weights are not determined: no grip tells which way is up.", "note")
        return
    rows = [(k, v) for k, v in statics.items() if isinstance(v, Mapping)]
    yield table(
        "Static weights, oz",
        ("weight", "more than zero towards", "moment", "halves"),
        [
            (
                f"{name.removesuffix('_oz')} weight",
                one["towards"],
                number(one["moment"]),
                number(one["halves"]),
            )
            for name, one in rows
        ],
        words=2,
    )
    yield Words(f"Moment: {statics['moment']}. Halves: {statics['halves']}.", "note")


def _flare(flare: Data | None) -> Iterator[Block]:
    if flare is None:
        return
    steps = ", ".join(number(step) for step in flare["steps_in"])
    index = UNDEFINED if flare["index_in"] is None else number(flare["index_in"], "in")
    yield Words(f"Flare step: {index}; turn by turn {steps} in. {flare['note']}")
