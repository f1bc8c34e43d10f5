"""The same core at the line's weights."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from pipeline.dossier.document import Block, Cell, Items, Section, Words, table
from pipeline.dossier.line_chart import line_chart
from pipeline.dossier.plain import number

Data = Mapping[str, Any]
_FIGURES = (
    ("low_rg_in", "low RG in"),
    ("total_differential_in", "total differential in"),
    ("intermediate_differential_in", "intermediate differential in"),
    ("top_weight_oz", "static imbalance oz"),
    ("core_mass_lb", "core mass lb"),
)


def line_section(data: Data) -> Section | None:
    """The line-up; None where no density can bring balls to other weights."""
    if "line_refused" in data:
        said = f"The core cannot be carried across ball weights as asked: {data['line_refused']}."
        return Section("line", "The line", (Words(said, "fail"),))
    if "line" not in data:
        return None
    return Section("line", "The line", tuple(_blocks(data["line"])))


def _blocks(line: Data) -> Iterator[Block]:
    rows = line["weights"]
    met = sum(row["met"] for row in rows)
    yield Words(
        f"The same core, carried across ball weights: {met} of {len(rows)} weights can be made "
        "and hold all that is asked of the line."
    )
    if any(row["figures"] for row in rows):
        yield line_chart(line)
    yield table(
        "Figures by ball weight",
        ("ball weight", "held", *(name for _, name in _FIGURES), "core size"),
        [_row(row) for row in rows],
        words=2,
    )
    materials = list(dict.fromkeys(name for row in rows for name in row["densities"]))
    if materials:
        yield table(
            "Densities, g/cm³",
            ("ball weight", *materials),
            [
                (_weight(row), *(_known(row["densities"], name) for name in materials))
                for row in rows
            ],
        )
    why = tuple(f"{_weight(row)}: {row['why']}" for row in rows if row["why"])
    if why:
        yield Words("Why a weight is not held:", "note")
        yield Items(why)


def _row(row: Data) -> list[str | Cell]:
    held = Cell("yes" if row["met"] else "no", "pass" if row["met"] else "fail")
    figures = [_known(row["figures"], key) for key, _ in _FIGURES]
    return [_weight(row), held, *figures, number(row["core_size"]) if row["figures"] else ""]


def _weight(row: Data) -> str:
    return f"{row['weight_lb']:g} lb"


def _known(values: Data, name: str) -> str:
    """A figure; nothing where there is no such ball."""
    return number(values[name]) if name in values else ""
