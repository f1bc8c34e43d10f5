"""A dossier told at a terminal: its verdict in brief, and where its files are."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pipeline.report import SIGNS

Data = Mapping[str, Any]


def fails(data: Data) -> bool:
    """Whether any limit or check is broken, or routes disagree."""
    rows = [*data["findings"], *data.get("tooling", {}).get("findings", [])]
    return bool(data["routes_disagree"]) or any(row["verdict"] == "fail" for row in rows)


def dossier_told(data: Data, page: Path, pdf: Path) -> str:
    """What does not pass, a count, and the files."""
    rows = [*data["findings"], *data.get("tooling", {}).get("findings", [])]
    lines = []
    for row in rows:
        if row["verdict"] == "pass":
            continue
        casting = f"{row['casting']}: " if "casting" in row else ""
        value = "undefined" if row["value"] is None else f"{row['value']:g} {row['unit']}".strip()
        note = f"; {row['note']}" if row["note"] else ""
        lines.append(
            f"{SIGNS[row['verdict']]} {casting}{row['rule']}: {value} ({row['limit']}), "
            f"{row['verdict']}{note}"
        )
    lines += [f"✗ {sentence}" for sentence in data["routes_disagree"]]
    passed = sum(row["verdict"] == "pass" for row in rows)
    lines.append(f"{passed} of {len(rows)} rules and checks pass ({data['note']})")
    if "changed" in data:
        lines.append(f"{len(data['changed']['rows'])} changes since the earlier dossier")
    lines.append(f"wrote {page} and {pdf}; `corewright verify {page}` holds the page")
    return "\n".join(lines)
