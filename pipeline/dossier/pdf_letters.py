"""Words of a document as they can be set: letters that the face has, in lengths that fit.

Widths are sums of the face's advances.  Kerning is left out of them: it moves a line by less than
the 2 % that is kept in hand.
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

from pipeline import fonts
from pipeline.typeset import quoted

_MM_PER_POINT = 25.4 / 72.0
_IN_HAND = 1.02
_MEASURED_PX = 48.0
_SPACES = re.compile(r"[ \t\n\r\v\f\x1c-\x1f\x85\u1680\u2028\u2029\u3000]+")
_FEW = 6.0
_MARK = "\ufeff"  # says the order of bytes at the head of a file; PDF/UA-1 forbids it in words
_UNIT = re.compile(r"(?<![^ (])([^ /()\u200b]{1,6}/[^ /()\u200b]{1,6})(?![^ )])")
_ISOLATES = {0x2068: None, 0x2069: None}  # round names from right to left, all of them '?' here
_BREAK = "\u200b"  # has no width; a line may end there
_AFTER = frozenset("-_/\\.,:;|")  # a long name is best broken behind one of these


def said(text: str) -> str:
    r"""The words in letters of the face, a question mark for each other, on one line.

    >>> said("core\n核 ball ")
    'core ? ball'
    """
    return shaped(_SPACES.sub(" ", text).strip())


def shaped(text: str) -> str:
    """The text with a question mark for every letter that cannot be set, lines as they are."""
    text = text.translate(_ISOLATES)
    return "".join(c if c in "\n\r\t" else "?" if c == _MARK else fonts.written(c) for c in text)


@lru_cache(maxsize=4096)
def _advance(letter: str, weight: int) -> float:
    return fonts.width(letter, _MEASURED_PX, weight) / _MEASURED_PX


def width_mm(text: str, size_pt: float, weight: int = fonts.PLAIN) -> float:
    """How long a line of letters of the face is, mm, with a little in hand."""
    ems = sum(_advance(letter, weight) for letter in text)
    return ems * size_pt * _MM_PER_POINT * _IN_HAND


def longest_word_mm(text: str, size_pt: float, weight: int = fonts.PLAIN) -> float:
    """How long its longest word is, mm."""
    return max((width_mm(word, size_pt, weight) for word in text.split(" ")), default=0.0)


def cut(text: str, room_mm: float, size_pt: float, weight: int = fonts.PLAIN) -> str:
    """The words as said, with an ellipsis for what is beyond the room.

    >>> cut("Turnstone", 10.0, 10.0)
    'Tur…'
    """
    text = said(text)
    if width_mm(text, size_pt, weight) <= room_mm:
        return text
    used = width_mm("…", size_pt, weight)
    for at, letter in enumerate(text):
        used += width_mm(letter, size_pt, weight)
        if used > room_mm:
            return text[:at].rstrip() + "…"
    return text + "…"


def broken(text: str, room_mm: float, size_pt: float, weight: int = fonts.PLAIN) -> str:
    """The words as said, with places to break in those that are longer than a line.

    Args:
        text: any text.
        room_mm: how long a line is.
        size_pt: of the letters.
        weight: of the face.
    """
    return " ".join(
        word
        if width_mm(word, size_pt, weight) <= room_mm
        else _BREAK.join(_pieces(word, room_mm, size_pt, weight))
        for word in said(text).split(" ")
    )


def _pieces(word: str, room_mm: float, size_pt: float, weight: int) -> list[str]:
    """A word in pieces that each fit, cut behind a hyphen or the like where one is near."""
    unit = size_pt * _MM_PER_POINT * _IN_HAND
    pieces, start, good, used = [], 0, 0, 0.0
    for at, letter in enumerate(word):
        used += _advance(letter, weight) * unit
        if used > room_mm and at > start and not unicodedata.combining(letter):
            end = good if good > start + (at - start) // 2 else at
            pieces.append(word[start:end])
            start, good = end, 0
            used = sum(_advance(c, weight) for c in word[start : at + 1]) * unit
        if letter in _AFTER:
            good = at + 1
    return [*pieces, word[start:]]


def literal(text: str) -> str:
    """The words as a string literal of typst, on one line however long."""
    return quoted(said(text))


def lines(text: str, room_mm: float, size_pt: float, weight: int = fonts.PLAIN) -> str:
    """The words as an expression of typst, with places to break long ones, and units in one."""
    return _in_one(broken(text, room_mm, size_pt, weight))


def few_lines(text: str, room_mm: float, size_pt: float, weight: int = fonts.PLAIN) -> str:
    """The same in some six lines at the most, for what has to stay on the page of its figure."""
    return lines(cut(text, _FEW * room_mm, size_pt, weight), room_mm, size_pt, weight)


def _in_one(text: str) -> str:
    """An expression of a text, where no line ends within such a unit as g/cm3.

    >>> _in_one("2.33 g/cm3 at most")
    '"2.33 " + box("g/cm3") + " at most"'
    """
    parts = _UNIT.split(text)
    shown = (f"box({quoted(p)})" if k % 2 else quoted(p) for k, p in enumerate(parts) if p)
    return " + ".join(shown) or '""'
