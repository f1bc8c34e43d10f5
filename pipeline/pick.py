"""From a point of a map back to its design."""

from __future__ import annotations

import re
from pathlib import Path

from pipeline.errors import CorewrightError
from pipeline.load import load
from pipeline.rewrite import rewritten
from pipeline.sweep_results import TABLE
from pipeline.vary import numbers_at


class NoRow(CorewrightError):
    """There is no such sweep or row."""


def picked(folder: Path, row: int) -> bytes:
    """The design file of one row of a sweep's table.

    Args:
        folder: what `sweep` wrote.
        row: its number in the table.

    Raises:
        NoRow: there is none, or there is no such ball.
    """
    import pyarrow as pa
    import pyarrow.parquet as pq

    file = folder / TABLE
    try:
        found = pq.read_table(file, filters=[("row", "==", row)]).to_pylist()
    except (OSError, pa.ArrowException) as error:
        raise NoRow(f"{file} cannot be read: is {folder} the folder of a sweep?") from error
    if not found:
        raise NoRow(f"{file} has no row {row}")
    (values,) = found
    if values["why"]:
        raise NoRow(f"row {row} of {file} is no ball: {values['why']}")
    design = load(folder / "design.yaml")
    varied = design.wanted.varied
    names = {re.sub(r" \[.*\]$", "", name): value for name, value in values.items()}
    numbers = numbers_at(varied, [names[v.name] * v.size for v in varied])
    return rewritten(design.source, numbers, folder, mark=f"row {row}")
