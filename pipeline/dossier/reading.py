"""A dossier's page as a script reads it: data, what it shows in space, pictures, words."""

from __future__ import annotations

import base64
import json
from dataclasses import dataclass
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

from pipeline.dossier.contents import FORMAT
from pipeline.dossier.page import DATA, SPACE
from pipeline.dossier.page_blocks import PICTURE
from pipeline.errors import CorewrightError

_PICTURE = "data:image/webp;base64,"


class NoDossier(CorewrightError):
    """The file is no page of a dossier, or it cannot be read."""


@dataclass(frozen=True, eq=False)
class PageRead:
    """What a page holds.

    Attributes:
        raw: its bytes.
        data: all that it tells.
        space: what it shows in space.
        pictures: the bytes of each picture by the key of its figure.
        texts: the words that are read, by the section they stand in; '' before the first.
    """

    raw: bytes
    data: dict[str, Any]
    space: dict[str, Any]
    pictures: dict[str, bytes]
    texts: dict[str, tuple[str, ...]]


def read_page(path: Path) -> PageRead:
    """Read the page of a dossier.

    Raises:
        NoDossier: it is none, or a part of it is missing or broken.
    """
    try:
        raw = path.read_bytes()
        text = raw.decode("utf-8")
    except OSError as error:
        raise NoDossier(f"{path} cannot be read: {error.strerror}") from error
    except UnicodeDecodeError:
        raise NoDossier(f"{path} is no page of a dossier: it is not UTF-8 text") from None
    try:
        found = parsed(text)
    except AssertionError as error:  # the parser's own word for what it cannot read
        raise NoDossier(f"{path} is no page of a dossier: its HTML is broken") from error
    data, space = (_json(path, found.scripts.get(name), name) for name in (DATA, SPACE))
    if data.get("format") != FORMAT:
        raise NoDossier(f"{path} is no dossier of ours: its format is not '{FORMAT}'")
    try:
        pictures = {k: base64.b64decode(v, validate=True) for k, v in found.pictures.items()}
    except ValueError:
        raise NoDossier(f"{path}: a picture in it is broken") from None
    texts = {key: tuple(words) for key, words in found.texts.items()}
    return PageRead(raw, data, space, pictures, texts)


def parsed(text: str) -> Parsed:
    """A page, or the body of one, taken apart."""
    found = Parsed()
    found.feed(text)
    found.close()
    return found


class Parsed(HTMLParser):
    """The parts of a page that count, as its text is fed.

    Attributes:
        scripts: the text of scripts that have an id.
        pictures: the base64 text of pictures, by the id of their figure.
        texts: words and alternative texts, by the section they stand in.
    """

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.scripts: dict[str, str] = {}
        self.pictures: dict[str, str] = {}
        self.texts: dict[str, list[str]] = {}
        self._script: str | None = None
        self._hidden = False
        self._section = self._figure = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note where the text that follows stands."""
        own = {name: value or "" for name, value in attrs}
        if tag in ("script", "style"):
            self._hidden = True
            self._script = own.get("id") if tag == "script" else None
        elif tag == "section":
            self._section = own.get("id", "")
        elif tag == "figure":
            self._figure = own.get("id", "").removeprefix(PICTURE)
        elif tag == "img":
            if own.get("src", "").startswith(_PICTURE):
                self.pictures[self._figure] = own["src"].removeprefix(_PICTURE)
            self._say(own.get("alt", ""))

    def handle_endtag(self, tag: str) -> None:
        """Note that it ends."""
        if tag in ("script", "style"):
            self._hidden, self._script = False, None
        elif tag == "section":
            self._section = ""

    def handle_data(self, data: str) -> None:
        """Keep text that is read, and the data of scripts that have an id."""
        if self._script:
            self.scripts[self._script] = self.scripts.get(self._script, "") + data
        elif not self._hidden:
            self._say(data)

    def _say(self, words: str) -> None:
        if words.strip():
            self.texts.setdefault(self._section, []).append(" ".join(words.split()))


def _json(path: Path, text: str | None, name: str) -> dict[str, Any]:
    if text is None:
        raise NoDossier(f"{path} is no page of a dossier: it has no element '{name}' with data")
    try:
        found = json.loads(text, parse_constant=_refused)
    except (ValueError, RecursionError) as error:
        raise NoDossier(f"{path}: the data in its element '{name}' are broken: {error}") from error
    if not isinstance(found, dict):
        raise NoDossier(f"{path}: the data in its element '{name}' are no JSON object")
    return found


def _refused(word: str) -> Any:
    raise ValueError(f"{word} is no number")
