"""Turned profiles against outlines that SciPy draws and integrates."""

from __future__ import annotations

from itertools import pairwise
from math import cos, pi, sin, sqrt

import numpy as np
import pytest
from scipy.integrate import quad

from shapes.errors import ShapeError
from shapes.moments import Moments
from shapes.turned import ArcStep, SplineStep, Turned
from tests.reference.gaps import Seen, gaps
from tests.reference.outlines import Point, arc_through, line, moments, rounded, spline

QUADRATURE = 1e-11  # inches of RG, or a share: what adaptive quadrature promises
FILLETS = 1e-10  # two root finders that meet


def assert_agree(seen: Seen, what: str, found: Moments, due: Moments, bound: float) -> None:
    gap = gaps(found, due)
    assert seen(f"{what}, in of RG", gap.rg_in) <= bound
    assert seen(f"{what}, share of volume", gap.volume) <= bound
    assert gap.centre_in <= bound


def random_points(seed: int) -> list[Point]:
    """A waisted or bellied outline between two axis points, five to nine points."""
    g = np.random.default_rng(seed)
    z = np.linspace(-60.0, 60.0, int(g.integers(5, 10))) + g.uniform(-3.0, 3.0)
    r = g.uniform(28.0, 50.0, len(z))
    r[0] = r[-1] = 0.0
    return [(float(a), float(b)) for a, b in zip(r, z, strict=True)]


@pytest.mark.parametrize("seed", range(12))
def test_natural_spline_from_pole_to_pole(seed: int, seen: Seen) -> None:
    points = random_points(seed)
    try:
        body = Turned((points[0], SplineStep(tuple(points[1:]))))
    except ShapeError:  # it swings through the axis or too far out: no body, and so told
        pytest.fail(f"draw {seed} makes no body: choose another")
    assert_agree(seen, "splines", body.moments(), moments([spline(points)]), QUADRATURE)


@pytest.mark.parametrize(
    ("leave", "arrive"),
    [
        ((1.0, 0.0), (-1.0, 0.0)),  # domed at both poles
        ((3.0, -0.5), None),
        (None, (-2.0, 1.0)),
        ((1.0, 1.0), (-5.0, 5.0)),
    ],
)
def test_clamped_ends(leave: Point | None, arrive: Point | None, seen: Seen) -> None:
    points = [(0.0, -50.0), (30.0, -42.0), (41.0, 0.0), (33.0, 38.0), (0.0, 52.0)]
    body = Turned((points[0], SplineStep(tuple(points[1:]), leave, arrive)))
    due = moments([spline(points, leave, arrive)])
    assert_agree(seen, "splines", body.moments(), due, QUADRATURE)


def test_lines_arcs_and_a_spline_in_one_outline(seen: Seen) -> None:
    body = Turned(
        (
            (0.0, -62.0),
            (45.0, -62.0),
            ArcStep((45.0, -40.0), (34.0, -51.0)),  # hollowed: centre outside the body
            SplineStep(((52.0, 0.0), (40.0, 30.0))),
            ArcStep((0.0, 64.0), (26.0, 56.0)),
        )
    )
    pieces = [
        line((0.0, -62.0), (45.0, -62.0)),
        arc_through((45.0, -62.0), (34.0, -51.0), (45.0, -40.0)),
        spline([(45.0, -40.0), (52.0, 0.0), (40.0, 30.0)]),
        arc_through((40.0, 30.0), (26.0, 56.0), (0.0, 64.0)),
    ]
    assert_agree(seen, "lines, arcs and splines", body.moments(), moments(pieces), QUADRATURE)


@pytest.mark.parametrize("radius", [0.5, 4.0, 9.0])
def test_convex_and_hollow_right_angles(radius: float, seen: Seen) -> None:
    """A stepped rod with every edge rounded: r(z) written out, moments by its discs."""
    wide, narrow, half = 48.0, 27.0, 40.0

    def r(z: float) -> float:
        if z < -half + radius:  # lower rim
            return wide - radius + sqrt(max(0.0, radius**2 - (half - radius + z) ** 2))
        if -radius < z <= 0.0:  # shoulder
            return wide - radius + sqrt(max(0.0, radius**2 - (z + radius) ** 2))
        if 0.0 < z < radius:  # hollow corner: material is added
            return narrow + radius - sqrt(max(0.0, radius**2 - (radius - z) ** 2))
        if z > half - radius:  # upper rim
            return narrow - radius + sqrt(max(0.0, radius**2 - (z - half + radius) ** 2))
        return wide if z < 0.0 else narrow

    cuts = (-half, -half + radius, -radius, 0.0, radius, half - radius, half)
    steps = (
        (0.0, -half),
        (wide, -half),
        (wide, 0.0),
        (narrow, 0.0),
        (narrow, half),
        (0.0, half),
    )
    due = by_discs(r, cuts)
    assert_agree(seen, "fillets", Turned(steps, radius).moments(), due, 1e-9)


def by_discs(r: object, cuts: tuple[float, ...]) -> Moments:
    """Moments from a radius as a function of height, smooth between the cuts."""
    assert callable(r)

    def over(power: int, of_z: int) -> float:
        return sum(
            quad(lambda z: r(z) ** power * z**of_z, a, b, epsabs=1e-7, epsrel=1e-12, limit=400)[0]
            for a, b in pairwise(cuts)
        )

    return Moments.of_revolution(
        pi * over(2, 0), pi * over(2, 1), pi / 4 * over(4, 0), pi * over(2, 2)
    )


def test_a_slanted_corner_loses_its_kite_less_a_sector(seen: Seen) -> None:
    """Pappus: volume = 2 pi x area x distance of its centroid from the axis.

    A corner that turns by t, rounded with q, loses the kite between its two tangent points, corner
    and centre less the sector of angle t: areas q^2 tan(t/2) and q^2 t/2; the sector's centroid
    lies 2/3 q sin(t/2) / (t/2) from the centre, the kite's follows from its two triangles.
    """
    q, r, h, lean = 6.0, 40.0, 50.0, np.radians(25.0)
    top = r - h * np.tan(lean)  # the flank leans inwards; its upper corner is blunt
    steps = ((0.0, 0.0), (r, 0.0), (top, h), (0.0, h))
    lost = 0.0
    for corner, before, after in (
        (np.array([r, 0.0]), np.array([1.0, 0.0]), np.array([-sin(lean), cos(lean)])),
        (np.array([top, h]), np.array([-sin(lean), cos(lean)]), np.array([-1.0, 0.0])),
    ):
        t = np.arccos(before @ after)
        inward = (after - before) / np.linalg.norm(after - before)
        centre = corner + inward * q / np.cos(t / 2)
        a, b = corner - before * q * np.tan(t / 2), corner + after * q * np.tan(t / 2)
        kite = q * q * np.tan(t / 2)
        kite_r = ((corner + centre + a)[0] / 3 + (corner + centre + b)[0] / 3) / 2
        sector = q * q * t / 2
        sector_r = centre[0] - inward[0] * 2 / 3 * q * np.sin(t / 2) / (t / 2)
        lost += 2 * pi * (kite * kite_r - sector * sector_r)
    sharp, blunt = Turned(steps).moments().volume_mm3, Turned(steps, q).moments().volume_mm3
    assert seen("fillets, share of what they take", abs((sharp - blunt) / lost - 1)) <= 1e-11


@pytest.mark.parametrize("radius", [0.8, 3.0, 6.0])
def test_fillets_between_splines_lines_and_arcs(radius: float, seen: Seen) -> None:
    foot, belt = (52.0, -60.0), (46.0, -38.0)
    barrel = ((53.0, 2.0), (38.0, 34.0))
    body = Turned(
        (
            (0.0, -60.0),
            foot,
            (52.0, -49.0),
            belt,
            SplineStep(barrel),
            ArcStep((0.0, 65.0), (24.0, 57.0)),
        ),
        radius,
    )
    pieces = rounded(
        [
            line((0.0, -60.0), foot),
            line(foot, (52.0, -49.0)),
            line((52.0, -49.0), belt),
            spline([belt, *barrel]),
            arc_through(barrel[-1], (24.0, 57.0), (0.0, 65.0)),
        ],
        radius,
    )
    assert sum(piece.kind == "arc" for piece in pieces) == 5
    assert_agree(seen, "fillets of splines and arcs", body.moments(), moments(pieces), FILLETS)
