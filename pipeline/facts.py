"""What a sheet says of a body, line by line."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Fact:
    """One row of what holds for a body.

    Attributes:
        label: what it is.
        value: in words, with its unit.
        assumed: nobody asked for it; the row says so.
    """

    label: str
    value: str
    assumed: bool = False
