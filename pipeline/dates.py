"""The only time that files carry."""

from __future__ import annotations

import os
from datetime import UTC, datetime

from pipeline.design import Design
from pipeline.errors import OutputError


def stamp(design: Design) -> str:
    """The only time that files carry: the design's day, else SOURCE_DATE_EPOCH, else 1970.

    Raises:
        OutputError: SOURCE_DATE_EPOCH is no number of seconds.
    """
    if design.date:
        return f"{design.date}T00:00:00"
    seconds = os.environ.get("SOURCE_DATE_EPOCH", "0")
    try:
        return datetime.fromtimestamp(int(seconds), UTC).strftime("%Y-%m-%dT%H:%M:%S")
    except (ValueError, OverflowError, OSError):
        raise OutputError(
            f"the environment's SOURCE_DATE_EPOCH is '{seconds}'; it must be whole seconds since "
            "1970, or unset"
        ) from None
