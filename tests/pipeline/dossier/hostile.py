"""Names that act as markup, turn lines round, or are far too long."""

from __future__ import annotations

from typing import Any

from tests.pipeline.dossier.told_balls import Data

NAMES = {
    "a script": "<script>alert(1)</script>",
    "the end of a script": "</script><script>alert(1)</script>",
    "a comment": "<!-- <b>",
    "the end of a comment": "--!> -->",
    "the end of a section of data": "]]> <![CDATA[ <![foo",
    "the end of the body": "</body></html>",
    "the end of the title": "</title><style>*{display:none}</style>",
    "the end of a table": "</caption></table></td></tr>",
    "the end of a drawing": "</text></svg><img src=x onerror=alert(1)>",
    "an attribute": '" onmouseover="alert(1)" x="',
    "another attribute": "' style='position:fixed' y='",
    "a picture": '"><img src="https://example.invalid/x.png" onerror=alert(1)>',
    "entities": "&lt;script&gt; &amp; &#60;b&#62; &quot; &eth",
    "an address": "javascript:alert(1) https://example.invalid/ //example.invalid",
    "a template": "{{7*7}} ${7*7} #{7*7} %s {0}",
    "a backslash": "\\u003c \\\\ \\",
    "right to left": "שלום עולם",
    "a change of direction": "tern\u202e3.0\u202c \u2066x\u2069 \u200f",
    "controls": "a\x00b\x07c\x1bd\x7fe\x85f\ng\th\ri",
    "ends of lines": "a\u2028b\u2029c",
    "combining letters": "e\u0301\u0301\u0301 \U0001f642 核",
    "no letter": "\ufffe\U000e0041",
}
LONG = "Dunlin" * 1667  # some 10 kB
NAMED = frozenset({  # what a design, its files or its maker may say at will
    "name", "revision", "note", "material", "shape", "role", "source", "why", "rule", "casting",
    "use", "towards", "caption", "alt", "hand", "step", "moment", "halves", "date",
})  # fmt: skip
_KEYED = {"densities", "facts", "versions"}  # whose keys are names
_LISTED = {"notes", "routes_disagree"}


def renamed(told: Data, name: str, keys: frozenset[str] = NAMED) -> Data:
    """Data with every name in them replaced: the same one by the same, told apart by a number.

    Args:
        told: the data.
        name: what the names become.
        keys: those under which names stand.
    """
    seen: dict[str, str] = {}

    def new(word: str) -> str:
        return seen.setdefault(word, f"{name}{len(seen)}")

    def walked(value: Any, key: str) -> Any:
        if isinstance(value, dict):
            keyed = key in _KEYED
            return {
                new(k) if keyed else k: walked(v, "name" if keyed else k) for k, v in value.items()
            }
        if isinstance(value, list):
            return [walked(one, "name" if key in _LISTED else key) for one in value]
        if isinstance(value, str) and value and key in keys:
            return new(value)
        return value

    made: Data = walked(told, "")
    made["design"]["source"] = f"# {name}\n{told['design']['source']}"
    return made
