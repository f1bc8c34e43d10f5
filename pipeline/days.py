"""A day in a design file."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from pipeline.document import Node
from pipeline.fields import Reading


@dataclass(frozen=True)
class DateKind:
    """A day."""

    @property
    def allowed(self) -> str:
        return "a day such as 2026-11-25"

    def read(self, node: Node, path: str, reading: Reading) -> Any:
        try:
            return date.fromisoformat(node.text).isoformat()  # type: ignore[union-attr]
        except (ValueError, AttributeError):
            return reading.refuse(node, node.line, path, self.allowed)

    def schema(self) -> dict[str, Any]:
        return {"type": "string", "format": "date"}


DAY = DateKind()
