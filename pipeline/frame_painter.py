"""Frame after frame of a film painted: as `paint` does it, at a fraction of its time."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageChops

from pipeline.grounding import light_in_hollows
from pipeline.job import Depth, Pixels, Shot
from pipeline.looks import Look
from pipeline.paint import card_of, ground_of, labels_of
from pipeline.scene import Scene
from pipeline.sheet import Sheet


class Painter:
    """Paints frame after frame; what stays the same from one to the next is painted once."""

    def __init__(self, look: Look, *, transparent: bool) -> None:
        self._look, self._transparent = look, transparent
        self._ground: tuple[object, Pixels] | None = None
        self._card: tuple[object, Image.Image] | None = None

    def paint(self, scene: Scene, sheet: Sheet, shot: Shot) -> Pixels:
        """One frame: shape (h, w, 4)."""
        wide, high = sheet.size
        if self._transparent:
            under = np.zeros((high, wide, 4), dtype=np.uint8)
        else:
            under = self._ground_of(scene, sheet).copy()
        left, top = int(sheet.stage.left), int(sheet.stage.top)
        stage = under[top : top + shot.ball.shape[0], left : left + shot.ball.shape[1]]
        self._lay(stage, shot, sheet)
        image = Image.frombuffer("RGBa", (wide, high), under, "raw", "RGBa", 0, 1)
        image = image.convert("RGBA") if self._transparent else Image.fromarray(under, "RGBA")
        image.alpha_composite(labels_of(scene, sheet, self._look))
        image.alpha_composite(self._card_of(sheet))
        return np.asarray(image)

    def _lay(self, stage: Pixels, shot: Shot, sheet: Sheet) -> None:
        """The ball and its axes over what is there; all colours are times alpha.

        Most pixels are either clear or not; only the others are mixed.
        """
        rows, columns = _filled(shot)
        part = _words_of(stage)[rows, columns]
        ball = np.ascontiguousarray(shot.ball[rows, columns])
        if self._look.manner == "lit":
            depth = shot.depth_mm[rows, columns]
            ball = _dimmed(ball, light_in_hollows(depth, sheet.px_per_mm, coarse=2))
        for over in (ball, np.ascontiguousarray(shot.over[rows, columns])):
            alpha, words = over[..., 3], _words_of(over)
            whole = alpha == 255
            np.copyto(part, words, where=whole)
            some = np.flatnonzero((alpha > 0) & ~whole)
            front = over.reshape(-1, 4)[some].astype(np.int32)
            at = np.unravel_index(some, part.shape)
            behind = part[at].view(np.uint8).reshape(-1, 4).astype(np.int32)
            mixed = front + (behind * (255 - front[:, 3:4]) + 127) // 255
            part[at] = mixed.astype(np.uint8).view(np.uint32)[:, 0]

    def _ground_of(self, scene: Scene, sheet: Sheet) -> Pixels:
        key = (sheet.size, scene.floor_mm, scene.camera.elevation_deg)
        if self._ground is None or self._ground[0] != key:
            self._ground = (key, np.array(ground_of(scene, sheet, self._look)))
        return self._ground[1]

    def _card_of(self, sheet: Sheet) -> Image.Image:
        key = (sheet.blocks, sheet.scale)
        if self._card is None or self._card[0] != key:
            self._card = (key, card_of(sheet, self._look))
        return self._card[1]


def _words_of(pixels: Pixels) -> npt.NDArray[np.uint32]:
    """Pixels, shape (h, w, 4), as one number each, shape (h, w); the same memory."""
    return pixels.view(np.uint32)[..., 0]


def _dimmed(pixels: Pixels, light: Depth) -> Pixels:
    """Pixels with so much of their light; their alpha stays."""
    share = Image.fromarray(np.rint(255.0 * light).astype(np.uint8), "L")
    bands = Image.merge("RGBA", (share, share, share, Image.new("L", share.size, 255)))
    return np.array(ImageChops.multiply(Image.fromarray(pixels, "RGBA"), bands))


def _filled(shot: Shot) -> tuple[slice, slice]:
    """The rows and columns in which anything was drawn."""
    there = (shot.ball[..., 3] > 0) | (shot.over[..., 3] > 0)
    rows, columns = np.flatnonzero(there.any(axis=1)), np.flatnonzero(there.any(axis=0))
    if not len(rows):
        return slice(0, 0), slice(0, 0)
    return slice(int(rows[0]), int(rows[-1]) + 1), slice(int(columns[0]), int(columns[-1]) + 1)
