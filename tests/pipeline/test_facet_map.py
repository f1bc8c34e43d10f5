"""Maps of facets: bands and shares by closed forms, and what the picture shows where."""

from __future__ import annotations

import io

import numpy as np
import pytest
from PIL import Image

from pipeline.facet_map import Band, FacetMap, banded, facet_map, shares
from pipeline.scene import UPRIGHT

RED, BLUE = "#B03020", "#2050A0"
# an octahedron: its upper four facets in one band, its lower four in another
TIPS = np.array([[1, 0, 0], [0, 1, 0], [-1, 0, 0], [0, -1, 0]], dtype=float) * 10.0
UPPER = [[TIPS[k], TIPS[(k + 1) % 4], [0, 0, 10.0]] for k in range(4)]
LOWER = [[TIPS[(k + 1) % 4], TIPS[k], [0, 0, -10.0]] for k in range(4)]


def picture(title: str = "Dunlin, core: draft", **more: object) -> Image.Image:
    shown = FacetMap(
        title, "a trial", np.array(UPPER + LOWER),
        (Band(RED, "upper", "50.0 %"), Band(BLUE, "lower", "50.0 %")),
        np.array([0] * 4 + [1] * 4), UPRIGHT, **more,  # type: ignore[arg-type]
    )  # fmt: skip
    return Image.open(io.BytesIO(facet_map(shown))).convert("RGB")


def hues(image: Image.Image, left: float, right: float) -> tuple[int, int]:
    """How many pixels of a stripe are reddish, and how many bluish."""
    width, height = image.size
    part = np.array(image.crop((int(left * width), int(0.15 * height), int(right * width),
                                int(0.88 * height)))).astype(int)  # fmt: skip
    red = (part[..., 0] > part[..., 2] + 40).sum()
    blue = (part[..., 2] > part[..., 0] + 40).sum()
    return int(red), int(blue)


def test_from_above_the_upper_band_is_seen_most_and_from_below_the_lower() -> None:
    image = picture()
    above, below = hues(image, 0.02, 0.37), hues(image, 0.40, 0.74)
    assert above[0] > above[1] > 0
    assert below[1] > below[0] > 0


def test_the_same_map_gives_the_same_bytes() -> None:
    assert picture().tobytes() == picture().tobytes()


def test_letters_that_the_face_lacks_are_asked_for_as_question_marks() -> None:
    """The charting library warns of a letter that it has no shape for; a warning fails a test."""
    name = "\u05e9\u05dc\u05d5\u05dd, core: draft"
    assert picture(name).tobytes() == picture("????, core: draft").tobytes()


def test_a_place_is_marked() -> None:
    plain = np.array(picture()).astype(int)
    marked = np.array(picture(places=(((0.0, 0.0, 10.0), "the tip"),))).astype(int)
    assert (np.abs(plain - marked).max(axis=2) > 60).sum() > 200


@pytest.mark.parametrize(("value", "band"), [(-1.0, 0), (0.0, 1), (4.9, 1), (5.0, 2), (90.0, 2)])
def test_a_limit_belongs_to_the_band_above_it(value: float, band: int) -> None:
    assert banded(np.array([value]), [0.0, 5.0]).tolist() == [band]


def test_shares_of_the_area() -> None:
    areas = np.array([1.0, 2.0, 997.0])
    assert shares(np.array([0, 0, 2]), areas, 4) == ("0.3 %", "none", "99.7 %", "none")
    assert shares(np.array([0, 1]), np.array([0.5, 999.5]), 2) == ("< 0.1 %", "100.0 %")
