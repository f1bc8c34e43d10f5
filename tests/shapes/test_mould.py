"""Moulds: bodies that fill their block, mate, and come apart."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import pi

import cadquery as cq
import numpy as np
import pytest

from shapes.bars import Bar
from shapes.boundary import moments_of_solid
from shapes.cylinder import Cylinder
from shapes.errors import SolidError
from shapes.keys import keys_of
from shapes.mould import Block, Mould, mould_of
from shapes.pieces import Split, pieces_of
from shapes.solid import common
from shapes.sphere import Sphere

BLOCK = Block(np.zeros(3), np.eye(3), np.array([140.0, 130.0, 120.0]))
UP = Split((0.0, 0.0, 1.0), 0.0)
GATE = Bar((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), ((0.0, 4.0), (90.0, 4.0)))
ROD = Bar((0.0, 0.0, 40.0), (0.0, 0.0, 1.0), ((-20.0, 5.0), (100.0, 5.0)))


@dataclass(frozen=True)
class Made:
    mould: Mould
    keys: tuple[tuple[Bar, ...], ...]


@lru_cache(maxsize=1)
def ball_mould() -> Made:
    """A ball of diameter 80 split at its equator, poured from the side, a rod from above."""
    cavity = Sphere(diameter=80.0).solid()
    keys = keys_of(cavity, BLOCK, [UP], [GATE, ROD], 12.0, 6.0)
    return Made(mould_of(cavity, BLOCK, [UP], channels=[GATE], bars=[ROD], keys=keys), keys)


def volume(solid: cq.Solid) -> float:
    return moments_of_solid(solid).volume_mm3


def shared(one: cq.Solid, other: cq.Solid) -> float:
    return sum(volume(lump) for lump in common(one, [other]))


def test_its_bodies_add_up_to_the_block() -> None:
    mould = ball_mould().mould
    total = sum(map(volume, (*mould.pieces, mould.pour, *mould.bars)))
    assert total == pytest.approx(140.0 * 130.0 * 120.0, rel=1e-9)


def test_no_two_of_its_bodies_share_space() -> None:
    mould = ball_mould().mould
    bodies = (*mould.pieces, mould.pour, *mould.bars)
    found = [shared(a, b) for k, a in enumerate(bodies) for b in bodies[:k]]
    assert max(found) < 1e-6


def test_the_pour_is_ball_and_gate_less_the_rod() -> None:
    ball, gate = 4.0 / 3.0 * pi * 40.0**3, pi * 16.0 * 70.0
    height = 40.0 - np.sqrt(1600.0 - 16.0)  # of the cap that the gate cuts from the ball's side
    inside = pi * 16.0 * (40.0 - height) + pi * height**2 * (120.0 - height) / 3.0
    low = 40.0 - np.sqrt(1600.0 - 25.0)
    rod = pi * 25.0 * (20.0 - low) + pi * low**2 * (120.0 - low) / 3.0
    assert volume(ball_mould().mould.pour) == pytest.approx(ball + gate - inside - rod, rel=1e-9)


@pytest.mark.parametrize("drawn_mm", [0.5, 5.0, 60.0])
def test_each_half_is_drawn_off_without_meeting_the_pour(drawn_mm: float) -> None:
    mould = ball_mould().mould
    for solid, piece in zip(mould.pieces, pieces_of([UP]), strict=True):
        way = cq.Vector(*(drawn_mm * c for c in piece.pull))
        assert shared(solid.moved(cq.Location(way)), mould.pour) < 1e-6


def test_drawn_the_wrong_way_it_does_meet_the_pour() -> None:
    mould = ball_mould().mould
    assert shared(mould.pieces[0].moved(cq.Location(cq.Vector(5.0, 0.0, 0.0))), mould.pour) > 100.0


def test_keys_are_four_and_the_first_is_smaller() -> None:
    (keys,) = ball_mould().keys
    assert [round(key.radius_mm, 9) for key in keys] == [4.5, 6.0, 6.0, 6.0]


def test_keys_keep_clear_of_the_sides_the_cavity_and_the_gate() -> None:
    (keys,) = ball_mould().keys
    places = np.array([key.origin_mm for key in keys])
    assert (BLOCK.depths_mm(places)[:] >= 0.0).all()
    assert (np.abs(places[:, :2]).max(axis=1) <= 70.0 - 9.0).all()
    assert (np.linalg.norm(places, axis=1) >= 40.0 + 8.9).all()


def test_a_small_block_has_no_room_for_keys() -> None:
    tight = Block(np.zeros(3), np.eye(3), np.array([92.0, 92.0, 92.0]))
    assert keys_of(Sphere(diameter=80.0).solid(), tight, [UP], [], 30.0, 6.0) == ((),)


def test_a_plane_that_cuts_off_nothing_is_refused() -> None:
    cavity = Cylinder(diameter=60.0, height=60.0).solid()
    with pytest.raises(SolidError, match="piece 1 of 2 comes out as nothing"):
        mould_of(cavity, BLOCK, [Split((0.0, 0.0, 1.0), 90.0)])


def test_three_pieces_fill_the_block() -> None:
    cavity = Cylinder(diameter=60.0, height=60.0).solid()
    splits = [Split((0.0, 0.0, -1.0), 25.0), Split((0.0, 1.0, 0.0), 0.0)]
    mould = mould_of(cavity, BLOCK, splits, keys=keys_of(cavity, BLOCK, splits, [], 10.0, 5.0))
    assert len(mould.pieces) == 3
    assert mould.missing_share() < 1e-9
