"""A page that came back, held against its own design: every figure is worked out anew.

The design lies in the page.  All data are made from it again and held against those in the page,
number by number; then the page is written again from them and held against what it says.  Pictures
are held by their hashes.
"""

from __future__ import annotations

import base64
import hashlib
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from difflib import SequenceMatcher
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import Any

from pipeline.ball import build_ball
from pipeline.dossier.changed import Earlier
from pipeline.dossier.contents import contents
from pipeline.dossier.document import Picture
from pipeline.dossier.page import page_of
from pipeline.dossier.reading import NoDossier, PageRead, parsed, read_page
from pipeline.dossier.space import space_of
from pipeline.errors import CorewrightError
from pipeline.load import load
from pipeline.manifest import versions
from pipeline.uncollected import uncollected
from pipeline.verify import Seen

_MADE_ELSEWHERE = ("pictures", "versions")  # not worked out from the design
_SHOWN = 60  # letters of what differs


def verify_page(path: Path) -> tuple[Seen, ...]:
    """Hold the page of a dossier against the design in it.

    Raises:
        NoDossier: it is no page of a dossier, or so broken that nothing can be held.
    """
    page = read_page(path)
    try:
        return _held(page)
    except NoDossier as error:
        raise NoDossier(f"{path}: {error}") from error
    except (LookupError, TypeError, AttributeError, ValueError, OSError) as error:
        # the page is another's work: whatever in it is of another kind than we write ends here
        raise NoDossier(
            f"{path}: data are missing in it or of another kind than we write "
            f"({type(error).__name__}: {error})"
        ) from error


def _held(page: PageRead) -> tuple[Seen, ...]:
    found = [*_design(page), *_pictures(page)]
    try:
        with uncollected():
            made, space = _made_again(page)
    except CorewrightError as error:
        return (*found, Seen("figures", False, f"the design in it cannot be worked out: {error}"))
    told, again = (
        {k: v for k, v in data.items() if k not in _MADE_ELSEWHERE} for data in (page.data, made)
    )
    figures = list(_differences(told, again, ""))
    found += figures or [Seen("figures", True, f"{_count(again)} numbers and words hold")]
    if page.data.get("versions") != versions():
        return (*found, Seen("words of the page", True, "made by other versions: not compared"))
    made["pictures"] = page.data["pictures"]
    shown = list(_differences(page.space, space, "in space: "))
    found += shown or [Seen("the ball in space", True)]
    return (*found, *_page(page, made, space))


def _made_again(page: PageRead) -> tuple[dict[str, Any], dict[str, Any]]:
    """All data, and what is shown in space, from the design in the page."""
    design = page.data["design"]
    with tempfile.TemporaryDirectory(prefix="corewright-") as folder:
        home = Path(folder)
        for one in design["files"]:
            path = home / one["name"]
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(base64.b64decode(one["base64"]))
        file = home / "design.yaml"
        file.write_bytes(design["source"].encode())
        ball = build_ball(load(file))
        before = page.data.get("changed")
        earlier = None if before is None else Earlier(before["design"], before["told"])
        found = contents(ball, earlier)
        return found.data, space_of(found)


def _design(page: PageRead) -> Iterator[Seen]:
    """The design in the page is the one whose hash it tells, and so are its files."""
    design = page.data.get("design")
    if not isinstance(design, Mapping) or not isinstance(design.get("source"), str):
        raise NoDossier("the page holds no design")
    files = design.get("files", [])
    if not isinstance(files, list) or not all(_is_file(one) for one in files):
        raise NoDossier("the page names a file of its design that has no name, hash or content")
    sources = [("design.yaml", design["source"].encode(), design.get("sha256"))]
    sources += [(one["name"], _decoded(one), one["sha256"]) for one in files]
    for name, data, due in sources:
        same = hashlib.sha256(data).hexdigest() == due
        yield Seen(f"design: {name}", same, "" if same else "it has not the hash that is told")


def _is_file(one: Any) -> bool:
    """Whether it is a file below the design's folder, with hash and content."""
    if not isinstance(one, dict):
        return False
    if not all(isinstance(one.get(key), str) for key in ("name", "sha256", "base64")):
        return False
    name, windows = PurePosixPath(one["name"]), PureWindowsPath(one["name"])
    outside = name.is_absolute() or ".." in name.parts or bool(windows.drive) or "\\" in str(name)
    return not outside and bool(name.name) and one["name"] != "design.yaml"


def _decoded(one: Mapping[str, str]) -> bytes:
    try:
        return base64.b64decode(one["base64"], validate=True)
    except ValueError:
        raise NoDossier(f"the file {one['name']} of its design is broken") from None


def _pictures(page: PageRead) -> Iterator[Seen]:
    """Every picture that is told of is there, byte for byte."""
    rows = {row["key"]: row["sha256"] for row in page.data.get("pictures", [])}
    for key in dict.fromkeys([*rows, *page.pictures]):
        data = page.pictures.get(key)
        if data is None:
            yield Seen(f"picture: {key}", False, "it is missing")
        elif key not in rows:
            yield Seen(f"picture: {key}", False, "the data do not tell of it")
        else:
            same = hashlib.sha256(data).hexdigest() == rows[key]
            yield Seen(f"picture: {key}", same, "" if same else "it has not the hash that is told")


def _differences(told: Any, due: Any, path: str) -> Iterator[Seen]:
    """Every number and word that is not what it is worked out to be."""
    if isinstance(told, Mapping) and isinstance(due, Mapping):
        for key in dict.fromkeys([*due, *told]):
            where = f"{path}.{key}" if path and not path.endswith(" ") else f"{path}{key}"
            if key not in due:
                yield Seen(where, False, "it is told, and does not follow from the design")
            elif key not in told:
                yield Seen(where, False, "it is missing")
            else:
                yield from _differences(told[key], due[key], where)
    elif isinstance(told, list) and isinstance(due, Sequence) and not isinstance(due, str):
        if len(told) != len(due):
            yield Seen(path, False, f"{len(told)} entries are told where {len(due)} are due")
            return
        for k, (one, other) in enumerate(zip(told, due, strict=True)):
            yield from _differences(one, other, f"{path}[{k}]")
    elif isinstance(told, bool) != isinstance(due, bool) or told != due:
        yield Seen(path, False, f"{_short(told)} is told where {_short(due)} is found")


def _short(value: Any) -> str:
    text = "undefined" if value is None else str(value)
    return text if len(text) <= _SHOWN else f"{text[:_SHOWN]}…"


def _count(data: Any) -> int:
    if isinstance(data, Mapping):
        return sum(_count(value) for value in data.values())
    if isinstance(data, list):
        return sum(_count(value) for value in data)
    return 1


def _page(page: PageRead, data: Mapping[str, Any], space: Mapping[str, Any]) -> Iterator[Seen]:
    """What the page says and runs is what these data make of it, to the byte."""
    files = {
        row["key"]: Picture(row["key"], b"", page.pictures.get(row["key"], b""), *size)
        for row, size in ((r, (r["width_px"], r["height_px"])) for r in data["pictures"])
    }
    due = page_of(data, space, files)
    if due == page.raw:
        yield Seen("the page itself", True, "it is written anew to the same bytes")
        return
    words = parsed(due.decode()).texts
    wrong = [
        Seen(f"words of section '{key}'", False, note)
        for key in dict.fromkeys([*words, *page.texts])
        if (note := _first_difference(page.texts.get(key, ()), words.get(key, ())))
    ]
    yield from wrong or [
        Seen("the page itself", False, "its words hold, but its bytes are not those that we write")
    ]


def _first_difference(told: Sequence[str], due: Sequence[str]) -> str:
    """Where two runs of words differ first; nothing where they do not."""
    for kind, a, b, c, d in SequenceMatcher(None, told, due, autojunk=False).get_opcodes():
        if kind != "equal":
            read, wanted = (_short(" ".join(words)) for words in (told[a:b], due[c:d]))
            return f"it reads '{read}' where '{wanted}' is due"
    return ""
