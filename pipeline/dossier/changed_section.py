"""What changed since an earlier dossier."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

from pipeline.digits import counted
from pipeline.dossier.document import Block, Section, Words, table
from pipeline.dossier.plain import UNDEFINED, change, number

Data = Mapping[str, Any]


def changed_section(data: Data) -> Section | None:
    """The changes; None where no earlier dossier was named."""
    if "changed" not in data:
        return None
    return Section("changed", "Changes since an earlier dossier", tuple(_blocks(data["changed"])))


def _blocks(found: Data) -> Iterator[Block]:
    before, rows = found["design"], found["rows"]
    date = f" of {before['date']}" if before["date"] else ""
    since = f"{before['name']}, revision {before['revision']}{date}"
    yield Words(f"Held against {since}, SHA-256 {before['sha256']}.")
    if not rows:
        yield Words("Nothing changed: design, figures, verdicts.")
        return
    yield Words(f"{counted(len(rows), 'figure')} or words changed.")
    yield table(
        "Changes",
        ("what", "before", "now", "change"),
        [(row["what"], _told(row, "before"), _told(row, "after"), _change(row)) for row in rows],
    )


def _told(row: Data, when: str) -> str:
    """A value; nothing where there was none."""
    missing = {"before": "new", "after": "gone"}
    if row["state"] == missing[when]:
        return ""
    value = row[when]
    if value is None:
        return UNDEFINED
    return value if isinstance(value, str) else number(value)


def _change(row: Data) -> str:
    """By how much a number changed, to the decimals that it is told to."""
    before, after = row["before"], row["after"]
    numbers = isinstance(before, float | int) and isinstance(after, float | int)
    if row["state"] != "changed" or not numbers:
        return str(row["state"])
    places = max(len(format(Decimal(repr(v)), "f").partition(".")[2]) for v in (before, after))
    return change(before, after, places)
