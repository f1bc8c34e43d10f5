"""Colours of pictures: words that can be read, and parts that every reader tells apart.

Contrast is that of WCAG 2.1: (L1 + 0.05) / (L2 + 0.05) of relative luminances, at least 4.5 for
words and 3 for graphics and large or bold words (success criteria 1.4.3 and 1.4.11; from memory).
How the colour-blind see is by Machado, Oliveira and Fernandes 2009, a physiologically-based model
for simulation of color vision deficiency: their matrices of severity 1.0, on linear light; from
memory.  Differences are CIE 1976: 10 is several times what is just noticed side by side.
"""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from numpy.typing import NDArray

from pipeline.arrange import lay_out
from pipeline.looks import LOOKS
from pipeline.paint import ground_of
from pipeline.palette import (
    AMBER,
    CHALK,
    CLAY,
    HIGH_AXIS,
    INTERMEDIATE_AXIS,
    LOW_AXIS,
    OYSTER,
    PLUM,
    SAND,
    SLATE,
    TIDE,
    WRACK,
)
from pipeline.scene import FAINT, INK
from tests.pipeline.plain_scene import plain_scene
from tests.pipeline.shots import lab, linear

WORDS, GRAPHICS = 4.5, 3.0
APART = 10.0
PARTS = {
    "clay": CLAY, "amber": AMBER, "plum": PLUM, "wrack": WRACK, "slate": SLATE, "oyster": OYSTER,
    "sand": SAND, "tide": TIDE, "chalk": CHALK,
}  # fmt: skip
AXES = {"low": LOW_AXIS, "intermediate": INTERMEDIATE_AXIS, "high": HIGH_AXIS}
SIGHTS = {
    "protan": [
        [0.152286, 1.052583, -0.204868],
        [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ],
    "deutan": [
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ],
    "tritan": [
        [1.255528, -0.076749, -0.178779],
        [-0.078411, 0.930809, 0.147602],
        [0.004733, 0.691367, 0.303900],
    ],
}
# What lies against what in a usual ball, by the parts' places (pipeline/palette.py): core and outer
# core, outer core and cover, a second outer core, and inserts in the core.
NEIGHBOURS = [
    ("clay", "oyster"), ("oyster", "tide"), ("oyster", "sand"), ("sand", "tide"), ("clay", "amber"),
    ("clay", "plum"), ("clay", "wrack"), ("amber", "oyster"), ("slate", "tide"),
]  # fmt: skip
LEAST_LIGHTNESS = 5.0  # of L*, 0 to 100: twice what is just noticed side by side


def luminance(colour: str) -> float:
    return float(linear(colour) @ np.array([0.2126, 0.7152, 0.0722]))


def contrast(one: str, other: str) -> float:
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def darkest_and_lightest(pixels: NDArray[np.uint8]) -> tuple[str, str]:
    """Of pixels of shape (..., 3), by their sum."""
    flat = pixels.reshape(-1, 3)
    order = flat.astype(int).sum(axis=1)
    ends = flat[int(order.argmin())], flat[int(order.argmax())]
    low, high = ("#" + "".join(f"{level:02X}" for level in end) for end in ends)
    return low, high


def seen_by(sight: str, colour: str) -> NDArray[np.float64]:
    """A colour as L*, a* and b*, as someone sees it."""
    return lab(np.clip(np.array(SIGHTS[sight]) @ linear(colour), 0.0, 1.0))


@pytest.fixture(scope="module", params=list(LOOKS))
def look(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def test_black_on_white_has_the_greatest_contrast() -> None:
    """It is 21, as WCAG says; so the formula here is theirs."""
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)


@pytest.mark.parametrize("ground", ["paper", "paper_edge", "plate"])
def test_ink_can_be_read_on_every_ground(look: str, ground: str) -> None:
    found = LOOKS[look]
    assert contrast(found.ink(INK), getattr(found, ground)) >= WORDS


@pytest.mark.parametrize("ground", ["paper", "paper_edge", "plate"])
def test_axes_can_be_seen_on_every_ground(look: str, ground: str) -> None:
    """Their names are in bold, which counts as large."""
    found = LOOKS[look]
    worst = min(contrast(found.ink(colour), getattr(found, ground)) for colour in AXES.values())
    assert worst >= GRAPHICS


@pytest.mark.parametrize("ground", ["paper", "plate"])
def test_faint_words_can_be_read_in_the_middle(look: str, ground: str) -> None:
    found = LOOKS[look]
    assert contrast(found.ink(FAINT), getattr(found, ground)) >= WORDS


@pytest.mark.parametrize("size", [(1920, 1080), (1080, 1920), (1080, 1080)])
def test_the_card_s_words_can_be_read_where_they_stand(look: str, size: tuple[int, int]) -> None:
    """On the darkest and the lightest pixel of the ground in each line's box."""
    scene, found = plain_scene(), LOOKS[look]
    sheet = lay_out(scene, size)
    ground = np.asarray(ground_of(scene, sheet, found))[..., :3]
    worst = 21.0
    for block in sheet.blocks:
        for words in block.words:
            box = words.box
            under = ground[int(box.top) : int(box.bottom) + 1, int(box.left) : int(box.right) + 1]
            for ends in darkest_and_lightest(under):
                worst = min(worst, contrast(found.ink(words.colour), ends))
    assert worst >= WORDS


def test_axes_are_told_apart_from_one_another(look: str) -> None:
    found = LOOKS[look]
    tints = [lab(linear(found.ink(colour))) for colour in AXES.values()]
    assert min(np.linalg.norm(a - b) for a, b in combinations(tints, 2)) >= APART


@pytest.mark.parametrize("sight", list(SIGHTS))
def test_a_grey_looks_grey_to_everyone(sight: str) -> None:
    """Each row of their matrices adds up to one, so a grey stays as it is; to their last digit."""
    assert np.array(SIGHTS[sight]).sum(axis=1) == pytest.approx(1.0, abs=2e-6)


@pytest.mark.parametrize("sight", list(SIGHTS))
@pytest.mark.parametrize(("one", "other"), list(combinations(PARTS, 2)))
def test_colour_blind_readers_tell_parts_apart(one: str, other: str, sight: str) -> None:
    apart = seen_by(sight, PARTS[one]) - seen_by(sight, PARTS[other])
    assert np.linalg.norm(apart) >= APART


@pytest.mark.parametrize(("one", "other"), NEIGHBOURS)
def test_neighbours_are_told_apart_in_grey(one: str, other: str) -> None:
    tints = [lab(linear(PARTS[name]))[0] for name in (one, other)]
    assert abs(tints[0] - tints[1]) >= LEAST_LIGHTNESS
