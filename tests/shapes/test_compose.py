"""Bodies joined, cut, mirrored and repeated against theorems, hand sums and the kernel's oracle."""

from __future__ import annotations

from collections.abc import Callable
from math import pi

import numpy as np
import pytest

from shapes.barrel import Barrel
from shapes.boundary import moments_of_solid
from shapes.box import Box
from shapes.compose import Cut, Join, Mirror, Repeat
from shapes.composed import Composed
from shapes.cylinder import Cylinder
from shapes.ellipsoid import Ellipsoid
from shapes.errors import ShapeError
from shapes.flipped import image
from shapes.inserts import Disc, Ring, Rod
from shapes.moments import Moments
from shapes.placed import Placed
from shapes.placement import Placement
from shapes.shape import Shape
from shapes.sphere import Sphere
from tests.reference.gaps import Seen, gaps
from tests.reference.kernel_quadrature import by_gauss_kronrod

CUBE = Box((40.0, 40.0, 40.0))


def at(shape: Shape, x: float = 0.0, y: float = 0.0, z: float = 0.0, tilt: float = 0.0) -> Placed:
    return Placed(shape, Placement(0.0, tilt, 0.0, (x, y, z)))


def assert_weighs(shape: Shape, due: Moments) -> None:
    gap = gaps(shape.moments(), due)
    assert gap.volume < 1e-9
    assert gap.centre_in < 1e-8
    assert gap.rg_in < 1e-8


def test_two_boxes_face_to_face_are_one() -> None:
    joined = Join((at(CUBE, -20.0), at(CUBE, 20.0)))
    joined.prove()
    assert_weighs(joined, Box((80.0, 40.0, 40.0)).moments())


def test_overlapping_balls_by_the_lens_between_them() -> None:
    """Weisstein, Sphere-Sphere Intersection (MathWorld), equation 16; from memory."""
    r, s, d = 30.0, 40.0, 50.0
    lens = pi * (r + s - d) ** 2 * (d * d + 2 * d * (r + s) - 3 * (r - s) ** 2) / (12 * d)
    joined = Join((at(Sphere(2 * r)), at(Sphere(2 * s), 0.0, d)))
    whole = 4 / 3 * pi * (r**3 + s**3)
    assert joined.exact
    assert joined.moments().volume_mm3 == pytest.approx(whole - lens, rel=1e-12)
    cut = Cut(at(Sphere(2 * r)), (at(Sphere(2 * s), 0.0, d),))
    assert cut.moments().volume_mm3 == pytest.approx(4 / 3 * pi * r**3 - lens, rel=1e-12)


def test_crossed_cylinders_share_a_bicylinder() -> None:
    """It holds 16 r^3 / 3 (Archimedes; Steinmetz)."""
    bar = Cylinder(60.0, 140.0)
    crossed = Join((at(bar), at(bar, tilt=90.0)))
    crossed.prove()
    assert not crossed.exact
    due = 2.0 * pi * 30.0**2 * 140.0 - 16.0 / 3.0 * 30.0**3
    assert crossed.moments().volume_mm3 == pytest.approx(due, rel=1e-8)


def test_a_bore_along_the_axis_takes_a_cylinder_exactly() -> None:
    bored = Cut(at(Cylinder(80.0, 100.0)), (at(Cylinder(20.0, 60.0), z=30.0),))
    assert bored.exact
    # the bore runs from z = 0 to the top: V = pi r^2 h, int x^2 = V r^2/4, int z^2 = V h^2/3
    volume = pi * 10.0**2 * 50.0
    squares = (volume * 25.0, volume * 25.0, volume * 50.0**2 / 3.0)
    taken = Moments.of(volume, (0.0, 0.0, volume * 25.0), squares)
    assert_weighs(bored, Cylinder(80.0, 100.0).moments() - taken)


@pytest.mark.parametrize("across", ["x", "y", "z"])
def test_the_image_alone_weighs_as_the_mirrored_body(across: str) -> None:
    body = at(Ellipsoid((50.0, 70.0, 90.0)), 11.0, 7.0, 5.0, tilt=30.0)
    flip = np.diag([-1.0 if axis == across else 1.0 for axis in "xyz"])
    assert_weighs(Mirror(body, across, "image"), body.moments().turned(flip))


def test_half_a_box_and_its_image_are_the_box() -> None:
    whole = Mirror(at(Box((30.0, 50.0, 70.0)), 15.0), "x")
    whole.prove()
    assert_weighs(whole, Box((60.0, 50.0, 70.0)).moments())


@pytest.mark.parametrize("count", [3, 4, 5])
def test_repeats_of_three_or_more_have_equal_transverse_moments(count: int) -> None:
    """A tensor that a turn by a third or less leaves as it was is the same all round."""
    found = Repeat(at(Box((40.0, 24.0, 30.0)), 18.0, 3.0, 4.0), count)
    found.prove()
    moments = found.moments()
    xx, yy, zz = np.diag(moments.second_mm5)
    assert xx == pytest.approx(yy, rel=1e-9)
    assert moments.second_mm5 == pytest.approx(np.diag([xx, yy, zz]), abs=1e-9 * zz)
    assert moments.first_mm4[:2] == pytest.approx([0.0, 0.0], abs=1e-8 * moments.volume_mm3)


@pytest.mark.parametrize(
    "shape",
    [
        Join((at(Cylinder(80.0, 90.0)), at(Box((40.0, 30.0, 30.0)), 38.0))),
        Cut(at(Cylinder(80.0, 90.0)), (at(Cylinder(20.0, 150.0), 20.0, tilt=35.0),)),
        Mirror(at(Rod(40.0, 90.0), 12.0, 3.0, 0.0, tilt=30.0), "x"),
        Repeat.typical(),
    ],
    ids=lambda shape: type(shape).__name__.lower(),
)
def test_what_needs_solids_by_gauss_kronrod(shape: Composed, seen: Seen) -> None:
    shape.prove()
    assert not shape.exact
    due = by_gauss_kronrod(shape.solid())
    gap = gaps(shape.moments(), due)  # where two curved faces meet, the kernel's edges approximate
    assert seen("composed bodies and Gauss-Kronrod, in of RG", gap.rg_in) <= 1e-6
    assert seen("composed bodies and Gauss-Kronrod, share of volume", gap.volume) <= 1e-7
    assert shape.rg_error_mm() < 1e-5


@pytest.mark.parametrize("shape", [Join.typical(), Cut.typical(), Mirror.typical()])
def test_what_needs_no_solids_weighs_as_its_solid(shape: Composed) -> None:
    shape.prove()
    assert shape.exact
    assert_weighs(shape, moments_of_solid(shape.solid()))
    assert shape.rg_error_mm() < 1e-8


@pytest.mark.parametrize(
    "shape",
    [
        Join((at(Barrel()), at(Box((40.0, 30.0, 30.0)), 48.0))),
        Mirror(at(Disc(60.0, 20.0), 10.0, 0.0, 20.0, tilt=30.0), "z"),
        Repeat.typical(),
    ],
)
def test_reach_and_support_are_those_of_the_solid(shape: Composed) -> None:
    from shapes.facets import facets_of

    corners = facets_of(shape.solid(), 0.05, 0.1).corners_mm
    assert not shape.reaches_no_farther
    for point in (np.zeros(3), np.array([10.0, -20.0, 30.0])):
        seen = float(np.linalg.norm(corners - point, axis=1).max())
        assert seen - 1e-6 <= shape.reach_mm(point) <= seen + 0.1
    for way in (np.array([1.0, 0.0, 0.0]), np.array([0.0, 0.6, -0.8])):
        seen = float((corners @ way).max())
        assert seen - 1e-6 <= shape.support_mm(way) <= seen + 0.1


def test_a_cut_body_may_reach_less_far_than_it_says() -> None:
    assert Cut.typical().reaches_no_farther
    assert Mirror(at(Cut.typical())).reaches_no_farther


def test_bodies_nest() -> None:
    spokes = Repeat(at(Rod(20.0, 90.0), tilt=90.0), 3)
    wheel = Join((at(spokes), at(Ring(100.0, 70.0, 20.0)), at(Sphere(30.0))))
    wheel.prove()
    hub = Cut(at(wheel), (at(Cylinder(10.0, 60.0)),))
    hub.prove()
    lost = wheel.moments().volume_mm3 - hub.moments().volume_mm3
    assert lost == pytest.approx(pi * 25.0 * 30.0, rel=0.1)  # a little less: the ball is round
    mirrored = image(at(hub, 1.0, 2.0, 3.0), "x")
    assert mirrored.moments().volume_mm3 == pytest.approx(hub.moments().volume_mm3, rel=1e-12)


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: Join((at(CUBE), at(CUBE, 40.0, 40.0))), "touch only along an edge"),
        (lambda: Join((at(CUBE), at(CUBE, 40.0, 40.0, 40.0))), "touch only at a point"),
        (lambda: Join((at(Sphere(40.0)), at(Sphere(40.0), 40.0))), "at a point at (20.00, 0.00,"),
        (lambda: Join((at(CUBE), at(CUBE, 41.0))), "1.000 mm apart"),
        (lambda: Join((at(CUBE),)), "two or more"),
        (lambda: Join((at(CUBE), at(CUBE))), "adds nothing"),
        (lambda: Join((at(Sphere(50.0)), at(Sphere(20.0)))), "within bodies[0]"),
        (
            lambda: Join((at(CUBE), at(CUBE, 40.0), at(Box((60.0, 30.0, 30.0)), 20.0))),
            "the others hold it whole",
        ),
        (
            lambda: Join((at(CUBE), at(CUBE, 40.0), at(CUBE, 40.0, 40.0), at(CUBE, 0.0, 0.0, 40.0),
                          at(CUBE, 40.0, 40.0, 40.0))),
            "touches itself along an edge",
        ),
        (lambda: Cut(at(CUBE), ()), "nothing to take away"),
        (lambda: Cut(at(CUBE), (at(Sphere(20.0), 60.0),)), "clear of the body"),
        (lambda: Cut(at(Sphere(20.0)), (at(Sphere(30.0)),)), "nothing is left"),
        (lambda: Cut(at(CUBE), (at(Box((80.0, 80.0, 80.0))),)), "nothing is left"),
        (lambda: Cut(at(CUBE), (at(Box((20.0, 80.0, 80.0))),)), "comes out as 2 bodies"),
        (lambda: Cut(at(Sphere(40.0)), (at(CUBE, 34.0, 34.0),)), "takes nothing"),
        (lambda: Mirror(at(Sphere(20.0)), "x"), "its own image"),
        (lambda: Mirror(at(CUBE, 30.0), "x"), "20.000 mm apart"),
        (lambda: Mirror(at(CUBE), "x"), "adds nothing"),
        (lambda: Repeat(at(Sphere(20.0)), 3), "stands where it stood"),
        (lambda: Repeat(at(CUBE, 60.0), 3), "comes out as 3 bodies"),
        (lambda: Repeat(at(CUBE), 4), "adds nothing"),
    ],
)  # fmt: skip
def test_what_is_not_one_sound_body_is_refused(make: Callable[[], Composed], says: str) -> None:
    with pytest.raises(ShapeError) as told:
        make().prove()
    assert says in str(told.value)


def test_a_body_inside_a_composed_one_is_named_by_its_path() -> None:
    inner = Cut(at(Sphere(40.0)), (at(CUBE, 34.5, 34.5, 5.0),))
    with pytest.raises(ShapeError) as told:
        Join((at(inner), at(CUBE, 20.0))).prove()
    assert told.value.field == "bodies[0].away[0]"


def test_parting_of_a_composed_body_is_measured_on_its_solid() -> None:
    stacked = Join((at(Cylinder(80.0, 40.0), z=-20.0), at(Cylinder(50.0, 40.0), z=20.0)))
    found = stacked.parting()
    assert found.draft_deg == 0.0
