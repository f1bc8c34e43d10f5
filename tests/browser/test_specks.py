"""No stray pixels: whatever differs from the paper is a part of the ball, or a line of it."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import ndimage

from tests.browser.colours import ground, tide
from tests.browser.conftest import Opener
from tests.browser.shown import Pixels, Shown

SPECK_PX = 12
_NEIGHBOURS = np.ones((3, 3))


def specks(picture: Pixels) -> list[tuple[int, int]]:
    """Where small groups of pixels stand alone on the paper."""
    groups, count = ndimage.label(~ground(picture), _NEIGHBOURS)
    sizes = ndimage.sum_labels(np.ones_like(groups), groups, np.arange(1, count + 1))
    return [
        tuple(int(n) for n in ndimage.center_of_mass(groups == k + 1))  # type: ignore[misc]
        for k in np.flatnonzero(sizes <= SPECK_PX)
    ]


def turned(shown: Shown, rng: np.random.Generator) -> str:
    """Any view and any section, by the controls; said in words."""
    azimuth, elevation = int(rng.integers(-180, 181)), int(rng.integers(-90, 91))
    position = round(float(rng.uniform(-4.0, 4.0)), 2)
    x, y = (float(n) for n in rng.uniform(-150, 150, 2))
    shown.drag(x, y)
    shown.slide("Position", position)
    shown.slide("Azimuth", azimuth)
    shown.slide("Elevation", elevation)
    if rng.random() < 0.5:
        shown.press("Swap sides")
    return f"dragged {x:.0f} {y:.0f}, cut {azimuth} {elevation} {position}"


@pytest.mark.parametrize(
    ("name", "views"), [("dunlin", 20), ("turnstone-drilled", 8), ("twelve", 8)]
)
def test_there_are_no_specks_beside_the_ball(opened: Opener, name: str, views: int) -> None:
    shown = opened(name)
    shown.alone()
    shown.cut("free")
    rng = np.random.default_rng(20261125)
    found = []
    for _ in range(views):
        words = turned(shown, rng)
        found += [(words, place) for place in specks(shown.picture())]
    assert found == []


def test_nothing_shows_through_a_whole_cover(opened: Opener) -> None:
    """Inside the rim every pixel is of the cover's own hue, but where it shines."""
    shown = opened("dunlin")
    shown.alone()
    shown.cut("none")
    rng = np.random.default_rng(7)
    for _ in range(6):
        shown.drag(*(float(n) for n in rng.uniform(-150, 150, 2)))
        picture = shown.picture()
        inside = ndimage.binary_erosion(~ground(picture), iterations=3)
        grey = np.ptp(picture, axis=-1) < 60  # the shine is of any lightness
        assert (tide(picture) | grey)[inside].all()
        smooth = ndimage.median_filter(picture.mean(axis=-1), 5)
        assert float(np.abs(picture.mean(axis=-1) - smooth)[inside].max()) < 12.0


def test_the_edge_of_the_ball_is_round(opened: Opener) -> None:
    """As wide one way as another, to a pixel, and smooth: tones between ball and paper."""
    shown = opened("dunlin")
    shown.alone()
    shown.cut("none")
    picture, camera = shown.picture(), shown.camera
    rows, columns = (np.flatnonzero((~ground(picture)).any(axis=k)) for k in (1, 0))
    width = 2.0 * shown.scene["radius_mm"] / camera.mm_per_px
    assert [np.ptp(rows) + 1, np.ptp(columns) + 1] == pytest.approx([width, width], abs=2.0)
    edge = ~ground(picture) & ~ndimage.binary_erosion(~ground(picture))
    tones = np.unique(picture[edge].sum(axis=-1))
    assert len(tones) > 40
