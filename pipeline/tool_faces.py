"""The CAD faces of castings as rows: by them a later package tells what changed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pipeline.castings import Casting
from pipeline.kernel import kernel


def faces_of_castings(castings: Sequence[Casting]) -> dict[str, list[dict[str, Any]]]:
    """For each casting, cold, in its part's own frame: kind, area and centre of its faces."""
    found = {}
    with kernel():
        from shapes.face_sizes import face_sizes
        from shapes.skin import skin_of

        for casting in castings:
            rows = [
                {
                    "kind": face.kind,
                    "area_mm2": round(face.area_mm2, 3),
                    "centre_mm": [round(c, 3) + 0.0 for c in face.centre_mm],
                }
                for face in face_sizes(casting.as_cast, skin_of(casting.as_cast))
            ]
            found[casting.name] = sorted(rows, key=lambda row: (row["kind"], row["centre_mm"]))
    return found
