"""A drilled ball that rolls: turns that are turns, about the axis that Euler's equations give.

Frames of cameras are rounded to 1e-9, so what is made of them is right to some 1e-8.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from pipeline.drilled import Drilled, drill
from pipeline.errors import OutputError
from pipeline.flare import Flare
from pipeline.moves import take_of
from pipeline.rolling import REVOLUTIONS, let_go
from pipeline.take import Take
from pipeline.wish import AS_IT_SUITS
from tests.pipeline.drilled_text import BARE, HOLE, UNEVEN, ball, drilled, holes, swapped

STEPS = 48 * REVOLUTIONS
RADIUS_MM = 4.275 * 25.4
RIGHT = swapped(BARE, ("pin: above", "pin: above, mark_to_axis_point: 4.5, mark: below"))
LEFT = swapped(RIGHT, ("hand: right", "hand: left"))
BALLS = {"right": (RIGHT, UNEVEN), "left": (LEFT, UNEVEN)}
HANDS = pytest.mark.parametrize("hand", ["right", "left"])


@cache
def of_hand(hand: str) -> Drilled:
    return drilled(*BALLS[hand])


@pytest.fixture(scope="module")
def takes() -> dict[str, Take]:
    return {hand: take_of(ball(*asked), "roll", "", AS_IT_SUITS) for hand, asked in BALLS.items()}


@pytest.fixture(scope="module")
def turns(takes: dict[str, Take]) -> dict[str, np.ndarray]:
    """By the hand shape (n, 3, 3): from the ball's frame to the room's, at every step."""
    return {
        hand: np.array([take.at(k / STEPS).camera.frame for k in range(STEPS + 1)])
        for hand, take in takes.items()
    }


@pytest.fixture(scope="module")
def flares() -> dict[str, Flare]:
    found = {hand: let_go(of_hand(hand)) for hand in BALLS}
    return {hand: flare for hand, flare in found.items() if flare is not None}


def steps_of(turns: np.ndarray) -> np.ndarray:
    """The turn from each step to the next as a vector in the ball's frame, shape (n, 3), rad."""
    return Rotation.from_matrix(np.swapaxes(turns[:-1], 1, 2) @ turns[1:]).as_rotvec()


@HANDS
def test_every_turn_is_one(turns: dict[str, np.ndarray], hand: str) -> None:
    square = np.swapaxes(turns[hand], 1, 2) @ turns[hand]
    assert square == pytest.approx(np.broadcast_to(np.eye(3), square.shape), abs=1e-8)


@HANDS
def test_no_turn_is_a_mirror(turns: dict[str, np.ndarray], hand: str) -> None:
    assert np.linalg.det(turns[hand]) == pytest.approx(np.ones(STEPS + 1), abs=1e-8)


@HANDS
def test_each_step_is_a_48th_of_a_revolution(turns: dict[str, np.ndarray], hand: str) -> None:
    size = np.linalg.norm(steps_of(turns[hand]), axis=1)
    assert size == pytest.approx(np.full(STEPS, 2.0 * np.pi / 48.0), abs=1e-7)


@pytest.mark.parametrize(("hand", "sense"), [("right", 1.0), ("left", -1.0)])
def test_it_turns_about_the_path_of_the_axis_point(
    turns: dict[str, np.ndarray], flares: dict[str, Flare], hand: str, sense: float
) -> None:
    """Counter-clockwise seen from a right hand's axis point, clockwise from a left hand's.

    Within the stretch of the path that belongs to the step.
    """
    path = sense * flares[hand].path_mm / flares[hand].radius_mm
    steps = steps_of(turns[hand])
    axes = steps / np.linalg.norm(steps, axis=1)[:, None]
    k = np.arange(STEPS)
    per_step = (len(path) - 1) / STEPS
    middle = path[np.rint((k + 0.5) * per_step).astype(int)]
    stretch = np.linalg.norm(np.diff(path, axis=0), axis=1).max() * per_step
    assert np.linalg.norm(axes - middle, axis=1).max() <= stretch


@HANDS
def test_its_angular_momentum_stands_still_in_the_room(
    turns: dict[str, np.ndarray], hand: str
) -> None:
    """Nothing turns a ball that is free of torque (Landau and Lifshitz, Mechanics, section 33).

    L = R I w, of steps of finite size, so that it is right to the square of a step: 0.1 degrees.
    """
    inertia = of_hand(hand).properties.inertia_g_mm2
    between = turns[hand][:-1] @ Rotation.from_rotvec(steps_of(turns[hand]) / 2.0).as_matrix()
    momentum = np.einsum("nij,jk,nk->ni", between, inertia, steps_of(turns[hand]))
    way = momentum / np.linalg.norm(momentum, axis=1)[:, None]
    off = np.degrees(np.arccos(np.clip(way @ way[0], -1.0, 1.0)))
    assert off.max() < 0.1


@HANDS
def test_it_rolls_away_from_the_bowler(turns: dict[str, np.ndarray], hand: str) -> None:
    """Its top goes to -X of the room, in which X is towards the bowler, who looks at it."""
    spin = np.einsum("nij,nj->ni", turns[hand][:-1], steps_of(turns[hand]))
    top = np.cross(spin, [0.0, 0.0, RADIUS_MM])
    assert top[:, 0].max() < 0.0


@HANDS
def test_the_ring_of_the_moment_touches_the_floor(
    turns: dict[str, np.ndarray], flares: dict[str, Flare], hand: str
) -> None:
    """At the start of every revolution; the axis nods with the ball's differential: within 1 %."""
    lowest = [
        float((flares[hand].rings_mm[k] @ turns[hand][48 * k].T)[:, 2].min())
        for k in range(REVOLUTIONS)
    ]
    assert lowest == pytest.approx([-RADIUS_MM] * REVOLUTIONS, rel=0.01)


# Rings


def laid_mm(take: Take, share: float) -> float:
    """The length of all that is laid."""
    before = len(take.at(0.0).threads)
    rings = [thread.path_mm for thread in take.at(share).threads[before:]]
    return float(sum(np.linalg.norm(np.diff(ring, axis=0), axis=1).sum() for ring in rings))


def test_what_is_laid_only_grows(takes: dict[str, Take]) -> None:
    found = [laid_mm(takes["right"], share) for share in np.linspace(0.0, 1.0, 65)]
    assert (np.diff(found) > 0.0).all()


def test_all_rings_are_laid_in_the_end(takes: dict[str, Take]) -> None:
    """Circles of 105 degrees about the axis, a little proud of the surface; 96 chords each.

    To three thousandths: the axis wanders, so that none of them quite closes.
    """
    whole = 2.0 * np.pi * RADIUS_MM * np.sin(np.radians(105.0)) * REVOLUTIONS
    assert laid_mm(takes["right"], 1.0) == pytest.approx(1.0015 * whole, rel=3e-3)


@pytest.mark.parametrize("share", [0.013, 0.26, 0.5, 0.777])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_ring_grows_where_the_ball_touches_the_floor(
    takes: dict[str, Take], hand: str, share: float
) -> None:
    """The end of the last thread lies below the ball's centre."""
    scene = takes[hand].at(share)
    end = scene.threads[-1].path_mm[-1]
    assert scene.camera.frame[2] @ end == pytest.approx(-1.0015 * RADIUS_MM, rel=1e-9)


def test_nothing_is_laid_at_the_start(takes: dict[str, Take]) -> None:
    assert laid_mm(takes["right"], 0.0) == 0.0


def test_each_revolution_lays_one_ring(takes: dict[str, Take]) -> None:
    take = takes["right"]
    before = len(take.at(0.0).threads)
    counts = [len(take.at((k + 0.5) / REVOLUTIONS).threads) - before for k in range(REVOLUTIONS)]
    assert counts == list(range(1, REVOLUTIONS + 1))


# A left hand


def test_a_left_hand_mirrors_a_right_one(turns: dict[str, np.ndarray]) -> None:
    """The room's right and left change places, of a ball that is its own mirror image.

    Turns are mirrored on both sides, M R M; the ball's mirror is the plane of pin and mark.
    """
    mirror = np.diag([1.0, -1.0, 1.0])
    assert turns["left"] == pytest.approx(mirror @ turns["right"] @ mirror, abs=1e-6)


# Refusals


def test_a_ball_without_holes_is_refused() -> None:
    with pytest.raises(OutputError, match=r"Dunlin has no axis point.*give it a drilling"):
        take_of(ball(""), "roll", "", AS_IT_SUITS)


def test_holes_without_an_axis_point_are_refused() -> None:
    plain = ball(holes(HOLE))
    assert drill(plain) is not None
    with pytest.raises(OutputError, match="no axis point"):
        take_of(plain, "roll", "", AS_IT_SUITS)
