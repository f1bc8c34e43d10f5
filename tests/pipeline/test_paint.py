"""Painting: words where the sheet has them, signs told apart, the background left out if asked."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pipeline.arrange import lay_out
from pipeline.job import NOTHING_MM, Shot
from pipeline.paint import paint
from pipeline.scene import Mark, Scene
from pipeline.sheet import Box, Sheet
from tests.pipeline.plain_scene import RADIUS_MM, plain_scene

SIZE = (640, 360)


def painted(scene: Scene, *, transparent: bool) -> np.ndarray:
    """The picture without anything rendered."""
    sheet = lay_out(scene, SIZE)
    return np.array(paint(scene, sheet, nothing(sheet), transparent=transparent))


def nothing(sheet: Sheet) -> Shot:
    """A stage on which nothing stands."""
    shape = (int(sheet.stage.height), int(sheet.stage.width))
    clear = np.zeros((*shape, 4), dtype=np.uint8)
    return Shot(clear, clear, np.full(shape, NOTHING_MM))


def within(pixels: np.ndarray, box: Box) -> np.ndarray:
    return pixels[int(box.top) : int(box.bottom) + 1, int(box.left) : int(box.right) + 1]


@pytest.fixture(scope="module")
def clear() -> np.ndarray:
    return painted(plain_scene(), transparent=True)


def test_every_line_of_words_leaves_ink_in_its_box(clear: np.ndarray) -> None:
    sheet = lay_out(plain_scene(), SIZE)
    for block in (*sheet.blocks, *sheet.callouts):
        for words in block.words:
            assert within(clear, words.box)[..., 3].max() > 128, words.text


def test_without_background_the_edges_are_clear(clear: np.ndarray) -> None:
    edges = (clear[0], clear[-1], clear[:, 0], clear[:, -1])
    assert max(edge[..., 3].max() for edge in edges) == 0


def test_with_background_no_pixel_is_clear() -> None:
    assert painted(plain_scene(), transparent=False).shape == (360, 640, 3)


def test_a_floor_has_a_shadow() -> None:
    scene = plain_scene()
    tilted = replace(scene, camera=replace(scene.camera, elevation_deg=21.0))
    bare = painted(tilted, transparent=False).astype(int)
    shaded = painted(replace(tilted, floor_mm=-RADIUS_MM), transparent=False).astype(int)
    assert (bare - shaded).max() > 50


@pytest.mark.parametrize(("behind", "light"), [(False, True), (True, False)])
def test_a_pin_is_light_unless_it_lies_behind(behind: bool, light: bool) -> None:
    pin = Mark("pin", np.array([0.0, -60.0, 0.0]), behind)
    scene = replace(plain_scene(), marks=(pin,))
    x, y = lay_out(scene, SIZE).at(scene, pin.at_mm)
    middle = painted(scene, transparent=True)[int(y), int(x)]
    assert bool(middle[0] > 200) is light
