"""What each family must be in the limit, in the mirror, turned, and with a section that repeats."""

from __future__ import annotations

from math import cos, pi, sin

import numpy as np
import pytest

from shapes.barrel import Barrel
from shapes.blocks import Ell, Slab, Tee
from shapes.boundary import moments_of_solid
from shapes.box import Box
from shapes.capped import Capped, Recessed
from shapes.cylinder import Cylinder
from shapes.ellipsoid import Ellipsoid
from shapes.errors import ShapeError
from shapes.flared import Flared
from shapes.harmonic import Harmonic
from shapes.hewn import Flats, Scallops
from shapes.inserts import Cap, Disc, Ring, Rod
from shapes.moments import Moments
from shapes.placed import Placed
from shapes.placement import Placement
from shapes.shape import Shape
from shapes.sphere import Sphere
from shapes.spool import Spool
from shapes.stacked import Frusta, Stepped
from shapes.superellipsoid import Superellipsoid
from shapes.swept import Lobed, Twisted
from tests.reference.drawn_bodies import DRAWN, drawn_shape


def round_bar(radius: float, height: float) -> Moments:
    """V = pi r^2 h, int x^2 = V r^2 / 4, int z^2 = V h^2 / 12 (Beer & Johnston; from memory)."""
    v = pi * radius**2 * height
    across, along = v * radius**2 / 4, v * height**2 / 12
    return Moments.of(v, (0.0, 0.0, 0.0), (across, across, along))


def ball(radius: float) -> Moments:
    """V = 4/3 pi R^3, int x^2 = V R^2 / 5 (the same)."""
    v = 4 / 3 * pi * radius**3
    return Moments.of(v, (0.0, 0.0, 0.0), (v * radius**2 / 5,) * 3)


def block(a: float, b: float, c: float) -> Moments:
    """V = abc, int x^2 = V a^2 / 12 (the same)."""
    v = a * b * c
    return Moments.of(v, (0.0, 0.0, 0.0), (v * a * a / 12, v * b * b / 12, v * c * c / 12))


BAR = round_bar(40.0, 100.0)


@pytest.mark.parametrize(
    ("shape", "due"),
    [
        (Barrel(80.0, 80.0, 100.0, 0.0), BAR),
        (Spool(80.0, 80.0, 100.0, 0.0), BAR),
        (Flared(80.0, 80.0, 80.0, 30.0, 100.0, 0.0), BAR),
        (Frusta((80.0, 80.0, 80.0), (60.0, 40.0), 0.0), BAR),
        (Stepped((80.0,), (100.0,), 0.0), BAR),
        (Disc(80.0, 100.0, 0.0), BAR),
        (Rod(80.0, 100.0, 0.0), BAR),
        (Cylinder(80.0, 100.0), BAR),
        (Lobed(80.0, 80.0, 100.0, 0.0, 3, 0.0), BAR),
        (Twisted(80.0, 80.0, 100.0, 0.0, 0.0, 60.0), BAR),
        (Flats(80.0, 80.0, 100.0, 0.0, 4, 40.0 - 1e-9), BAR),
        (Rod(80.0, 80.0, 40.0), ball(40.0)),
        (Superellipsoid(80.0, 80.0, 2.0), ball(40.0)),
        (Ellipsoid((80.0, 80.0, 80.0)), ball(40.0)),
        (Harmonic(80.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0), ball(40.0)),
        (Recessed(80.0, 30.0, 0.0, 30.0, 0.0), None),
        (Sphere(80.0), ball(40.0)),
        (Slab(60.0, 60.0, 80.0, 50.0, 0.0), block(60.0, 50.0, 80.0)),
        (Box((60.0, 50.0, 80.0)), block(60.0, 50.0, 80.0)),
        (Ring(80.0, 40.0, 30.0, 0.0), round_bar(40.0, 30.0) - round_bar(20.0, 30.0)),
    ],
    ids=lambda value: type(value).__name__.lower() if isinstance(value, Shape) else "",
)
def test_families_reduce_to_handbook_bodies(shape: Shape, due: Moments | None) -> None:
    found = shape.moments()
    if due is None:  # flats of 30 across at both ends: a ball less two caps
        high = 40.0 - (40.0**2 - 15.0**2) ** 0.5
        volume = 4 / 3 * pi * 40.0**3 - 2 * pi * high**2 * (120.0 - high) / 3
        assert found.volume_mm3 == pytest.approx(volume, rel=1e-12)
        return
    size = 50.0
    assert found.volume_mm3 == pytest.approx(due.volume_mm3, rel=1e-9)
    assert found.first_mm4 == pytest.approx(due.first_mm4, abs=1e-9 * due.volume_mm3 * size)
    assert found.second_mm5 == pytest.approx(due.second_mm5, abs=1e-9 * due.volume_mm3 * size**2)


def test_half_a_ball_is_a_cap_and_a_ball_with_slight_caps_is_one() -> None:
    """V = 2/3 pi R^3, its centroid 3/8 R above the flat face (Beer & Johnston; from memory)."""
    half = Cap(80.0, 40.0).moments()
    assert half.volume_mm3 == pytest.approx(ball(40.0).volume_mm3 / 2)
    assert half.centroid_mm()[2] == pytest.approx(-20.0 + 3 / 8 * 40.0)
    slight = Capped(80.0, 1e-3, 0.0, 0.0).moments()
    assert slight.volume_mm3 == pytest.approx(ball(40.0).volume_mm3, rel=1e-12)


def test_tee_and_ell_are_two_blocks() -> None:
    """Sharp-cornered, by the sum of two blocks and the parallel-axis theorem."""
    for shape, parts in (
        (Tee(100.0, 30.0, 40.0, 110.0, 50.0, 0.0), ((100.0, 30.0, 0.0), (40.0, 80.0, 0.0))),
        (Ell(100.0, 30.0, 40.0, 110.0, 50.0, 0.0), ((100.0, 30.0, 0.0), (40.0, 80.0, 30.0))),
    ):
        found = shape.moments()
        assert found.volume_mm3 == pytest.approx(sum(w * h * 50.0 for w, h, _ in parts))
        (wide, high, _), (narrow, tall, aside) = parts
        apart = np.array([aside, 0.0, (high + tall) / 2])
        a, b = block(wide, 50.0, high), block(narrow, 50.0, tall).moved(apart)
        due = (a + b).central_second_mm5()
        assert np.abs(np.diag(found.central_second_mm5())) == pytest.approx(np.diag(due))
        assert abs(found.central_second_mm5()[0, 2]) == pytest.approx(abs(due[0, 2]), abs=1e-6)


@pytest.mark.parametrize("count", [3, 4, 5, 7])
def test_a_section_that_repeats_three_times_or_more_has_equal_transverse_moments(
    count: int,
) -> None:
    """A symmetric tensor that a turn of 360 / n leaves, n of 3 or more, is the same all round."""
    for shape in (
        Lobed(80.0, 100.0, 110.0, 5.0, count, 0.12),
        Scallops(84.0, 108.0, 116.0, 6.0, count, 44.0, 20.0),
        Flats(84.0, 108.0, 116.0, 6.0, count, 52.0),
    ):
        xx, yy, _ = np.diag(shape.moments().second_mm5)
        assert xx == pytest.approx(yy, rel=1e-12)
        assert shape.moments().second_mm5[0, 1] == pytest.approx(0.0, abs=1e-12 * xx)


@pytest.mark.parametrize("word", DRAWN)
def test_moments_turn_and_move_with_the_body(word: str) -> None:
    """Points counted in the placed body have the centroid that the placed moments have."""
    shape = drawn_shape(word, np.random.default_rng(17))
    place = Placement(40.0, 25.0, 70.0, (3.0, -4.0, 5.0))
    body, spun = Placed(shape, place), Placed(shape, Placement(spin_deg=40.0))
    c, s = cos(np.radians(40.0)), sin(np.radians(40.0))
    turn = np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
    due = shape.moments()
    size = float(np.abs(due.second_mm5).max())
    turned = turn @ due.second_mm5 @ turn.T
    assert spun.moments().second_mm5 == pytest.approx(turned, abs=1e-12 * size)
    # what no turn changes
    found = np.linalg.eigvalsh(body.moments().central_second_mm5())
    assert found == pytest.approx(np.linalg.eigvalsh(due.central_second_mm5()), abs=1e-9 * size)


@pytest.mark.parametrize("word", DRAWN)
def test_every_family_says_how_far_its_rg_may_be_off(word: str) -> None:
    shape = drawn_shape(word, np.random.default_rng(23))
    assert 0.0 < shape.rg_error_mm() < 1e-6 * 25.4


@pytest.mark.parametrize("word", DRAWN)
def test_every_family_states_its_parting(word: str) -> None:
    parting = drawn_shape(word, np.random.default_rng(29)).parting()
    assert parting is not None
    assert np.linalg.norm(parting.normal) == pytest.approx(1.0)
    assert -90.0 <= parting.draft_deg <= 90.0


def test_a_rounding_that_no_kernel_can_make_is_refused() -> None:
    """Hypothesis found that the CAD kernel gives up on a box rounded by 2e-31 mm."""
    with pytest.raises(ShapeError, match=r"take 0, or at least 0\.001 mm"):
        Box((53.0, 39.0, 61.0), 2.374492635236578e-31)
    assert Box((53.0, 39.0, 61.0), 0.001).solid().isValid()


@pytest.mark.parametrize("lean_mm", [1e-2, 2e-3, 1e-4, 1e-6])
def test_a_side_that_leans_by_a_hair_keeps_its_lean_as_a_solid(lean_mm: float) -> None:
    """The CAD kernel turns a line that leans by less than 1e-4 as a cylinder, 1.2e-5 in of RG off.

    Hypothesis found it.
    """
    shape = Frusta((91.0, 91.0 + 2.0 * lean_mm), (25.0,), 0.0)
    r, s, h = 45.5, 45.5 + lean_mm, 25.0
    due = pi * h / 3 * (r * r + r * s + s * s)
    assert moments_of_solid(shape.solid()).volume_mm3 == pytest.approx(due, rel=1e-11)
