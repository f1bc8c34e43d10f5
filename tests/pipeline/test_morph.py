"""A ball whose numbers vary: each frame is the ball that the file would be with them in it."""

from __future__ import annotations

import numpy as np
import pytest

from pipeline.ball import Ball, build_ball
from pipeline.errors import OutputError
from pipeline.load import read_design
from pipeline.moves import take_of
from pipeline.take import Take, there_and_back
from pipeline.weigh import weigh
from pipeline.wish import AS_IT_SUITS
from tests.pipeline.filmed import BRICK, brick, varied
from tests.pipeline.sphere_balls import SPHERES, foam, mass_g, rgs_in, swapped

SHARES = [0.0, 0.17, 0.25, 0.5, 0.71]


def filmed(source: str) -> Take:
    return take_of(build_ball(read_design(source)), "morph", "", AS_IT_SUITS)


def at_share(low: float, high: float, share: float) -> float:
    """A number so far through the clip; a thousand steps from low to high."""
    return low + (high - low) * round(1000 * there_and_back(share)) / 1000


@pytest.fixture(scope="module")
def morphs() -> Take:
    return take_of(varied(), "morph", "", AS_IT_SUITS)


def by_hand(share: float) -> Ball:
    """The design with its two numbers written into the text."""
    size, density = at_share(4.5, 5.2, share), at_share(2.0, 2.4, share)
    changes = (("3.5, 4.9]", f"3.5, {size!r}]"), ("density: 2.3", f"density: {density!r}"))
    return build_ball(read_design(swapped(BRICK, *changes)))


@pytest.mark.parametrize("share", SHARES)
def test_rgs_on_the_card_are_those_of_the_design_written_by_hand(
    morphs: Take, share: float
) -> None:
    """RG and differentials as sqrt(I / m) of its tensor, to the digits of the card."""
    properties = weigh(by_hand(share))
    rgs = np.sqrt(np.linalg.eigvalsh(properties.inertia_g_mm2) / properties.mass_g) / 25.4
    card = {name: value for name, value, _ in morphs.at(share).figures}
    found = [card["low RG"], card["total differential"], card["intermediate differential"]]
    due = [rgs[0], rgs[2] - rgs[0], rgs[2] - rgs[1]]
    assert found == [f"{x:.3f} in" for x in due]


@pytest.mark.parametrize("share", SHARES)
def test_the_card_says_the_numbers_themselves_first(morphs: Take, share: float) -> None:
    size, density = at_share(4.5, 5.2, share), at_share(2.0, 2.4, share)
    assert morphs.at(share).figures[:2] == (
        ("inner core size.z", f"{size:.3f} in", ""),
        ("density of clay", f"{density:.3f} g/cm3", ""),
    )


@pytest.mark.parametrize("share", SHARES)
def test_the_parts_on_the_card_are_weighed_anew(morphs: Take, share: float) -> None:
    """The core weighs its density times that of its box; the foam is what is left."""
    size, density = at_share(4.5, 5.2, share), at_share(2.0, 2.4, share)
    core_lb = density * 2.8 * 3.5 * size * 2.54**3 / 453.59237
    cover_lb = (mass_g(1.17, 4.275) - mass_g(1.17, 7.05 / 2.0)) / 453.59237
    found = [entry.mass for entry in morphs.at(share).legend]
    assert found == [f"{x:.2f}" for x in (core_lb, 15.0 - core_lb - cover_lb, cover_lb)]


@pytest.mark.parametrize("share", SHARES)
def test_the_core_is_drawn_as_it_is_weighed(morphs: Take, share: float) -> None:
    """The corners of a box are those of its mesh, so its height is the number to 1e-6 in."""
    (core,) = [s for s in morphs.at(share).surfaces if s.name == "inner core"]
    high = float(np.ptp(core.points_mm[:, 2])) / 25.4
    assert high == pytest.approx(at_share(4.5, 5.2, share), abs=1e-6)


@pytest.mark.parametrize("share", [0.0, 0.3, 0.5])
def test_of_spheres_the_rgs_come_out_in_closed_form(share: float) -> None:
    """Spheres about the pin axis, each 2/5 m R^2 about its own centre (parallel axes)."""
    source = swapped(SPHERES, ("sphere, diameter: 1.5, move: [0, 0, 1.0]}",
                               "sphere, diameter: 1.5, move: [0, 0, 1.1]}"))  # fmt: skip
    take = filmed(source + "vary: [{part: slug, field: move.z, from: 0.2, to: 1.1}]\n")
    filler = foam(mass_g(3.0, 0.75) + mass_g(2.0, 2.0) - mass_g(2.0, 0.75), 2.0)
    low, high = rgs_in(
        [
            (3.0 - 2.0, 0.75, at_share(0.2, 1.1, share)),
            (2.0 - filler, 2.0, 0.0),
            (filler - 1.17, 3.5, 0.0),
            (1.17, 4.275, 0.0),
        ]
    )
    card = {name: value for name, value, _ in take.at(share).figures}
    assert (card["low RG"], card["total differential"]) == (f"{low:.3f} in", f"{high - low:.3f} in")


def test_the_way_back_is_the_way_there(morphs: Take) -> None:
    assert morphs.at(0.69).figures == morphs.at(0.31).figures


def test_its_caption_names_the_numbers_and_their_ends(morphs: Take) -> None:
    assert [caption.words for caption in morphs.captions] == [
        "What becomes of the RGs when inner core size.z goes from 4.500 in to 5.200 in and "
        "density of clay goes from 2.000 g/cm3 to 2.400 g/cm3, and back."
    ]


def test_a_design_of_which_nothing_may_vary_is_refused_with_an_example() -> None:
    with pytest.raises(OutputError, match=r"nothing of Dunlin may vary: .*\nvary:\n  - \{part:"):
        take_of(brick(), "morph", "", AS_IT_SUITS)


def test_a_ball_on_the_way_that_cannot_be_is_refused_with_its_numbers() -> None:
    """At 4 g/cm3 the core leaves the foam less than its least density."""
    take = filmed(BRICK + "vary:\n  - {part: inner core, field: size.z, from: 4.5, to: 5.2}\n"
                        "  - {material: clay, from: 2.0, to: 3.7}\n")  # fmt: skip
    with pytest.raises(
        OutputError, match=r"no such ball at inner core size.z 5\.200 in, density of clay 3\.700"
    ):
        take.at(0.5)
