"""Text of others in a Markdown page: names and notes stay what they are, and mark up nothing."""

from __future__ import annotations

import re
import unicodedata

_SPECIAL = re.compile(r"([\\`*_{}\[\]<>#|~^$@&])|(://)|\b(www)\.", re.IGNORECASE)
_STARTS = re.compile(r"^(?:([-+=])|(\d{1,9})([.)])(?=\s|$))")
_JOINERS = "\u200c\u200d"  # they shape words of some scripts, and turn nothing round
_ISOLATE, _POP = "\u2068", "\u2069"


def escaped(text: str) -> str:
    r"""A text of one line that Markdown shows as it stands.

    >>> escaped("a|b *c*"), escaped("1. no list")
    ('a\\|b \\*c\\*', '1\\. no list')
    """
    text = _SPECIAL.sub(_backslashed, text)
    return _STARTS.sub(lambda m: f"\\{m[1]}" if m[1] else f"{m[2]}\\{m[3]}", text)


def visible(text: str) -> str:
    r"""A text whose characters are all seen, and which turns round nothing outside it.

    Controls, such as those that override the direction of writing, are spelled as code points; a
    text with letters of a script that runs from right to left is isolated (UAX 9).

    >>> visible("tern\u202e3")
    'tern(U+202E)3'
    """
    shown = "".join(_seen(character) for character in text)
    if any(unicodedata.bidirectional(c) in ("R", "AL", "AN") for c in shown):
        return f"{_ISOLATE}{shown}{_POP}"
    return shown


def _seen(character: str) -> str:
    hidden = unicodedata.category(character) in ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")
    if hidden and character not in _JOINERS:
        return f"(U+{ord(character):04X})"
    return character


def _backslashed(match: re.Match[str]) -> str:
    if match[1]:
        return f"\\{match[1]}"
    return "\\://" if match[2] else f"{match[3]}\\."
