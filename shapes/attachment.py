"""A file that a design refers to, read already: shapes never open files themselves."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Attachment:
    """The bytes of a file beside a design.

    Attributes:
        name: its path from the design's folder, with forward slashes.
        data: what it holds.
    """

    name: str
    data: bytes

    def __repr__(self) -> str:
        return f"Attachment({self.name!r}, {len(self.data)} bytes)"
