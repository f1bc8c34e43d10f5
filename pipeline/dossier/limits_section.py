"""The limits with their margins as bars, and where each was read."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from pipeline.dossier.document import Block, Section, Words, table
from pipeline.dossier.findings_told import limit_cells
from pipeline.dossier.limit_bars import limit_bars
from pipeline.limits import CONFIDENCE

Data = Mapping[str, Any]
_CHARTED = 12  # rules in a chart


def limits_section(data: Data) -> Section:
    """Every rule held against the ball."""
    return Section("limits", "Limits", tuple(_blocks(data)))


def _blocks(data: Data) -> Iterator[Block]:
    rows = data["findings"]
    yield Words(
        f"Limits as of {data['limits_as_of']}. Only the governing body certifies a ball; every "
        "verdict here is a design estimate."
    )
    charts = range(0, len(rows), _CHARTED)  # more rules in one would print in small letters
    for number, start in enumerate(charts, 1):
        part = f" ({number} of {len(charts)})" if len(charts) > 1 else ""
        yield limit_bars(rows[start : start + _CHARTED], f"limits-{number}", part)
    yield table(
        "Rules, figures and margins",
        ("rule", "value", "allowed", "margin", "verdict", "note"),
        [(row["rule"], *limit_cells(row), row["note"]) for row in rows],
        words=6,
    )
    yield table(
        "Where each rule was read",
        ("rule", "source", "how sure"),
        [
            (row["rule"], row["source"], CONFIDENCE.get(row["confidence"], "a check of our own"))
            for row in rows
        ],
        words=3,
    )
