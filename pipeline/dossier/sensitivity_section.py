"""What each number of the design does to the figures."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from pipeline.dossier.document import Block, Section, Words, table
from pipeline.dossier.plain import number
from pipeline.dossier.sensitivity_bars import sensitivity_bars

Data = Mapping[str, Any]
_FIGURES = (
    ("low_rg_in", "low RG in"),
    ("total_differential_in", "total differential in"),
    ("intermediate_differential_in", "intermediate differential in"),
    ("top_weight_oz", "static imbalance oz"),
)


def sensitivity_section(data: Data) -> Section:
    """Which numbers must be held closely."""
    rows = data["sensitivities"]
    blocks = (_unknown(),) if rows is None else tuple(_blocks(rows))
    return Section("sensitivities", "What each number does", blocks)


def _unknown() -> Block:
    return Words(
        "Not worked out: the parts of this ball cross so that only solids can weigh them, which "
        "is not sure enough for small changes.",
        "note",
    )


def _blocks(rows: list[Data]) -> Iterator[Block]:
    yield Words(
        "One number at a time is moved by its step, and the whole ball is weighed again; a free "
        "density keeps it at its weight. Undrilled ball."
    )
    if not rows:
        yield Words("No number changes a figure by a digit.")
        return
    yield sensitivity_bars(rows)
    yield table(
        "Change of each figure when a number is moved by its step",
        ("number", "step", *(name for _, name in _FIGURES)),
        [
            (
                row["name"],
                row["step"],
                *(_signed(row[key]) for key, _ in _FIGURES),
            )
            for row in rows
        ],
        words=2,
    )
    yield Words(
        "Every number is made larger, or smaller where larger makes no ball. Those that change no "
        "figure by a digit are left out; so are the faces of the whole ball, whose size is given.",
        "note",
    )


def _signed(value: float) -> str:
    return f"+{number(value)}" if value > 0.0 else number(value)
