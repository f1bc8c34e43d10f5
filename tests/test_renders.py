"""The committed pictures of renders are what the code draws, within what drivers differ by."""

from __future__ import annotations

import importlib.util
import io
from functools import cache
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest
from PIL import Image

from pipeline.ball import build_ball
from pipeline.load import load
from pipeline.picture import Style, draw_view
from pipeline.shipped import shipped

ROOT = Path(__file__).parents[1]
DRAWN = ("turnstone-rg-sphere", "turnstone-exploded")
MEAN_LEVELS = 1.0  # of 255: what docs/pictures.md promises between machines
FAR_LEVELS, FAR_SHARE = 24, 0.01


@cache
def script() -> ModuleType:
    """`docs/make_renders.py` as a module."""
    spec = importlib.util.spec_from_file_location("make_renders", ROOT / "docs/make_renders.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@cache
def difference(name: str) -> np.ndarray:
    """Levels by which each pixel of a picture drawn now is off the committed one."""
    ball, view, look = script().VIEWED[name]
    png = draw_view(build_ball(load(shipped(ball))), view, Style(script().SMALL, look))
    now = np.asarray(Image.open(io.BytesIO(png)).convert("RGB"), dtype=int)
    then = Image.open(ROOT / "renders" / f"{name}.png").convert("RGB")
    return np.abs(now - np.asarray(then, dtype=int)).max(axis=-1)


@pytest.mark.parametrize("name", DRAWN)
def test_a_committed_picture_is_what_is_drawn(name: str) -> None:
    assert difference(name).mean() <= MEAN_LEVELS


@pytest.mark.parametrize("name", DRAWN)
def test_few_of_its_pixels_are_far_off(name: str) -> None:
    assert (difference(name) > FAR_LEVELS).mean() <= FAR_SHARE


def test_every_picture_of_the_gallery_is_committed() -> None:
    due = {f"{name}.png" for name in script().VIEWED} | {"sizes.png"}
    assert due <= {path.name for path in (ROOT / "renders").iterdir()}
