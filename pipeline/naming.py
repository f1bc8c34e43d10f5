"""Names as files take them: safe names of files, and any name as a string of a STEP file."""

from __future__ import annotations

import hashlib
import re
import unicodedata
from collections.abc import Collection

LONGEST = 60  # characters of a stem, so that a whole path stays far below every system's limit
_RESERVED = {"con", "prn", "aux", "nul", "conin", "conout"} | {
    f"{port}{k}" for port in ("com", "lpt") for k in range(10)
}  # devices on Windows, whatever the ending
_LIGATURES = {"ß": "ss", "æ": "ae", "œ": "oe", "þ": "th", "ð": "d", "\u0131": "i"}
_LETTER = re.compile(r"(?:LATIN|GREEK|CYRILLIC) (?:SMALL|CAPITAL) LETTER (\w+)")


def file_stem(name: str, taken: Collection[str] = ()) -> str:
    """A file name without its ending, from a name in any script.

    Lower case letters, digits, hyphens and underscores only.  Accents are dropped, letters of other
    alphabets are spelled where Unicode names them, and any other letter becomes its code point, so
    that two names in one script stay apart.

    Args:
        name: the name as it is shown.
        taken: stems that are in use; upper and lower case count as the same.

    Returns:
        The same stem for the same arguments, never one that is taken or that Windows reserves.

    >>> file_stem("Inner Core"), file_stem("Brachvögel"), file_stem("核心")
    ('inner-core', 'brachvogel', 'u6838-u5fc3')
    >>> file_stem("inner/core", ["Inner-Core"])
    'inner-core-2'
    """
    spelled = "".join(_spelled(c) for c in unicodedata.normalize("NFC", name))
    stem = re.sub(r"-{2,}", "-", spelled).strip("-_") or "part"
    if stem in _RESERVED:
        stem = f"{stem}-part"
    if len(stem) > LONGEST:
        mark = hashlib.sha256(name.encode("utf-8", "surrogatepass")).hexdigest()[:8]
        stem = f"{stem[: LONGEST - 9].rstrip('-_')}-{mark}"
    used = {other.casefold() for other in taken}
    found, turn = stem, 2
    while found in used:
        found, turn = f"{stem}-{turn}", turn + 1
    return found


def step_string(name: str) -> str:
    r"""A name as the inside of a STEP string: ISO 10303-21, 6.4.3, from memory.

    >>> step_string("Brachvögel's"), step_string("核心"), step_string("a\\b")
    ("Brachv\\X2\\00F6\\X0\\gel''s", '\\X2\\68385FC3\\X0\\', 'a\\\\b')
    """
    found = []
    for run in re.finditer(r"[ -~]+|[\U00010000-\U0010FFFF]+|[^ -~\U00010000-\U0010FFFF]+", name):
        text = run[0]
        if " " <= text[0] <= "~":
            found.append(text.replace("\\", "\\\\").replace("'", "''"))
        else:
            form, digits = ("X4", 8) if text[0] > "\uffff" else ("X2", 4)
            codes = "".join(f"{ord(c):0{digits}X}" for c in text)
            found.append(f"\\{form}\\{codes}\\X0\\")
    return "".join(found)


def _spelled(character: str) -> str:
    """One character in lower case ASCII; a hyphen for what only separates."""
    lower = character.lower()
    if lower in _LIGATURES:
        return _LIGATURES[lower]
    bare = "".join(
        c for c in unicodedata.normalize("NFKD", lower) if not unicodedata.combining(c)
    ).lower()
    bare = bare.replace("\u2044", "-")  # the stroke of a fraction
    if re.fullmatch(r"[a-z0-9_-]+", bare):
        return bare
    named = _LETTER.match(unicodedata.name(character, ""))
    if named:
        return named[1].lower()
    if unicodedata.category(character)[0] in "LNS" and ord(character) > 127:
        return f"-u{ord(character):04x}-"
    return "-"
