"""What the holes took of the core: all of it, once, drawn out along its hole."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from pipeline.drilled import Drilled
from pipeline.plugs import Plug, plugs_of
from pipeline.units import G_PER_MM3, G_PER_OZ
from shapes.moments import Array
from tests.pipeline.drilled_text import GRIP, HOLE, PLAIN, RADIUS, ROUND, drilled, holes, swapped

CORE = "shape: sphere, diameter: 4"
OTHER = swapped(HOLE, ("name: thumb, use: thumb", "name: other, use: finger"))
LEANING = swapped(OTHER, ("azimuth: 30 deg", "azimuth: 34 deg"))
APART = swapped(OTHER, ("azimuth: 30 deg", "azimuth: 150 deg"))
SHALLOW = swapped(HOLE, ("depth: 2.5", "depth: 0.5"))
BALLS = {
    "apart": (holes(HOLE, APART), CORE),
    "one in another": (holes(HOLE, LEANING), CORE),
    "one twice": (holes(HOLE, OTHER), CORE),
    "grip": (GRIP, ROUND),
}


@cache
def made(name: str) -> Drilled:
    return drilled(*BALLS[name])


@cache
def plugs(name: str) -> list[Plug]:
    return plugs_of(made(name))


def lost_oz(name: str) -> float:
    """What the inner core lost, by the columns."""
    part, left = made(name).ball.parts[0], made(name).left[0]
    gone = part.claimed.volume_mm3 - left.volume_mm3
    return gone * part.density_g_cm3 * G_PER_MM3 / G_PER_OZ


def corners(plug: Plug) -> tuple[Array, Array, Array]:
    a, b, c = (plug.surface.points_mm[plug.surface.triangles[:, k]] for k in range(3))
    return a, b, c


@pytest.mark.parametrize("name", BALLS)
def test_plugs_weigh_together_what_the_core_lost(name: str) -> None:
    assert sum(p.ounces for p in plugs(name)) == pytest.approx(lost_oz(name), rel=1e-3)


def test_each_hole_has_its_own_plug() -> None:
    assert [p.hole for p in plugs("apart")] == ["thumb", "other"]


def test_holes_alike_took_alike() -> None:
    one, other = plugs("apart")
    assert one.ounces == pytest.approx(other.ounces, rel=1e-5)


def test_what_two_holes_share_belongs_to_the_first() -> None:
    one, other = plugs("one in another")
    assert one.ounces == pytest.approx(plugs("apart")[0].ounces, rel=1e-5)
    assert other.ounces < 0.6 * one.ounces


def test_a_hole_in_the_place_of_another_takes_nothing() -> None:
    assert [p.hole for p in plugs("one twice")] == ["thumb"]


@pytest.mark.parametrize("name", ["apart", "grip"])
def test_a_plug_s_surface_encloses_its_volume(name: str) -> None:
    """By the divergence theorem; a chord of 0.06 mm cuts off a little of a round one."""
    density = made(name).ball.parts[0].density_g_cm3
    for plug in plugs(name):
        a, b, c = corners(plug)
        volume = float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6.0)
        assert volume * density * G_PER_MM3 / G_PER_OZ == pytest.approx(plug.ounces, rel=0.02)


def test_a_plug_is_drawn_out_along_its_hole() -> None:
    """Put back, it lies in the bore and in the core."""
    found = made("apart")
    for plug, hole in zip(plugs("apart"), found.holes, strict=True):
        back = plug.middle_mm + 0.42 * RADIUS * hole.way
        assert hole.bore().contains(back[None]).all()
        assert np.linalg.norm(back) < 50.8


def test_the_middle_of_a_plug_is_within_it() -> None:
    for plug in plugs("apart"):
        low, high = plug.surface.points_mm.min(axis=0), plug.surface.points_mm.max(axis=0)
        assert (low < plug.middle_mm).all()
        assert (plug.middle_mm < high).all()


def test_a_plug_has_the_colour_of_the_core() -> None:
    assert {p.surface.colour for p in plugs("apart")} == {made("apart").ball.parts[0].colour}


@pytest.mark.parametrize(("drilling", "core"), [(holes(SHALLOW), CORE), (holes(HOLE), PLAIN)])
def test_a_hole_that_meets_no_core_takes_none(drilling: str, core: str) -> None:
    assert plugs_of(drilled(drilling, core)) == []
