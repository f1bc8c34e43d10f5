"""The same figures by routes that share no code, each with its error bound."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from pipeline.dossier.document import Block, Section, Words, table
from pipeline.dossier.plain import bound, number
from pipeline.dossier.routes_chart import routes_chart

Data = Mapping[str, Any]
_HOW = {
    "moments": "the shapes' own parameters, without a CAD kernel",
    "columns": "what holes take, column by column along each of them, from the parts' moments",
    "boundary": "contour integrals over the faces of the solids that the CAD kernel built",
    "mesh": "closed triangle meshes of those solids, by another library's integrals",
}


def routes_section(data: Data) -> Section:
    """The routes compared."""
    return Section("routes", "The figures by several routes", tuple(_blocks(data)))


def _blocks(data: Data) -> Iterator[Block]:
    routes = data["figures"]["routes"]
    if data["routes_disagree"]:
        for sentence in data["routes_disagree"]:
            yield Words(f"{sentence}.", "fail")
    else:
        yield Words("The routes agree within their error bounds.")
    yield routes_chart(routes)
    yield table(
        "RG about the centre of gravity, in",
        ("route", "how", "low", "intermediate", "high", "within"),
        [
            (
                name,
                _HOW[name],
                *(number(route["rg_in"][axis]) for axis in ("low", "intermediate", "high")),
                bound(route["error_bound_rg_in"]),
            )
            for name, route in routes.items()
        ],
        words=2,
    )
    mesh = data["mesh"]
    yield Words(
        f"The first route is the answer. The mesh has {mesh['triangles']:,} triangles, made with a "
        f"chord of {mesh['chord_mm']:g} mm; its bound comes from the sag that was measured. No "
        "route is printed to a digit that its bound does not defend.",
        "note",
    )
