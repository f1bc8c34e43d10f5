"""Bodies whose moments stand in handbooks, unit density.

Beer & Johnston, Vector Mechanics for Engineers, and Meriam & Kraige, Dynamics (tables inside the
covers), and Marks' Standard Handbook for Mechanical Engineers; all from memory.
"""

from __future__ import annotations

from itertools import pairwise
from math import cos, pi, sin, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from shapes.box import Box
from shapes.claims import claims
from shapes.curves import Arc
from shapes.cylinder import Cylinder
from shapes.ellipsoid import Ellipsoid
from shapes.moments import Moments
from shapes.placed import Placed
from shapes.placement import Placement
from shapes.profile import Profile
from shapes.sphere import Sphere
from shapes.turned import ArcStep, Turned
from tests.reference.gaps import Seen, gaps

ROUNDING = 1e-13  # inches of RG, or a share of the volume: a few last bits


def revolved(
    volume: float, height: float, axial: float, transverse: float, about: float = 0.0
) -> Moments:
    """Moments about the origin from inertias as handbooks give them.

    Args:
        volume: V.
        height: of the centroid above the origin.
        axial: inertia about the axis of revolution.
        transverse: inertia about an axis across it, at the height `about`.
        about: height of that axis.
    """
    second_z = transverse - axial / 2.0 + 2.0 * about * volume * height - volume * about**2
    return Moments.of_revolution(volume, volume * height, axial / 2.0, second_z)


def assert_agree(seen: Seen, found: Moments, due: Moments) -> None:
    gap = gaps(found, due)
    assert seen("handbook bodies, own moments, in of RG", gap.rg_in) <= ROUNDING
    assert seen("handbook bodies, own moments, share of volume", gap.volume) <= ROUNDING
    assert gap.centre_in <= ROUNDING


def test_sphere(seen: Seen) -> None:
    """V = 4/3 pi R^3, I = 2/5 m R^2."""
    R = 108.6
    volume = 4 / 3 * pi * R**3
    inertia = 2 / 5 * volume * R**2
    assert_agree(seen, Sphere(2 * R).moments(), revolved(volume, 0.0, inertia, inertia))


def test_thick_shell(seen: Seen) -> None:
    """I = 2/5 m (R^5 - r^5) / (R^3 - r^3), as the cover claims it from the outer core."""
    R, r = 108.585, 89.535
    _, shell = claims([Placed(Sphere(2 * r)), Placed(Sphere(2 * R))])
    assert shell is not None
    volume = 4 / 3 * pi * (R**3 - r**3)
    inertia = 2 / 5 * volume * (R**5 - r**5) / (R**3 - r**3)
    assert_agree(seen, shell, revolved(volume, 0.0, inertia, inertia))


def test_thin_shell_is_the_limit_of_thick_ones() -> None:
    """RG^2 = 2/3 R^2; the thick shell's is 2/3 R^2 (1 - t/R + ...), so RG = RG_thin - t/2 RG/R."""
    R, t = 109.1565, 1e-3  # the largest ball
    _, shell = claims([Placed(Sphere(2 * (R - t))), Placed(Sphere(2 * R))])
    assert shell is not None
    thin = sqrt(2 / 3) * R
    rg = sqrt(shell.inertia_mm5()[0, 0] / shell.volume_mm3)
    assert thin / 25.4 == pytest.approx(3.509, abs=5e-4)
    assert rg == pytest.approx(thin * (1 - t / (2 * R)), rel=1e-9)


def test_ellipsoid(seen: Seen) -> None:
    """V = 4/3 pi abc, I_x = m (b^2 + c^2) / 5."""
    a, b, c = 41.0, 52.0, 66.0
    volume = 4 / 3 * pi * a * b * c
    found = Ellipsoid((2 * a, 2 * b, 2 * c)).moments()
    across = volume / 5 * np.array([b * b + c * c, c * c + a * a, a * a + b * b])
    assert_agree(seen, found, Moments(volume, np.zeros(3), np.diag(across.sum() / 2 - across)))
    assert np.diag(found.inertia_mm5()) == pytest.approx(across, rel=1e-13)


def test_round_ellipsoid_by_its_half_section(seen: Seen) -> None:
    """A spheroid is turned from half an ellipse, by Green's theorem along it."""
    a, c = 40.0, 62.0
    volume = 4 / 3 * pi * a * a * c
    due = revolved(volume, 0.0, volume * 2 / 5 * a * a, volume / 5 * (a * a + c * c))
    assert_agree(seen, Ellipsoid((2 * a, 2 * a, 2 * c)).section().moments(), due)


def test_cylinder(seen: Seen) -> None:
    """I = 1/2 m r^2 about the axis, m (3 r^2 + h^2) / 12 across it at the middle."""
    r, h = 33.0, 120.0
    volume = pi * r * r * h
    due = revolved(volume, 0.0, volume * r * r / 2, volume * (3 * r * r + h * h) / 12)
    rod = Cylinder(2 * r, h)
    assert_agree(seen, rod.moments(), due)
    assert_agree(seen, rod.section().moments(), due)


def test_cone(seen: Seen) -> None:
    """I = 3/10 m r^2 about the axis, 3/20 m r^2 + 3/5 m h^2 across it at the apex."""
    r, h = 47.0, 90.0
    volume = pi * r * r * h / 3
    due = revolved(
        volume, 3 / 4 * h, 3 / 10 * volume * r * r, volume * (3 / 20 * r * r + 3 / 5 * h * h)
    )
    assert_agree(seen, Turned(((0.0, 0.0), (r, h), (0.0, h))).moments(), due)


def test_frustum(seen: Seen) -> None:
    """Bottom radius a, top radius b; the transverse inertia is about the bottom face."""
    a, b, h = 55.0, 32.0, 84.0
    square = a * a + a * b + b * b
    volume = pi * h * square / 3
    height = h * (a * a + 2 * a * b + 3 * b * b) / (4 * square)
    axial = 3 / 10 * volume * (b**5 - a**5) / (b**3 - a**3)
    fourth = a**4 + a**3 * b + a * a * b * b + a * b**3 + b**4
    transverse = pi * h * (fourth / 20 + h * h * (a * a + 3 * a * b + 6 * b * b) / 30)
    frustum = Turned(((0.0, 0.0), (a, 0.0), (b, h), (0.0, h)))
    assert_agree(seen, frustum.moments(), revolved(volume, height, axial, transverse))


@pytest.mark.parametrize("h", [8.0, 30.0, 61.0, 95.0])
def test_spherical_cap(h: float, seen: Seen) -> None:
    """Cut from a ball of radius R about the origin, h high; int z^2 = pi int (R^2 - z^2) z^2 dz."""
    R = 61.0
    volume = pi * h * h * (3 * R - h) / 3
    height = 3 * (2 * R - h) ** 2 / (4 * (3 * R - h))
    axial = pi * h**3 * (20 * R * R - 15 * R * h + 3 * h * h) / 30
    low = R - h
    second_z = pi * (R * R * (R**3 - low**3) / 3 - (R**5 - low**5) / 5)
    half = (pi / 2 + np.arcsin(low / R)) / 2  # half way up the arc
    steps = (
        (0.0, low),
        (sqrt(R * R - low * low), low),
        ArcStep((0.0, R), (float(R * cos(half)), float(R * sin(half)))),
    )
    assert_agree(
        seen, Turned(steps).moments(), revolved(volume, height, axial, axial / 2 + second_z)
    )


def test_hemisphere(seen: Seen) -> None:
    """Centroid 3/8 R above its flat face; I = 2/5 m R^2 about every axis through its centre."""
    R = 50.0
    volume = 2 / 3 * pi * R**3
    inertia = 2 / 5 * volume * R * R
    dome = Turned(((0.0, 0.0), (R, 0.0), ArcStep((0.0, R), (R * cos(0.7), R * sin(0.7)))))
    assert_agree(seen, dome.moments(), revolved(volume, 3 / 8 * R, inertia, inertia))


def test_capsule(seen: Seen) -> None:
    """A cylinder and two hemispheres: 2/5 m R^2 about the centre of each, moved by Steiner."""
    R, h = 31.0, 64.0
    rod, cap = pi * R * R * h, 2 / 3 * pi * R**3
    centroid = h / 2 + 3 / 8 * R
    about_own = 2 / 5 * cap * R * R - cap * (3 / 8 * R) ** 2
    axial = rod * R * R / 2 + 2 * 2 / 5 * cap * R * R
    transverse = rod * (3 * R * R + h * h) / 12 + 2 * (about_own + cap * centroid**2)
    s = R / sqrt(2)
    lower, upper = ((R, -h / 2), (s, -h / 2 - s)), ((0.0, h / 2 + R), (s, h / 2 + s))
    steps = ((0.0, -h / 2 - R), ArcStep(*lower), (R, h / 2), ArcStep(*upper))
    due = revolved(rod + 2 * cap, 0.0, axial, transverse)
    assert_agree(seen, Turned(steps).moments(), due)
    sharp = ((0.0, -h / 2 - R), (R, -h / 2 - R), (R, h / 2 + R), (0.0, h / 2 + R))
    assert_agree(seen, Turned(sharp, round=R * (1 - 1e-15)).moments(), due)


def test_torus(seen: Seen) -> None:
    """Ring R, tube r: V = 2 pi^2 R r^2, I = m (R^2 + 3/4 r^2), m (R^2 / 2 + 5 r^2 / 8) across."""
    R, r = 44.0, 13.0
    volume = 2 * pi**2 * R * r * r
    circle = tuple(Arc((R, 0.0), (r, r), start, pi) for start in (-pi / 2, pi / 2))
    due = revolved(
        volume, 0.0, volume * (R * R + 3 / 4 * r * r), volume * (R * R / 2 + 5 / 8 * r * r)
    )
    assert_agree(seen, Profile(circle).moments(), due)


@pytest.mark.parametrize(
    ("size", "radius"),
    [
        ((90.0, 104.0, 128.0), 18.0),
        ((90.0, 104.0, 128.0), 0.5),
        ((60.0, 61.0, 130.0), 29.9),
        ((40.0, 40.0, 40.0), 19.999999),
    ],
)
def test_rounded_box_by_quadrature(
    size: tuple[float, float, float], radius: float, seen: Seen
) -> None:
    """One octant, x by y in Gauss points, the height in z at each exact: no closed form in it."""
    inner = np.array(size) / 2 - radius
    volume, second = 0.0, np.zeros(3)
    for x, wx, rest in layers(inner[0], radius):
        for y, wy, left in layers(inner[1], rest):
            top = inner[2] + left
            weight = 8 * wx * wy
            volume += weight * top
            second += weight * np.array([x * x * top, y * y * top, top**3 / 3])
    due = Moments(volume, np.zeros(3), np.diag(second))
    assert_agree(seen, Box(size, radius).moments(), due)


def layers(flat: float, radius: float) -> list[tuple[float, float, float]]:
    """Coordinate, weight and the rounding left across it, from the middle to the rounded edge."""
    x, w = np.polynomial.legendre.leggauss(24)
    x, w = (x + 1) / 2, w / 2
    straight = [(float(flat * p), float(flat * q), radius) for p, q in zip(x, w, strict=True)]
    angle = x * pi / 2
    curved = zip(
        flat + radius * np.sin(angle),
        w * pi / 2 * radius * np.cos(angle),
        radius * np.cos(angle),
        strict=True,
    )
    return straight + [(float(a), float(b), float(c)) for a, b, c in curved]


BODIES = [
    Ellipsoid((80.0, 100.0, 130.0)),
    Box((70.0, 95.0, 120.0), 9.0),
    Turned(((0.0, -50.0), (40.0, -40.0), (25.0, 60.0), (0.0, 60.0))),
]
angle = st.floats(-360.0, 360.0)
shift = st.floats(-60.0, 60.0)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.sampled_from(BODIES), angle, angle, angle, st.tuples(shift, shift, shift))
def test_placing_turns_and_shifts_the_tensor(
    shape: Ellipsoid | Box | Turned,
    spin: float,
    by: float,
    toward: float,
    move: tuple[float, float, float],
) -> None:
    """I' = Q I Q^T about the centroid, and about any other point m (d^2 1 - d d^T) more.

    Q by SciPy: spin about Z, then a turn about the level axis across the azimuth of the lean.
    """
    hinge = np.array([-sin(np.radians(toward)), cos(np.radians(toward)), 0.0])
    about_z = Rotation.from_euler("z", spin, degrees=True)
    Q = (Rotation.from_rotvec(np.radians(by) * hinge) * about_z).as_matrix()
    drawn = shape.moments()
    placed = Placement(spin, by, toward, move).place(drawn)
    size = float(np.trace(drawn.inertia_mm5()))
    turned = Q @ drawn.inertia_mm5() @ Q.T
    assert placed.inertia_mm5() == pytest.approx(turned, rel=0, abs=1e-13 * size)
    d = Q @ drawn.centroid_mm() + np.array(move)
    assert placed.centroid_mm() == pytest.approx(d, abs=1e-11)
    shifted = turned + drawn.volume_mm3 * (d @ d * np.eye(3) - np.outer(d, d))
    about_origin = np.trace(placed.second_mm5) * np.eye(3) - placed.second_mm5
    assert about_origin == pytest.approx(shifted, rel=0, abs=1e-12 * size)
    triangle(placed)


def triangle(moments: Moments) -> None:
    """No principal moment exceeds the sum of the other two (Meriam & Kraige; from memory)."""
    low, middle, high = np.linalg.eigvalsh(moments.inertia_mm5())
    assert 0.0 < low <= high < low + middle


def test_what_is_left_of_a_body_keeps_the_triangle_inequality() -> None:
    nested = [Placed(Cylinder(d, 8.0)) for d in (20.0, 90.0, 90.1)]
    for moments in claims(nested):
        assert moments is not None
        triangle(moments)


def test_a_turned_body_is_the_sum_of_its_slices(seen: Seen) -> None:
    """Frusta stacked up, each by the handbook, make the body whose outline they share."""
    outline = [(0.0, -60.0), (30.0, -60.0), (50.0, -20.0), (35.0, 10.0), (42.0, 55.0), (0.0, 55.0)]
    total = Moments.zero()
    for (a, low), (b, high) in pairwise(outline):
        if (h := high - low) == 0.0:
            continue
        square, fourth = a * a + a * b + b * b, sum(a ** (4 - k) * b**k for k in range(5))
        volume = pi * h * square / 3
        height = h * (a * a + 2 * a * b + 3 * b * b) / (4 * square)
        axial = pi * h * fourth / 10
        transverse = pi * h * (fourth / 20 + h * h * (a * a + 3 * a * b + 6 * b * b) / 30)
        slab = revolved(volume, height, axial, transverse)
        total = total + slab.moved(np.array([0.0, 0.0, low]))
    assert_agree(seen, Turned(tuple(outline)).moments(), total)
