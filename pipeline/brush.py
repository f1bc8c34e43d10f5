"""Ink on a picture: words, lines, areas and signs, each drawn finer and reduced."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from PIL import Image, ImageDraw

from pipeline import fonts
from pipeline.fonts import FINE
from pipeline.looks import Look
from pipeline.palette import CHALK
from pipeline.scene import INK
from pipeline.sheet import Box, Point, Words


def _ink(image: Image.Image, mask: Image.Image, at: tuple[int, int], colour: str) -> None:
    """A colour through a mask, over what is there; what falls outside is left out."""
    x, y = at
    left, top = max(0, -x), max(0, -y)
    right, bottom = min(mask.width, image.width - x), min(mask.height, image.height - y)
    if right <= left or bottom <= top:
        return
    layer = Image.new("RGBA", mask.size, colour)
    layer.putalpha(mask)
    image.alpha_composite(layer.crop((left, top, right, bottom)), (x + left, y + top))


def write(image: Image.Image, words: Words, look: Look, opacity: float = 1.0) -> None:
    """A line of words."""
    box = words.box
    x, y = int(box.left), int(box.top)
    mask = Image.new("L", ((int(box.width) + 4) * FINE, (int(box.height) + 4) * FINE))
    start = ((box.left - x) * FINE, (box.top - y + 1.02 * words.em) * FINE)
    font = fonts.face(words.em, words.weight)
    ImageDraw.Draw(mask).text(
        start, fonts.written(words.text), round(255 * opacity), font, anchor="ls"
    )
    _ink(image, mask.reduce(FINE), (x, y), look.ink(words.colour))


def stroke(
    image: Image.Image, points: Sequence[Point], width: float, colour: str, opacity: float = 1.0
) -> None:
    """A line through points."""
    low = np.floor(np.min(points, axis=0) - width - 1).astype(int)
    high = np.ceil(np.max(points, axis=0) + width + 1).astype(int)
    mask = Image.new("L", tuple(int(n) * FINE for n in high - low))  # type: ignore[arg-type]
    path = [((x - low[0]) * FINE, (y - low[1]) * FINE) for x, y in points]
    ink = round(255 * opacity)
    ImageDraw.Draw(mask).line(path, ink, max(1, round(width * FINE)), joint="curve")
    _ink(image, mask.reduce(FINE), (int(low[0]), int(low[1])), colour)


def polygon(image: Image.Image, points: Sequence[Point], colour: str) -> None:
    """An area with straight sides."""
    low = np.floor(np.min(points, axis=0) - 1).astype(int)
    high = np.ceil(np.max(points, axis=0) + 1).astype(int)
    mask = Image.new("L", tuple(int(n) * FINE for n in high - low))  # type: ignore[arg-type]
    path = [((x - low[0]) * FINE, (y - low[1]) * FINE) for x, y in points]
    ImageDraw.Draw(mask).polygon(path, 255)
    _ink(image, mask.reduce(FINE), (int(low[0]), int(low[1])), colour)


def fill(image: Image.Image, box: Box, colour: str, opacity: float, round_px: float = 0.0) -> None:
    """A rectangle."""
    x, y = int(box.left), int(box.top)
    mask = Image.new("L", ((int(box.width) + 3) * FINE, (int(box.height) + 3) * FINE))
    at = [(n - o) * FINE for n, o in zip((box.left, box.top, box.right, box.bottom), (x, y) * 2,
                                          strict=True)]  # fmt: skip
    ImageDraw.Draw(mask).rounded_rectangle(at, round_px * FINE, round(255 * opacity))
    _ink(image, mask.reduce(FINE), (x, y), colour)


def disc(
    image: Image.Image,
    at: Point,
    radius: float,
    light: Sequence[tuple[int, int]],
    opacity: float = 1.0,
) -> None:
    """A dark disc, of which some sectors, in degrees, are light.

    Quarters by turns are the sign of a centre of gravity; a whole light one is a pin.
    """
    x, y = int(at[0] - radius) - 2, int(at[1] - radius) - 2
    side = int(2 * radius) + 6
    whole = ((0, 360),)
    for colour, sectors, grow in ((CHALK, whole, 1.22), (INK, whole, 1.0), (CHALK, light, 0.78)):
        mask = Image.new("L", (side * FINE, side * FINE))
        r = radius * grow
        box = [(c + s * r - o) * FINE for s in (-1, 1) for c, o in zip(at, (x, y), strict=True)]
        for first, last in sectors:
            ImageDraw.Draw(mask).pieslice(box, first, last, round(255 * opacity))
        _ink(image, mask.reduce(FINE), (x, y), colour)
