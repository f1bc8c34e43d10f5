"""Paper, shadow, words and signs, painted round what was rendered, by Pillow at the final size."""

from __future__ import annotations

import numpy as np
from PIL import Image

from pipeline.brush import disc, fill, polygon, stroke, write
from pipeline.grounding import grounded
from pipeline.job import Pixels, Shot
from pipeline.looks import SHORE, Look
from pipeline.palette import rgb
from pipeline.scene import INK, Dimension, Scene
from pipeline.sheet import Band, Box, Callout, Scale, Sheet, Swatch, scale_words, words_of

_WHOLE = ((0, 360),)
_SIGNS: dict[str, tuple[tuple[int, int], ...]] = {  # the light sectors of a mark's disc
    "pin": _WHOLE,
    "cg": ((0, 90), (180, 270)),
    "psa": ((-90, 90),),
    "axis point": (),
    "grip centre": ((-30, 30), (60, 120), (150, 210), (240, 300)),
}


def paint(
    scene: Scene, sheet: Sheet, shot: Shot, look: Look = SHORE, *, transparent: bool = False
) -> Image.Image:
    """The whole picture.

    Args:
        scene: what is drawn.
        sheet: where it goes.
        shot: the stage as it was rendered.
        look: its colours.
        transparent: whether to leave the paper and the shadow out.
    """
    layers = layers_of(scene, sheet, shot, look, ground=not transparent)
    image = Image.new("RGBA", sheet.size)
    for layer in layers.values():
        image.alpha_composite(layer)
    return image if transparent else image.convert("RGB")


def layers_of(
    scene: Scene, sheet: Sheet, shot: Shot, look: Look = SHORE, *, ground: bool = True
) -> dict[str, Image.Image]:
    """A picture's layers, RGBA and of its size, lowest first: ground, ball, axes, labels, card."""
    found = {"ground": ground_of(scene, sheet, look)} if ground else {}
    lit = grounded(shot.ball, shot.depth_mm, sheet.px_per_mm) if look.manner == "lit" else shot.ball
    for name, pixels in (("ball", lit), ("axes", shot.over)):
        found[name] = Image.new("RGBA", sheet.size)
        at = int(sheet.stage.left), int(sheet.stage.top)
        found[name].paste(straight(pixels), at)
    return {**found, "labels": labels_of(scene, sheet, look), "card": card_of(sheet, look)}


def straight(pixels: Pixels) -> Image.Image:
    """Colours that are times alpha as a picture whose colours are not; shape (h, w, 4)."""
    high, wide = pixels.shape[:2]
    data = np.ascontiguousarray(pixels)
    return Image.frombuffer("RGBa", (wide, high), data, "raw", "RGBa", 0, 1).convert("RGBA")


def ground_of(scene: Scene, sheet: Sheet, look: Look) -> Image.Image:
    """Paper, and the shadow on it."""
    image = _paper(sheet.size, look)
    if scene.floor_mm is not None and look.shadow_share > 0.0:
        _shadow(image, scene, sheet, scene.floor_mm, look)
    return image


def labels_of(scene: Scene, sheet: Sheet, look: Look) -> Image.Image:
    """Marks, dimensions, and labels with their leaders."""
    image = Image.new("RGBA", sheet.size)
    for dimension in scene.dimensions:
        _dimension(image, scene, sheet, dimension, look)
    shown = [callout for callout in sheet.callouts if callout.fade > 0.0]
    for callout in shown:
        _leader(image, callout, sheet.em, look)
    for mark in scene.marks:
        at, radius = sheet.at(scene, mark.at_mm), 0.42 * sheet.em
        disc(image, at, radius, () if mark.behind else _SIGNS[mark.kind], mark.fade)
    for callout in shown:
        if callout.plate:
            fill(image, callout.box, look.plate, 0.86 * callout.fade, 0.25 * sheet.em)
        for words in callout.words:
            write(image, words, look, callout.fade)
    return image


def card_of(sheet: Sheet, look: Look) -> Image.Image:
    """Title, figures, legend, notes and the scale."""
    image = Image.new("RGBA", sheet.size)
    for block in sheet.blocks:
        for words in block.words:
            write(image, words, look)
        for swatch in block.swatches:
            _swatch(image, swatch, look)
        for band in block.bands:
            _band(image, band, look)
    if sheet.scale is not None:
        _scale_bar(image, sheet, sheet.scale, look)
    return image


def _paper(size: tuple[int, int], look: Look) -> Image.Image:
    """Paper, a little darker away from the middle."""
    y, x = np.mgrid[-1.0 : 1.0 : size[1] * 1j, -1.0 : 1.0 : size[0] * 1j]
    share = np.clip((x * x + y * y) / 2.0, 0.0, 1.0)[..., None] ** 1.3
    inner, outer = np.array(rgb(look.paper)), np.array(rgb(look.paper_edge))
    smooth = (inner + share * (outer - inner)) * 255.0
    if look.even:
        steps = 0.7548776662 * np.arange(size[0]) + 0.5698402910 * np.arange(size[1])[:, None]
        smooth += (steps % 1.0)[..., None] - 0.5
    pixels = np.rint(smooth).clip(0.0, 255.0).astype(np.uint8)
    return Image.fromarray(pixels, "RGB").convert("RGBA")


def _shadow(image: Image.Image, scene: Scene, sheet: Sheet, floor_mm: float, look: Look) -> None:
    """A soft shadow on the floor that the ball stands on."""
    reach = sheet.px_per_mm * scene.reach_mm
    tilt = np.sin(np.radians(scene.camera.elevation_deg))
    x, y = sheet.at(scene, floor_mm * np.array(scene.camera.frame[2]))
    rows, columns = np.mgrid[0 : sheet.size[1], 0 : sheet.size[0]].astype(np.float32)
    away = ((columns - x - 0.08 * reach) / (0.80 * reach)) ** 2
    away += ((rows - y) / (0.80 * reach * tilt)) ** 2
    alpha = look.shadow_share * np.exp(-2.2 * away)
    layer = Image.new("RGBA", image.size, look.shadow)
    layer.putalpha(Image.fromarray(np.rint(alpha * 255.0).astype(np.uint8), "L"))
    image.alpha_composite(layer)


def _dimension(
    image: Image.Image, scene: Scene, sheet: Sheet, dimension: Dimension, look: Look
) -> None:
    """Lines out from what is measured, the line with its two heads, and the length on it."""
    em, ink = sheet.em, look.ink(INK)
    a, b = (np.array(sheet.at(scene, p)) for p in dimension.line_mm)
    way = (b - a) / np.linalg.norm(b - a)
    for end, measured in ((a, dimension.from_mm), (b, dimension.to_mm)):
        start = np.array(sheet.at(scene, measured))
        out = end - start
        far = float(np.linalg.norm(out))
        if far > 0.6 * em:
            line = [tuple(start + out / far * 0.35 * em), tuple(end + out / far * 0.4 * em)]
            stroke(image, line, 0.05 * em, ink, 0.7)
    stroke(image, [tuple(a), tuple(b)], 0.06 * em, ink)
    side = np.array([-way[1], way[0]])
    for tip, back in ((a, way), (b, -way)):
        wing = [tip + back * 0.62 * em + s * side * 0.17 * em for s in (1.0, -1.0)]
        polygon(image, [tuple(tip), *(tuple(w) for w in wing)], ink)
    words = words_of(scene, sheet, dimension)
    fill(image, words.box, look.plate, 1.0, 0.1 * em)
    write(image, words, look)


def _leader(image: Image.Image, callout: Callout, em: float, look: Look) -> None:
    """A thin line with light edges, so that it shows on any colour."""
    start, end = (np.array(p) for p in callout.leader)
    length = float(np.linalg.norm(end - start))
    if length < 1.6 * em:
        return
    start = start + (end - start) / length * 0.35 * em
    line = [(float(p[0]), float(p[1])) for p in (start, end)]
    stroke(image, line, 0.17 * em, look.plate, 0.75 * callout.fade)
    stroke(image, line, 0.065 * em, look.ink(INK), callout.fade)


def _swatch(image: Image.Image, swatch: Swatch, look: Look) -> None:
    box, thick = swatch.box, 0.08 * swatch.box.width
    fill(image, box, look.ink(INK), 0.65, 0.12 * box.width)
    inner = box.shrunk(thick)
    fill(image, inner, swatch.colour, 1.0, 0.08 * box.width)
    if swatch.hollow:
        fill(image, box.shrunk(0.24 * box.width), look.paper, 1.0)


def _band(image: Image.Image, band: Band, look: Look) -> None:
    """Colours running into one another, from left to right, in a thin frame."""
    wide, high = (max(1, round(n)) for n in (band.box.width, band.box.height))
    stops = np.array([rgb(colour) for colour in band.colours])
    at = np.linspace(0.0, len(stops) - 1.0, wide)
    row = np.column_stack([np.interp(at, np.arange(len(stops)), stops[:, k]) for k in range(3)])
    pixels = np.repeat(np.rint(row * 255.0).astype(np.uint8)[None], high, axis=0)
    fill(image, band.box.shrunk(-1.0), look.ink(INK), 0.65)
    image.paste(Image.fromarray(pixels, "RGB"), (round(band.box.left), round(band.box.top)))


def _scale_bar(image: Image.Image, sheet: Sheet, scale: Scale, look: Look) -> None:
    """Whole inches, dark and light by turns, with the inches above and the mm below."""
    (x, y), em = scale.at, sheet.em
    top, thick = y + 0.98 * em, 0.30 * em
    length = scale.px_per_in * scale.inches
    fill(image, Box(x, top, x + length, top + thick), look.ink(INK), 1.0)
    for k in range(1, int(scale.inches), 2):
        left = x + k * scale.px_per_in
        whole = Box(left, top, left + scale.px_per_in, top + thick)
        fill(image, whole.shrunk(0.06 * em), look.paper, 1.0)
    for words in scale_words(sheet, scale):
        write(image, words, look)
