"""Text to a tree of nodes that know their line: YAML without surprises.

A scalar stays the text that was written: whether it is a number is for the field to say, so nothing
turns 017 into 15 or 12:30 into 750.  Anchors, aliases, tags, repeated keys, several documents and
very large or deep files are refused: a design is a short plain list of what to build.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from pipeline.errors import DesignError, Problem

MAX_BYTES = 1_000_000
MAX_DEPTH = 20


@dataclass(frozen=True)
class Scalar:
    """A word, number or text.

    Attributes:
        text: as written, without quotes.
        line: 1-based.
        quoted: it stood in quotes or in a block, so it is text even if it looks like nothing.
        begin, end: where it stands in the text, so that it can be written anew there.
    """

    text: str
    line: int
    quoted: bool = False
    begin: int = 0
    end: int = 0

    @property
    def shown(self) -> str:
        """The text for a message, short."""
        return f"'{self.text}'" if len(self.text) <= 60 else f"'{self.text[:57]}...'"


@dataclass(frozen=True)
class Items:
    """A list."""

    items: tuple[Node, ...]
    line: int

    @property
    def shown(self) -> str:
        """How a message names it: the list itself when it is short and plain."""
        if 0 < len(self.items) <= 4 and all(isinstance(item, Scalar) for item in self.items):
            return f"[{', '.join(item.shown.strip(chr(39)) for item in self.items)}]"
        return f"a list of {len(self.items)}"


@dataclass(frozen=True)
class Entries:
    """Keys with their values, in the order of the file."""

    entries: dict[str, Node]
    line: int
    key_lines: dict[str, int] = field(default_factory=dict)

    @property
    def shown(self) -> str:
        """How a message names it."""
        return "keys " + ", ".join(self.entries) if self.entries else "nothing"


Node = Scalar | Items | Entries


def read_bytes(path: Path) -> bytes:
    """The bytes of a design file.

    Raises:
        DesignError: the file cannot be read or is too large.
    """
    try:
        with path.open("rb") as stream:
            data = stream.read(MAX_BYTES + 1)
    except FileNotFoundError:
        raise _whole(path, "there is no such file", "give the path of a design file") from None
    except IsADirectoryError:
        raise _whole(path, "this is a folder", "give the path of a design file") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        raise _whole(path, f"it cannot be read ({reason})", "check path and permissions") from None
    if len(data) > MAX_BYTES:
        raise _whole(
            path,
            f"the file is larger than {MAX_BYTES // 1000} kB",
            "a design file is a few kilobytes; is this the right file?",
        )
    return data


def decode(data: bytes, file: str) -> str:
    """The text of a design file; DesignError when it is not UTF-8."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        problem = Problem(
            line, "", f"byte {error.start} is not UTF-8", "a design file is UTF-8 text"
        )
        raise DesignError(file, [problem]) from None


def parse(text: str, file: str) -> Node:
    """The tree of a text.

    Raises:
        DesignError: it is not plain YAML, or uses what a design file does not.
    """
    from ruamel.yaml import YAML
    from ruamel.yaml.error import MarkedYAMLError, YAMLError

    try:
        events = list(YAML(typ="rt", pure=True).parse(text))
    except MarkedYAMLError as error:
        mark = error.problem_mark
        line = mark.line + 1 if mark is not None else 0
        raise DesignError(
            file,
            [
                Problem(
                    line,
                    "",
                    f"this is not YAML: {error.problem}",
                    "see the line before, too",
                )
            ],
        ) from None
    except (YAMLError, ValueError, RecursionError) as error:
        reason = str(error).splitlines()[0] if str(error) else type(error).__name__
        raise DesignError(
            file,
            [
                Problem(
                    0,
                    "",
                    f"this is not YAML: {reason}",
                    "a design file is plain YAML text",
                )
            ],
        ) from None
    return _Builder(events, file).document()


def _whole(path: Path, read: str, allowed: str) -> DesignError:
    return DesignError(str(path), [Problem(0, "", read, allowed)])


class _Builder:
    """Parser events to nodes."""

    def __init__(self, events: list[object], file: str) -> None:
        self._events = iter(events)
        self._file = file

    def document(self) -> Node:
        kinds = ("StreamStartEvent", "DocumentStartEvent")
        node: Node | None = None
        for event in self._events:
            kind = type(event).__name__
            if kind == "DocumentStartEvent" and node is not None:
                raise self._refusal(event, "a second document starts here", "one design a file")
            if kind in (*kinds, "DocumentEndEvent", "StreamEndEvent"):
                continue
            node = self._node(event, 0)
        if node is None or (isinstance(node, Scalar) and not node.text):
            raise DesignError(
                self._file,
                [
                    Problem(
                        0,
                        "",
                        "the file is empty",
                        "it starts with its format, such as 'format: corewright 1'",
                    )
                ],
            )
        return node

    def _node(self, event: object, depth: int) -> Node:
        kind = type(event).__name__
        line = event.start_mark.line + 1  # type: ignore[attr-defined]
        if kind == "AliasEvent" or getattr(event, "anchor", None):
            raise self._refusal(event, "an anchor or alias (& or *)", "write the value out")
        if getattr(event, "ctag", None) is not None and event.ctag.handle:  # type: ignore[attr-defined]
            raise self._refusal(event, "a tag (!)", "write the plain value")
        if depth > MAX_DEPTH:
            raise self._refusal(event, f"more than {MAX_DEPTH} levels", "no design needs as many")
        if kind == "ScalarEvent":
            text: str = event.value  # type: ignore[attr-defined]
            if any("\ud800" <= letter <= "\udfff" for letter in text):
                raise self._refusal(event, "half of a character", "write the character itself")
            return Scalar(
                text,
                line,
                event.style is not None,  # type: ignore[attr-defined]
                event.start_mark.index,  # type: ignore[attr-defined]
                event.end_mark.index,  # type: ignore[attr-defined]
            )
        if kind == "SequenceStartEvent":
            items = []
            for inner in self._events:
                if type(inner).__name__ == "SequenceEndEvent":
                    break
                items.append(self._node(inner, depth + 1))
            return Items(tuple(items), line)
        return self._entries(line, depth)

    def _entries(self, line: int, depth: int) -> Entries:
        entries: dict[str, Node] = {}
        lines: dict[str, int] = {}
        for event in self._events:
            if type(event).__name__ == "MappingEndEvent":
                break
            key = self._node(event, depth + 1)
            if not isinstance(key, Scalar):
                raise self._refusal(event, "a key that is no word", "a key is one word")
            if key.text in entries:
                raise self._refusal(
                    event,
                    f"'{key.text}' stands here again (first in line {lines[key.text]})",
                    "a key stands once",
                )
            entries[key.text] = self._node(next(self._events), depth + 1)
            lines[key.text] = key.line
        return Entries(entries, line, lines)

    def _refusal(self, event: object, read: str, allowed: str) -> DesignError:
        line = event.start_mark.line + 1  # type: ignore[attr-defined]
        return DesignError(self._file, [Problem(line, "", read, allowed)])
