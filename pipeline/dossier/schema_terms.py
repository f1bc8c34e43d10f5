"""The terms that a JSON Schema is written in: each what may stand under a key, and what it is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

Schema = dict[str, Any]


def number(says: str, least: float | None = None, most: float | None = None) -> Schema:
    """A number, from the least to the most, which count as within; either may be left open.

    >>> number("of a length, in", 0.0)
    {'type': 'number', 'minimum': 0.0, 'description': 'of a length, in'}
    """
    ends = {"minimum": least, "maximum": most}
    return {"type": "number", **_given(ends), "description": says}


def positive(says: str) -> Schema:
    """A number above zero."""
    return {"type": "number", "exclusiveMinimum": 0, "description": says}


def count(says: str) -> Schema:
    """A whole number, one or more."""
    return {"type": "integer", "minimum": 1, "description": says}


def flag(says: str) -> Schema:
    """Yes or no."""
    return {"type": "boolean", "description": says}


def text(says: str, pattern: str | None = None) -> Schema:
    """Words, or what a regular expression matches."""
    return {"type": "string", **_given({"pattern": pattern}), "description": says}


def word(says: str, words: Iterable[str]) -> Schema:
    """One of some words."""
    return {"type": "string", "enum": list(words), "description": says}


def always(says: str, value: str) -> Schema:
    """This and nothing else."""
    return {"type": "string", "const": value, "description": says}


def shared(name: str, says: str) -> Schema:
    """What stands under a name in the schema's `$defs`."""
    return {**_ref(name), "description": says}


def shared_or_none(name: str, says: str) -> Schema:
    """The same, or null."""
    return {"anyOf": [_ref(name), {"type": "null"}], "description": says}


def or_none(schema: Schema) -> Schema:
    """What has one type, or null.

    >>> or_none(word("of a bowler", ("right", "left")))["enum"]
    ['right', 'left', None]
    """
    words = {"enum": [*schema["enum"], None]} if "enum" in schema else {}
    return {**schema, "type": [schema["type"], "null"], **words}


def rows(says: str, item: Schema, least: int = 0, most: int | None = None) -> Schema:
    """A list, of a least and a greatest length."""
    ends = _given({"minItems": least or None, "maxItems": most})
    return {"type": "array", "items": item, **ends, "description": says}


def named(says: str, value: Schema, names: Iterable[str] | None = None) -> Schema:
    """Values of one kind by names, which are any or some of those that are given."""
    kept = {} if names is None else {"propertyNames": {"enum": list(names)}, "minProperties": 1}
    return {"type": "object", "additionalProperties": value, **kept, "description": says}


def record(says: str, keys: Mapping[str, Schema], optional: Iterable[str] = ()) -> Schema:
    """Fixed keys, each of which must be there unless it is optional; no others.

    >>> record("a hole", {"depth_in": positive("along its axis, in")})["required"]
    ['depth_in']
    """
    free = set(optional)
    return {
        "type": "object",
        "properties": dict(keys),
        "required": [key for key in keys if key not in free],
        "additionalProperties": False,
        "description": says,
    }


def _ref(name: str) -> Schema:
    return {"$ref": f"#/$defs/{name}"}


def _given(entries: Mapping[str, Any]) -> Schema:
    return {key: value for key, value in entries.items() if value is not None}
