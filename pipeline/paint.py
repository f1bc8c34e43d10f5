"""Paper, shadow, words and signs, painted round what was rendered, by Pillow at the final size."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from PIL import Image, ImageDraw

from pipeline import fonts
from pipeline.fonts import FINE, PLAIN
from pipeline.palette import CHALK, rgb
from pipeline.scene import INK, Scene
from pipeline.sheet import FAINT, SMALL, Box, Callout, Point, Sheet, Swatch, Words
from pipeline.units import MM_PER_IN

_WHOLE = ((0, 360),)
_SIGNS: dict[str, tuple[tuple[int, int], ...]] = {  # the light sectors of a mark's disc
    "pin": _WHOLE,
    "cg": ((0, 90), (180, 270)),
    "psa": ((-90, 90),),
    "axis point": (),
    "grip centre": ((-30, 30), (60, 120), (150, 210), (240, 300)),
}
PAPER, PAPER_EDGE = "#F6F2EA", "#E3DCCF"


def paint(scene: Scene, sheet: Sheet, shot: Image.Image, transparent: bool) -> Image.Image:
    """The whole picture.

    Args:
        scene: what is drawn.
        sheet: where it goes.
        shot: the stage as it was rendered, RGBA.
        transparent: whether to leave the paper and the shadow out.
    """
    image = Image.new("RGBA", sheet.size) if transparent else _paper(sheet.size)
    if scene.floor_mm is not None and not transparent:
        _shadow(image, scene, sheet, scene.floor_mm)
    image.alpha_composite(shot, (int(sheet.stage.left), int(sheet.stage.top)))
    for callout in sheet.callouts:
        _leader(image, callout, sheet.em)
    for mark in scene.marks:
        at, radius = sheet.at(scene, mark.at_mm), 0.42 * sheet.em
        _disc(image, at, radius, () if mark.behind else _SIGNS[mark.kind])
    for callout in sheet.callouts:
        if callout.plate:
            _fill(image, callout.box, PAPER, 0.86, 0.25 * sheet.em)
        for words in callout.words:
            _write(image, words)
    for block in sheet.blocks:
        for words in block.words:
            _write(image, words)
        for swatch in block.swatches:
            _swatch(image, swatch)
    _scale_bar(image, sheet)
    return image if transparent else image.convert("RGB")


def _paper(size: tuple[int, int]) -> Image.Image:
    """Warm paper, a little darker away from the middle."""
    y, x = np.mgrid[-1.0 : 1.0 : size[1] * 1j, -1.0 : 1.0 : size[0] * 1j]
    share = np.clip((x * x + y * y) / 2.0, 0.0, 1.0)[..., None] ** 1.3
    inner, outer = np.array(rgb(PAPER)), np.array(rgb(PAPER_EDGE))
    pixels = np.rint((inner + share * (outer - inner)) * 255.0).astype(np.uint8)
    return Image.fromarray(pixels, "RGB").convert("RGBA")


def _shadow(image: Image.Image, scene: Scene, sheet: Sheet, floor_mm: float) -> None:
    """A soft shadow on the floor that the ball stands on."""
    reach = sheet.px_per_mm * scene.reach_mm
    tilt = np.sin(np.radians(scene.camera.elevation_deg))
    x, y = sheet.at(scene, np.array([0.0, 0.0, floor_mm]))
    rows, columns = np.mgrid[0 : sheet.size[1], 0 : sheet.size[0]].astype(np.float32)
    away = ((columns - x - 0.08 * reach) / (0.80 * reach)) ** 2
    away += ((rows - y) / (0.80 * reach * tilt)) ** 2
    alpha = 0.42 * np.exp(-2.2 * away)
    layer = Image.new("RGBA", image.size, "#3A3226")
    layer.putalpha(Image.fromarray(np.rint(alpha * 255.0).astype(np.uint8), "L"))
    image.alpha_composite(layer)


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


def _write(image: Image.Image, words: Words) -> None:
    box = words.box
    x, y = int(box.left), int(box.top)
    mask = Image.new("L", ((int(box.width) + 4) * FINE, (int(box.height) + 4) * FINE))
    start = ((box.left - x) * FINE, (box.top - y + 1.02 * words.em) * FINE)
    font = fonts.face(words.em, words.weight)
    ImageDraw.Draw(mask).text(start, words.text, 255, font, anchor="ls")
    _ink(image, mask.reduce(FINE), (x, y), words.colour)


def _stroke(
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


def _fill(image: Image.Image, box: Box, colour: str, opacity: float, round_px: float = 0.0) -> None:
    """A rectangle."""
    x, y = int(box.left), int(box.top)
    mask = Image.new("L", ((int(box.width) + 3) * FINE, (int(box.height) + 3) * FINE))
    at = [(n - o) * FINE for n, o in zip((box.left, box.top, box.right, box.bottom), (x, y) * 2,
                                          strict=True)]  # fmt: skip
    ImageDraw.Draw(mask).rounded_rectangle(at, round_px * FINE, round(255 * opacity))
    _ink(image, mask.reduce(FINE), (x, y), colour)


def _leader(image: Image.Image, callout: Callout, em: float) -> None:
    """A thin line with light edges, so that it shows on any colour."""
    start, end = (np.array(p) for p in callout.leader)
    length = float(np.linalg.norm(end - start))
    if length < 1.6 * em:
        return
    start = start + (end - start) / length * 0.35 * em
    line = [(float(p[0]), float(p[1])) for p in (start, end)]
    _stroke(image, line, 0.17 * em, PAPER, 0.75)
    _stroke(image, line, 0.065 * em, INK)


def _disc(image: Image.Image, at: Point, radius: float, light: Sequence[tuple[int, int]]) -> None:
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
            ImageDraw.Draw(mask).pieslice(box, first, last, 255)
        _ink(image, mask.reduce(FINE), (x, y), colour)


def _swatch(image: Image.Image, swatch: Swatch) -> None:
    box, thick = swatch.box, 0.08 * swatch.box.width
    _fill(image, box, INK, 0.65, 0.12 * box.width)
    inner = Box(box.left + thick, box.top + thick, box.right - thick, box.bottom - thick)
    _fill(image, inner, swatch.colour, 1.0, 0.08 * box.width)
    if swatch.hollow:
        inner = Box(*(n + way * 0.24 * box.width for n, way in
                      zip((box.left, box.top, box.right, box.bottom), (1, 1, -1, -1),
                          strict=True)))  # fmt: skip
        _fill(image, inner, PAPER, 1.0)


def _scale_bar(image: Image.Image, sheet: Sheet) -> None:
    """Whole inches, dark and light by turns, with the inches above and the mm below."""
    (x, y), em = sheet.scale.at, sheet.em
    top, thick = y + 0.98 * em, 0.30 * em
    length = sheet.scale.px_per_in * sheet.scale.inches
    _fill(image, Box(x, top, x + length, top + thick), INK, 1.0)
    for k in range(sheet.scale.inches):
        if k % 2:
            left = x + k * sheet.scale.px_per_in
            inner = Box(left, top + 0.06 * em, left + sheet.scale.px_per_in - 0.06 * em,
                        top + thick - 0.06 * em)  # fmt: skip
            _fill(image, inner, PAPER, 1.0)
    small = SMALL * em
    _write(image, Words((x, y - 0.25 * em), f"{sheet.scale.inches} in", small))
    mm = f"{sheet.scale.inches * MM_PER_IN:.1f} mm"
    _write(image, Words((x, top + thick + 0.02 * em), mm, small, PLAIN, FAINT))
