"""Light and dark: the page and the picture change, and words stand out from what is behind them."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pytest

from pipeline.palette import linear
from tests.browser.colours import clay
from tests.browser.conftest import Opener
from tests.browser.shown import Shown

_LEAST = 4.5  # WCAG 2, 1.4.3
_WORDS = """() => {
  const told = new Map();
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const one = walker.currentNode.parentElement;
    if (!walker.currentNode.data.trim() || !one.checkVisibility()) continue;
    const drawn = one.closest('svg');
    const style = getComputedStyle(one);
    let behind = one;
    const solid = (element) => /^rgb\\(/.test(getComputedStyle(element).backgroundColor);
    while (behind.parentElement && !solid(behind)) behind = behind.parentElement;
    told.set([drawn ? style.fill : style.color, getComputedStyle(behind).backgroundColor,
      drawn ? 'svg' : 'html'].join(';'), one.outerHTML.slice(0, 120));
  }
  return [...told];
}"""


def shares(colour: str) -> list[float]:
    """'rgb(1, 2, 3)' as three numbers from 0 to 1."""
    return [float(x) / 255.0 for x in re.findall(r"[\d.]+", colour)[:3]]


def luminance(colour: str) -> float:
    """Relative luminance (WCAG 2)."""
    red, green, blue = (linear(share) for share in shares(colour))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def style(shown: Shown, what: str) -> Any:
    return shown.page.evaluate(f"getComputedStyle(document.body).{what}")


def test_ground_and_ink_change_places(opened: Opener) -> None:
    light, dark = opened("dunlin"), opened("dunlin", dark=True)
    for shown, brighter in ((light, "backgroundColor"), (dark, "color")):
        ground, ink = style(shown, "backgroundColor"), style(shown, "color")
        assert (luminance(ground) > luminance(ink)) is (brighter == "backgroundColor")
        assert contrast(ground, ink) > 12.0


def test_the_picture_has_the_paper_of_its_page(opened: Opener) -> None:
    for dark in (False, True):
        shown = opened("dunlin", dark=dark)
        corner = shown.picture()[0, 0] / 255.0
        assert list(corner) == pytest.approx(shares(style(shown, "backgroundColor")), abs=0.005)


def test_the_picture_follows_when_the_theme_changes(opened: Opener) -> None:
    shown = opened("dunlin")
    shown.page.emulate_media(color_scheme="dark")
    shown.page.wait_for_timeout(100)
    dark = shown.picture()
    assert dark[0, 0].max() < 60
    assert clay(dark).any()
    shown.page.emulate_media(color_scheme="light")
    shown.page.wait_for_timeout(100)
    assert shown.picture()[0, 0].min() > 200


def test_parts_keep_their_colours_in_the_dark(opened: Opener) -> None:
    """Those of section faces, on which no light falls, so that a page and a print agree."""
    light, dark = opened("dunlin"), opened("dunlin", dark=True)
    for shown in (light, dark):
        shown.alone()
        shown.press("Front")
    one, other = light.picture(), dark.picture()
    middle = np.s_[220:260, 200:250]
    assert float(np.abs(one[middle] - other[middle]).max()) <= 8  # strokes may fall a little apart


def test_the_ball_stands_out_from_a_dark_page(opened: Opener) -> None:
    """The cover is dark as well, so its edge is lit."""
    shown = opened("dunlin", dark=True)
    shown.alone()
    shown.cut("none")
    picture = shown.picture().astype(float)
    camera = shown.camera
    radius = shown.scene["radius_mm"] / camera.mm_per_px
    x, y = camera.size_px / 2.0
    turns = np.radians(np.arange(0, 360, 10))
    rim = picture[
        (y + (radius - 2.5) * np.sin(turns)).astype(int),
        (x + (radius - 2.5) * np.cos(turns)).astype(int),
    ]
    away = np.abs(rim - picture[0, 0]).max(axis=-1)
    assert away.min() > 25.0


@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize("name", ["dunlin", "turnstone-drilled"])
def test_all_words_stand_out_from_what_lies_behind_them(
    opened: Opener, name: str, dark: bool
) -> None:
    """Those of charts against the paper; those on a coloured field of a chart are not in this."""
    shown = opened(name, dark=dark)
    found = shown.page.evaluate(_WORDS)
    paper = style(shown, "backgroundColor")
    assert len(found) > 8
    faint = []
    for key, html in found:
        colour, behind, kind = key.split(";")
        if kind == "svg" and not re.search(r'class="[^"]', html):
            continue
        ground = paper if kind == "svg" or not behind.startswith("rgb(") else behind
        if contrast(colour, ground) < _LEAST:
            faint.append((round(contrast(colour, ground), 2), html))
    assert faint == []
