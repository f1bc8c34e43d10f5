"""Shots on one sheet: three in a row, in order, each whole and as wide as high as it was."""

from __future__ import annotations

import io
from functools import cache

import numpy as np
import pytest
from PIL import Image

from pipeline.contact_sheet import Thumb, contact_sheet

COLOURS = ["#C02020", "#20C020", "#2020C0", "#C0C020", "#20C0C0", "#C020C0", "#806040"]
WIDE, HIGH, MARGIN = 480, 300, 28  # px, of a cell and between cells
LINE = 1.32 * 17.0  # px, from line to line


def thumb(k: int, size: tuple[int, int] = (640, 360), mode: str = "RGB") -> Thumb:
    return Thumb(Image.new(mode, size, COLOURS[k]), f"{k + 1:02d}-shot.png", "whole, 640 x 360")


@cache
def sheet(count: int) -> Image.Image:
    return Image.open(io.BytesIO(contact_sheet("Dunlin", [thumb(k) for k in range(count)])))


def cell(k: int) -> tuple[int, int]:
    """The middle of a shot's picture on the sheet."""
    x = MARGIN + (k % 3) * (WIDE + MARGIN) + WIDE / 2
    y = MARGIN + 2 * LINE + (k // 3) * (HIGH + 2.6 * LINE) + HIGH / 2
    return round(x), round(y)


@pytest.mark.parametrize(("count", "rows"), [(1, 1), (3, 1), (4, 2), (7, 3)])
def test_it_is_as_high_as_its_rows(count: int, rows: int) -> None:
    high = int(2 * MARGIN + 2 * LINE + rows * (HIGH + 2.6 * LINE))
    assert sheet(count).size == (3 * (WIDE + MARGIN) + MARGIN, high)


def test_shots_stand_in_their_order() -> None:
    found = [sheet(7).convert("RGB").getpixel(cell(k)) for k in range(7)]
    assert found == [tuple(bytes.fromhex(colour[1:])) for colour in COLOURS]


@pytest.mark.parametrize(("size", "due"), [((640, 360), (480, 270)), ((360, 640), (169, 300)),
                                           ((640, 640), (300, 300))])  # fmt: skip
def test_a_shot_keeps_its_shape(size: tuple[int, int], due: tuple[int, int]) -> None:
    """As large as its cell has room for, to a pixel."""
    image = Image.open(io.BytesIO(contact_sheet("Dunlin", [thumb(0, size)]))).convert("RGB")
    there = (np.array(image) == (0xC0, 0x20, 0x20)).all(axis=-1)
    rows, columns = np.flatnonzero(there.any(axis=1)), np.flatnonzero(there.any(axis=0))
    assert (np.ptp(columns) + 1, np.ptp(rows) + 1) == pytest.approx(due, abs=1)


def test_paper_shows_through_a_clear_shot() -> None:
    clear = Thumb(Image.new("RGBA", (640, 360), (0, 0, 0, 0)), "01-clear.png", "core")
    image = Image.open(io.BytesIO(contact_sheet("Dunlin", [clear]))).convert("RGB")
    assert image.getpixel(cell(0)) == image.getpixel((3, 3))


@pytest.mark.parametrize("line", [0, 1])
def test_each_shot_has_two_lines_of_words_below(line: int) -> None:
    x, y = cell(3)
    top = y + HIGH / 2 + 0.3 * 17.0 + line * LINE
    box = (x - WIDE // 2, round(top), x + WIDE // 2, round(top + LINE))
    words = np.array(sheet(4).convert("L").crop(box))
    assert words.min() < 150


def test_long_words_stay_in_their_column() -> None:
    """Between the columns there is nothing but paper."""
    long = [Thumb(thumb(k).image, "x" * 200 + ".png", "y" * 200) for k in range(3)]
    image = np.array(Image.open(io.BytesIO(contact_sheet("Z" * 400, long))).convert("RGB"))
    between = image[:, MARGIN + WIDE + 2 : 2 * MARGIN + WIDE - 2]
    below = between[int(MARGIN + 2 * LINE) :]  # the title runs across
    assert len(np.unique(below.reshape(-1, 3), axis=0)) == 1


def test_a_title_too_long_is_shortened() -> None:
    image = np.array(Image.open(io.BytesIO(contact_sheet("Z" * 400, [thumb(0)]))).convert("RGB"))
    assert (image[:, -MARGIN:] == image[0, 0]).all()


def test_names_in_any_script_are_written() -> None:
    named = Thumb(thumb(0).image, "01-\u6838\u5fc3.png", "a \u2192 b")
    assert contact_sheet("\u6838\u5fc3 \U0001f3b3", [named]).startswith(b"\x89PNG")


def test_the_same_shots_give_the_same_bytes() -> None:
    one, other = (contact_sheet("Dunlin", [thumb(0), thumb(1)]) for _ in range(2))
    assert one == other
