"""Where lines run inside bodies, held against points of those lines that the bodies contain."""

from __future__ import annotations

import numpy as np
import pytest

from shapes.chords import Lines, combined, middles, probed, within
from shapes.ellipsoid import Ellipsoid
from shapes.flipped import Flipped
from shapes.moments import Array
from shapes.placed import Placed
from shapes.placement import Placement
from shapes.registry import FAMILIES
from shapes.shape import Shape
from shapes.turned import ArcStep, SplineStep, Turned

WORDS = [w for w in FAMILIES if w not in ("step", "mesh")]
WAVY = Turned(
    profile=(
        (0.0, -50.0),
        (30.0, -50.0),
        SplineStep(spline=((44.0, -20.0), (25.0, 0.0), (40.0, 25.0))),
        ArcStep(arc=(10.0, 50.0), through=(34.0, 46.0)),
        (0.0, 40.0),
    ),
    round=2.0,
)


def lines_through(shape: Shape, seed: int, count: int) -> Lines:
    """Lines that pass near a body: any way, level, and upright."""
    rng = np.random.default_rng(seed)
    way = rng.normal(size=(count, 3))
    way[: count // 4, 2] = 0.0
    way[count // 4 : count // 2, :2] = 0.0
    way[count // 2 : 5 * count // 8, 2] *= 1e-6
    way /= np.linalg.norm(way, axis=1)[:, None]
    reach = shape.reach_mm(np.zeros(3))
    return Lines(rng.uniform(-0.8, 0.8, size=(count, 3)) * reach, way)


def share_inside(shape: Shape, lines: Lines) -> tuple[Array, Array]:
    """Whether points strewn along lines are inside, by the ends and by the body itself."""
    reach = shape.reach_mm(np.zeros(3))
    t = np.random.default_rng(7).uniform(-2.5, 2.5, size=(len(lines), 200)) * reach
    ends = shape.chords(lines)
    points = lines.at(t)
    there = shape.contains(points.reshape(-1, 3)).reshape(t.shape)
    # points next to an end may fall on either side of it
    far = np.abs(t[:, :, None] - ends[:, None, :]).min(axis=2, initial=np.inf) > 1e-6
    return within(ends, t)[far], there[far]


@pytest.mark.parametrize("word", WORDS)
def test_the_typical_body_of_a_family_contains_what_its_chords_hold(word: str) -> None:
    shape = FAMILIES[word].typical()
    told, there = share_inside(shape, lines_through(shape, 1, 240))
    wrong = (told != there).mean()
    # a probed family may miss a stretch that is shorter than its step
    assert wrong <= (0.0 if word not in ("lobed", "twisted", "harmonic") else 2e-4)
    assert told.any()


@pytest.mark.parametrize("seed", range(4))
def test_every_crossing_with_a_wavy_half_section_is_found(seed: int) -> None:
    told, there = share_inside(WAVY, lines_through(WAVY, seed, 2000))
    assert (told != there).sum() == 0


def test_a_probed_body_has_the_ends_of_its_formula() -> None:
    egg = Ellipsoid((80.0, 60.0, 100.0))
    lines = lines_through(egg, 3, 100)
    exact = egg.chords(lines)
    met = np.isfinite(exact[:, 0])
    long = np.where(met, exact[:, 1], 0.0) - np.where(met, exact[:, 0], 0.0) > 6.0
    found = probed(egg.contains, 50.0, lines)
    assert found[long] == pytest.approx(exact[long], abs=1e-9)
    assert not np.isfinite(found[~np.isfinite(exact[:, 0])]).any()


def test_a_placed_body_and_its_image_are_crossed_where_they_stand() -> None:
    body = Placed(WAVY, Placement(20.0, 35.0, 50.0, (5.0, -3.0, 8.0)))
    lines = lines_through(WAVY, 5, 200)
    middle = middles(body.chords(lines))
    finite = np.isfinite(middle)
    points = lines.at(np.where(finite, middle, 0.0))
    there = body.contains(points.reshape(-1, 3)).reshape(middle.shape)
    assert (there == within(body.chords(lines), middle))[finite].all()
    flipped = Flipped(WAVY)
    told, held = share_inside(flipped, lines)
    assert (told == held).all()


def test_two_bodies_combined_are_entered_where_the_rule_changes() -> None:
    one = np.array([[0.0, 4.0], [0.0, 1.0]])
    other = np.array([[3.0, 6.0], [2.0, 3.0]])
    both = combined([one, other], lambda inside: inside[0] | inside[1])
    assert both.tolist() == [[0.0, 6.0, np.inf, np.inf], [0.0, 1.0, 2.0, 3.0]]
    less = combined([one, other], lambda inside: inside[0] & ~inside[1])
    assert less.tolist() == [[0.0, 3.0], [0.0, 1.0]]
