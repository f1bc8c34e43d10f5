"""Columns through bores: what they take, whose it is, on which side, and how fine they are."""

from __future__ import annotations

from math import pi, sqrt

import numpy as np
import pytest

from shapes.bored import beyond, columns_of, radii, taken, taken_turned
from shapes.bored_finely import taken_finely
from shapes.cylinder import Cylinder
from shapes.ellipsoid import Ellipsoid
from shapes.moments import Array
from shapes.placed import Placed
from shapes.placement import Placement
from shapes.sphere import Sphere
from shapes.turned import Turned

BALL = Placed(Sphere(200.0))
CORE = Placed(Ellipsoid((80.0, 90.0, 120.0)), Placement(20.0, 15.0, 40.0, (2.0, 1.0, 4.0)))


def drill(radius: float, depth: float, at: Placement) -> Placed:
    """A flat drill from outside, as deep as asked below its origin."""
    profile = ((0.0, -depth), (radius, -depth), (radius, 300.0), (0.0, 300.0))
    return Placed(Turned(profile=profile), at)


def top(x: float, y: float = 0.0, lean: float = 0.0) -> Placement:
    return Placement(0.0, lean, 30.0, (x, y, sqrt(1e4 - x * x - y * y)))


def volumes(found: object) -> list[float]:
    return [m.volume_mm3 for m in found.of_bodies]  # type: ignore[attr-defined]


def test_bodies_keep_their_space_from_later_ones() -> None:
    bores = [drill(12.0, 70.0, top(10.0))]
    columns = columns_of(bores, 8)
    whole = volumes(taken(columns, [BALL]))[0]
    core, rest = volumes(taken(columns, [CORE, BALL]))
    assert core == pytest.approx(volumes(taken(columns, [CORE]))[0], rel=1e-12)
    assert core + rest == pytest.approx(whole, rel=1e-12)


def test_an_earlier_bore_keeps_what_it_takes() -> None:
    bores = [drill(12.0, 60.0, top(0.0)), drill(10.0, 60.0, top(15.0, 0.0, 4.0))]

    def shares(some: list[Placed]) -> list[float]:
        return [m.volume_mm3 for m in taken_finely(some, [BALL], 0.05)[0].by_bores]

    one, other = shares(bores)
    assert other < 0.95 * shares(bores[1:])[0]
    assert one + other == pytest.approx(sum(shares(bores[::-1])), abs=0.5)


def test_what_lies_on_either_side_of_a_plane_adds_up() -> None:
    columns = columns_of([drill(12.0, 95.0, top(20.0, 5.0, 12.0))], 6)
    normal = np.array([0.48, 0.6, 0.64])
    here, there = (volumes(taken(beyond(columns, s * normal), [CORE, BALL])) for s in (1.0, -1.0))
    assert np.add(here, there) == pytest.approx(volumes(taken(columns, [CORE, BALL])), rel=1e-12)
    assert min(here) > 0.0


def test_bores_that_are_turned_take_what_the_body_turned_back_loses() -> None:
    columns = columns_of([drill(12.0, 70.0, top(30.0))], 4)
    turns = np.array([Placement(a, b, c).rotation() for a, b, c in ((0, 0, 0), (30, 50, 70))])
    for turn, found in zip(turns, taken_turned(columns, [CORE, BALL], turns), strict=True):
        at = Placement.of(turn.T @ CORE.placement.rotation(), turn.T @ CORE.placement.offset())
        back = taken(columns, [Placed(CORE.shape, at), BALL])
        for one, other in zip(found.of_bodies, back.of_bodies, strict=True):
            assert one.volume_mm3 == pytest.approx(other.volume_mm3, rel=1e-9)
            assert one.first_mm4 == pytest.approx(turn @ other.first_mm4, rel=1e-9, abs=1e-4)


def test_a_rule_bends_at_the_steps_of_coaxial_bodies_only() -> None:
    bore = drill(30.0, 70.0, Placement(move_mm=(0.0, 0.0, 100.0)))
    coaxial = Placed(Cylinder(40.0, 50.0), Placement(move_mm=(0.0, 0.0, 10.0)))
    aside = Placed(Cylinder(25.0, 50.0), Placement(move_mm=(1.0, 0.0, 0.0)))
    assert radii(bore, [bore, coaxial, aside]) == [0.0, 20.0, 30.0]


def test_the_wall_of_a_coaxial_body_is_met_exactly() -> None:
    bore = drill(30.0, 120.0, Placement(move_mm=(0.0, 0.0, 100.0)))
    rod = Placed(Cylinder(40.0, 50.0))
    found, doubt = taken_finely([bore], [rod], 1.0)
    assert found.of_bodies[0].volume_mm3 == pytest.approx(pi * 400.0 * 45.0, rel=1e-12)
    assert doubt[0] < 1e-6


def test_finer_cells_take_the_same_within_the_doubt() -> None:
    bores = [drill(11.0, 72.0, top(25.0, -8.0, 10.0)), drill(9.0, 80.0, top(44.0, -5.0, 8.0))]
    coarse, doubt = taken_finely(bores, [CORE, BALL], 1.0)
    fine, _ = taken_finely(bores, [CORE, BALL], 0.001)
    gap = np.abs(np.subtract(volumes(coarse), volumes(fine)))
    assert (gap <= doubt).all()
    assert doubt.max() < 20.0


def leaning(polar_deg: float, azimuth_deg: float, towards: Array) -> Placement:
    """A drill that enters a ball of 108.585 mm there, through a point."""
    a, b = np.radians(polar_deg), np.radians(azimuth_deg)
    entry = 108.585 * np.array([np.sin(a) * np.cos(b), np.sin(a) * np.sin(b), np.cos(a)])
    out = entry - towards
    out /= np.linalg.norm(out)
    x = np.cross([0.3, 0.8, 0.1], out)
    x /= np.linalg.norm(x)
    return Placement.of(np.column_stack([x, np.cross(out, x), out]), entry)


@pytest.mark.parametrize(
    ("bores", "core"),
    [
        (  # a sliver of the core's edge lies between the first columns
            [drill(14.24, 88.99, leaning(135.05, 159.15, np.array([17.42, 14.53, 19.31])))],
            Placed(
                Ellipsoid((47.25, 99.30, 110.09)), Placement(0.0, 29.6526, 40.0, (2.54, 0.0, 5.08))
            ),
        ),
        (  # a thin bore that a wide one meets at a slant
            [
                drill(5.003, 106.10, leaning(164.71, 73.13, np.array([-17.25, 16.14, -14.74]))),
                drill(11.164, 84.37, leaning(141.81, 146.91, np.array([-5.35, 0.94, 7.59]))),
            ],
            Placed(Cylinder(50.40, 98.16), Placement(0.0, 36.6358, 40.0, (2.54, 0.0, 5.08))),
        ),
    ],
)
def test_what_lies_between_the_first_columns_is_found(bores: list[Placed], core: Placed) -> None:
    ball = Placed(Sphere(217.17))
    coarse, _ = taken_finely(bores, [core, ball], 0.03)
    fine, _ = taken_finely(bores, [core, ball], 0.0003)
    gap = np.abs(np.subtract(volumes(coarse), volumes(fine)))
    assert gap.max() < 0.5
