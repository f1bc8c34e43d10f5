"""A finding of a rule as cells of a table: value, what is allowed, margin, verdict."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil, log10
from typing import Any

from pipeline.digits import MINUS
from pipeline.dossier.document import Cell
from pipeline.dossier.plain import UNDEFINED, rounded
from pipeline.tool_findings import decimals

_PLACES, _MOST = 4, 9  # decimals of a limit's value; fewer where it is a count
_BY_UNIT = {"oz": 2}  # static weights by halves are no surer


def limit_cells(row: Mapping[str, Any]) -> list[Cell]:
    """Value, allowed, margin and verdict, in words with their units.

    >>> [cell.text for cell in limit_cells({"rule": "low RG", "value": 2.5449938, "unit": "in",
    ...     "limit": "at least 2.46 in", "margin": 0.0849938, "verdict": "pass"})]
    ['2.5450 in', 'at least 2.46 in', '0.0850 in', 'pass']
    """
    unit = str(row["unit"])
    value = UNDEFINED if row["value"] is None else told(row, row["value"])
    margin = "" if row["margin"] is None else told(row, row["margin"])
    return [
        Cell(f"{value} {unit}".rstrip() if row["value"] is not None else value),
        Cell(str(row["limit"])),
        Cell(f"{margin} {unit}".rstrip() if margin else ""),
        Cell(str(row["verdict"]), row["verdict"]),
    ]


def told(row: Mapping[str, Any], value: float) -> str:
    """A value of a rule to the decimals that it is told to."""
    if "casting" in row:  # of tooling, which is rounded in the data
        return rounded(value, decimals(str(row["rule"]), str(row["unit"])))
    if str(row["unit"]).startswith(("holes", "pairs", "for each")):
        return f"{value:.3g}".replace("-", MINUS)
    least = _BY_UNIT.get(str(row["unit"]), _PLACES)
    margin = row["margin"]
    if not margin or row["verdict"] == "not determined":
        return rounded(value, least)
    # enough to see on which side of the limit it is
    return rounded(value, max(least, min(_MOST, ceil(-log10(abs(margin)) - 1e-9))))
