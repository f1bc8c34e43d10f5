"""What the checks of castings and moulds found, with pictures of where they look."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from pipeline.dossier.document import Block, Section, Words, table
from pipeline.dossier.findings_told import limit_cells
from pipeline.dossier.plain import vector
from pipeline.dossier.space_section import stills

Data = Mapping[str, Any]
TOOLING = "tooling"  # of the pictures of this section


def tooling_section(data: Data) -> Section | None:
    """Checks of tooling; None for a design that does not say how it is cast."""
    if "tooling" not in data:
        return None
    return Section("tooling", "Castings and moulds", tuple(_blocks(data)))


def _blocks(data: Data) -> Iterator[Block]:
    tooling = data["tooling"]
    yield Words(
        "Every verdict is a design estimate: only a trial pour tells the shrinkage of a compound "
        "and how a casting comes free. Places are in the part's own frame, as cast."
    )
    found = tooling["findings"]
    for name in dict.fromkeys(row["casting"] for row in found):
        rows = [row for row in found if row["casting"] == name]
        yield table(
            f"Checks of {'the ball' if name == 'ball' else name}",
            ("check", "value", "allowed", "margin", "verdict", "place mm", "note"),
            [
                (
                    row["rule"],
                    *limit_cells(row),
                    "" if row["place_mm"] is None else vector(row["place_mm"]),
                    row["note"],
                )
                for row in rows
            ],
            words=7,
        )
    yield from stills(data, TOOLING)
    for casting in tooling["castings"]:
        yield table(
            f"How {casting['name']} is cast",
            ("what", "value"),
            list(casting["facts"].items()),
            words=2,
        )
