"""A shape alone, looked at."""

from __future__ import annotations

import io

import numpy as np
from PIL import Image

from pipeline.portrait import portrait
from shapes.cylinder import Cylinder
from shapes.inserts import Disc


def seen(png: bytes) -> np.ndarray:
    """Where the body's colour is: much more red than blue."""
    pixels = np.asarray(Image.open(io.BytesIO(png)).convert("RGB"), dtype=int)
    return np.asarray(pixels[..., 0] - pixels[..., 2] > 40)


def test_a_cylinder_fills_the_share_of_the_picture_that_it_should() -> None:
    """From 21 degrees above: h cos 21 + d sin 21 high and d wide, at the scale of its reach."""
    body = seen(portrait(Cylinder(80.0, 110.0), (400, 400)))
    rows, columns = np.nonzero(body.any(axis=1))[0], np.nonzero(body.any(axis=0))[0]
    scale = 0.46 * 400 / np.hypot(40.0, 55.0)
    high = 110 * np.cos(np.radians(21)) + 80 * np.sin(np.radians(21))
    assert abs((rows[-1] - rows[0] + 1) - scale * high) <= 3
    assert abs((columns[-1] - columns[0] + 1) - scale * 80) <= 3


def test_the_same_shape_gives_the_same_bytes() -> None:
    assert portrait(Disc()) == portrait(Disc())


def test_without_paper_all_else_is_clear() -> None:
    image = Image.open(io.BytesIO(portrait(Disc(), transparent=True)))
    assert image.mode == "RGBA"
    assert image.getpixel((2, 2))[3] == 0
