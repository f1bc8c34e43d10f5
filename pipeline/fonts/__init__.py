"""The one face of all pictures: Source Sans 3, as its makers publish it, under its own licence.

Its figures are all of one width, and it has the true minus sign.  Words are laid out letter by
letter without an outside shaping library, so that they come out the same on every machine, and at
four times their size, so that small ones keep their spacing.

The face has Latin, Greek and Cyrillic letters.  A name in another script keeps its place in a
picture, with a question mark for each letter that is lacking; files and figures have it as it is.
"""

from __future__ import annotations

from functools import lru_cache
from importlib.resources import files

from PIL import ImageFont

PLAIN, BOLD = 400, 600
FINE = 4  # words are set at so many times their size


@lru_cache(maxsize=64)
def face(size_px: float, weight: int = PLAIN) -> ImageFont.FreeTypeFont:
    """The face at FINE times a size, px an em, and a weight."""
    path = files("pipeline").joinpath("fonts", "SourceSans3.ttf")
    font = ImageFont.truetype(str(path), FINE * size_px, layout_engine=ImageFont.Layout.BASIC)
    font.set_variation_by_axes([weight])
    return font


@lru_cache(maxsize=1024)
def lacks(letter: str) -> bool:
    """Whether the face has no shape for a letter, but only the box that stands for such."""
    box = face(12.0).getmask("\uffff")  # never a letter
    return bytes(face(12.0).getmask(letter)) == bytes(box)


def written(words: str) -> str:
    """The words, with a question mark for every letter that the face lacks.

    >>> written("Grèbe, Κορμοράνος, 核心")
    'Grèbe, Κορμοράνος, ??'
    """
    return "".join("?" if lacks(letter) else letter for letter in words)


def width(words: str, size_px: float, weight: int = PLAIN) -> float:
    """How long a line is, px."""
    return float(face(size_px, weight).getlength(words)) / FINE


def shortened(words: str, longest_px: float, size_px: float, weight: int = PLAIN) -> str:
    """The words, cut off with an ellipsis where they would be longer than they may."""
    if width(words, size_px, weight) <= longest_px:
        return words
    while words and width(words + "…", size_px, weight) > longest_px:
        words = words[:-1]
    return words.rstrip() + "…"


def wrapped(words: str, longest_px: float, size_px: float, weight: int = PLAIN) -> list[str]:
    """The words in lines no longer than they may be."""
    lines = [""]
    for word in words.split():
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and width(longer, size_px, weight) > longest_px:
            lines.append(word)
        else:
            lines[-1] = longer
    return [shortened(line, longest_px, size_px, weight) for line in lines]
