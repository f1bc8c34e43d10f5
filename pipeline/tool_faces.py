"""The CAD faces of castings as rows: by them a later package tells what changed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pipeline.casting_checks import Measured


def face_rows(measured: Sequence[Measured]) -> dict[str, list[dict[str, Any]]]:
    """For each casting, cold, in its part's own frame: kind, area and centre of its faces."""
    found = {}
    for one in measured:
        rows = [
            {
                "kind": face.kind,
                "area_mm2": round(face.area_mm2, 3),
                "centre_mm": [round(c, 3) + 0.0 for c in face.centre_mm],
            }
            for face in one.faces
        ]
        found[one.casting.name] = sorted(
            rows, key=lambda row: (row["kind"], row["centre_mm"], row["area_mm2"])
        )
    return found
