"""Kinds of value made of others: tuples, lists, maps, and records of named keys."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from pipeline.document import Entries, Items, Node, Scalar
from pipeline.fields import BAD, Bad, Kind, Reading, closest


@dataclass(frozen=True)
class TupleKind:
    """A list of a fixed number of values of one kind."""

    item: Kind
    names: tuple[str, ...]

    @property
    def allowed(self) -> str:
        return f"[{', '.join(self.names)}], each {self.item.allowed}"

    def read(self, node: Node, path: str, reading: Reading) -> tuple[Any, ...] | Bad:
        if not isinstance(node, Items) or len(node.items) != len(self.names):
            return reading.refuse(node, node.line, path, self.allowed)
        values = [
            self.item.read(item, f"{path}.{name}", reading)
            for name, item in zip(self.names, node.items, strict=True)
        ]
        return BAD if any(isinstance(v, Bad) for v in values) else tuple(values)

    def schema(self) -> dict[str, Any]:
        count = len(self.names)
        return {
            "type": "array",
            "items": self.item.schema(),
            "minItems": count,
            "maxItems": count,
        }


@dataclass(frozen=True)
class ListKind:
    """A list of any length."""

    item: Kind
    at_least: int = 1

    @property
    def allowed(self) -> str:
        return f"a list of {self.at_least} or more: {self.item.allowed}"

    def read(self, node: Node, path: str, reading: Reading) -> tuple[Any, ...] | Bad:
        if not isinstance(node, Items) or len(node.items) < self.at_least:
            return reading.refuse(node, node.line, path, self.allowed)
        values = [
            self.item.read(item, f"{path}[{k}]", reading) for k, item in enumerate(node.items)
        ]
        return BAD if any(isinstance(v, Bad) for v in values) else tuple(values)

    def schema(self) -> dict[str, Any]:
        return {"type": "array", "items": self.item.schema(), "minItems": self.at_least}


@dataclass(frozen=True)
class MapKind:
    """Names of the engineer's own with values of one kind."""

    value: Kind

    @property
    def allowed(self) -> str:
        return f"one or more names, each with {self.value.allowed}"

    def read(self, node: Node, path: str, reading: Reading) -> dict[str, Any] | Bad:
        if not isinstance(node, Entries) or not node.entries:
            return reading.refuse(node, node.line, path, self.allowed)
        values = {
            name: self.value.read(value, f"{path}.{name}", reading)
            for name, value in node.entries.items()
        }
        return BAD if any(isinstance(v, Bad) for v in values.values()) else values

    def schema(self) -> dict[str, Any]:
        return {
            "type": "object",
            "additionalProperties": self.value.schema(),
            "minProperties": 1,
        }


@dataclass(frozen=True)
class Key:
    """One key of a record.

    Attributes:
        name: as it stands in the file.
        kind: what its value may be.
        says: one line for the reference.
        required: whether it must be there.
        default: what stands for it when it is left out, for the reference.
    """

    name: str
    kind: Kind
    says: str
    required: bool = True
    default: str = ""


@dataclass(frozen=True)
class Record:
    """A fixed set of keys.

    Attributes:
        title: how messages and the reference name it.
        says: one or two sentences for the reference.
        keys: in the order of the reference.
    """

    title: str
    says: str
    keys: tuple[Key, ...]

    @property
    def allowed(self) -> str:
        return "keys " + ", ".join(key.name for key in self.keys)

    def read(self, node: Node, path: str, reading: Reading) -> dict[str, Any] | Bad:
        """Key to value; keys that are left out do not appear."""
        if not isinstance(node, Entries):
            return reading.refuse(node, node.line, path, self.allowed)
        inside = f"{path}." if path else ""
        names = [key.name for key in self.keys]
        missing = [name for name in names if name not in node.entries]
        meant = set()
        for name in node.entries:
            if name not in names:
                line, near = node.key_lines[name], closest(name, missing)
                advice = f"did you mean '{near}'?" if near else ""
                reading.refuse(
                    Scalar(name, line), line, f"{inside}{name}", self.allowed, advice=advice
                )
                meant.add(near)
        good = set(node.entries) <= set(names)
        values = {}
        for key in self.keys:
            found = node.entries.get(key.name)
            if found is not None:
                values[key.name] = key.kind.read(found, f"{inside}{key.name}", reading)
            elif key.required and key.name not in meant:
                reading.refuse(
                    None,
                    node.line,
                    f"{inside}{key.name}",
                    key.kind.allowed,
                    advice="it must be there",
                )
                good = False
        if not good or any(isinstance(v, Bad) for v in values.values()):
            return BAD
        return values

    def schema(self) -> dict[str, Any]:
        return {
            "type": "object",
            "description": self.says,
            "properties": {k.name: {**k.kind.schema(), "description": k.says} for k in self.keys},
            "required": [k.name for k in self.keys if k.required],
            "additionalProperties": False,
        }
