"""Whole drilled balls against solids: the product's own cuts, and booleans in Gmsh.

In Gmsh a ball is made of primitives: spheres, cylinders, cones, and as its core either a stretched
sphere or half an ellipse that is turned.  A stretched sphere is a rational spline to it, of which
its quadrature finds no more than three digits; so undrilled bodies stand in closed form, as in
handbooks (Beer & Johnston; from memory), and Gmsh weighs what the holes take of each.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import lru_cache
from itertools import pairwise
from math import cos, pi, radians, sin, sqrt, tan

import gmsh
import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from pipeline.ball import build_ball
from pipeline.drilled import Drilled, drill
from pipeline.load import read_design
from pipeline.prove_drilled import drilled_route, prove_drilled
from pipeline.units import MM_PER_IN
from tests.reference.gaps import Seen

Array = np.ndarray
occ = gmsh.model.occ
RADIUS = 8.55 / 2 * MM_PER_IN
BALL = """
format: corewright 1
name: Test
revision: A
units: in
ball: {diameter: 8.55}
materials: {clay: {density: 2.2}, foam: {density: 0.9}, shell: {density: 1.17}}
parts:
  - name: core
    material: clay
    shape: ellipsoid
    size: %s
    tilt: {by: 15, toward: 40}
    move: [0.1, 0, 0.2]
  - {name: outer core, material: foam, shape: sphere, diameter: 7.05}
  - {name: cover, material: shell, shape: sphere, diameter: 8.55}
drilling:
"""
ASYMMETRICAL, ROUND = BALL % "[3.2, 4.1, 5.2]", BALL % "[3.4, 3.4, 5.2]"
GRIP = """
  hand: right
  grip:
    middle: {span: 4 3/8, diameter: 31/32, depth: 2.5, bevel: 1/16}
    ring: {span: 4 5/16, diameter: 15/16, depth: 2.5, reverse: 1/8}
    bridge: 0.25
    thumb: {diameter: 1, depth: 2.75, bottom: {point: 118}, reverse: 3/8, left: 1/8}
  axis_point: {over: 5, up: 1/2}
  layout:
    pin_to_axis_point: 4
    pin_to_val: 2
    pin: above
    mark_to_axis_point: 4.5
    mark: below
"""
MEETING = """
  holes:
    - name: thumb
      use: thumb
      at: {arc: 4.5, azimuth: 200}
      towards: [0.3, -0.2, 0.4]
      diameter: 1
      depth: 2.75
      bottom: {point: 118}
    - name: middle
      use: finger
      at: {arc: 1.5, azimuth: 40}
      diameter: 25/32
      depth: 3
      insert: {bore: 31/32, depth: 1.25, density: 1.1}
    - name: ring
      use: finger
      at: {arc: 1.5, azimuth: -22}
      diameter: 3/4
      depth: 2.8
      insert: {bore: 31/32, depth: 1.25, density: 1.1}
    - name: vent
      use: vent
      at: {arc: 3.4, azimuth: 195}
      towards: [-1.55, -0.7, 1.5]
      diameter: 1/8
      depth: 2
"""
DESIGNS = {
    "asymmetrical core, grip and layout": ASYMMETRICAL + GRIP,
    "inserts, a vent and holes that meet": ROUND + MEETING,
}


@pytest.mark.parametrize("name", DESIGNS)
def test_columns_and_cut_solids(name: str, seen: Seen) -> None:
    """Contour integrals over the faces that the CAD kernel leaves, and a mesh of them."""
    proof = prove_drilled(*drilled_route(build_ball(read_design(DESIGNS[name]))))
    assert [route.name for route in proof.routes] == ["columns", "boundary", "mesh"]
    assert proof.disagreements == ()
    columns, boundary, _ = (route.properties for route in proof.routes)
    apart = np.abs(columns.principal.rg_mm - boundary.principal.rg_mm).max() / MM_PER_IN
    assert seen("drilled balls by columns and by cut solids, in of RG", apart) <= 5e-7
    shift = np.linalg.norm(columns.centre_of_gravity_mm - boundary.centre_of_gravity_mm)
    assert seen("drilled balls by columns and by cut solids, mm of the centre", shift) <= 1e-5


# ---- Gmsh

HOLES = """
  holes:
    - name: thumb
      use: thumb
      at: {arc: 4.1, azimuth: 200}
      towards: [0.3, -0.2, 0.4]
      diameter: 1
      depth: 3
      bottom: {point: 118}
    - name: middle
      use: finger
      at: {arc: 1.5, azimuth: 40}
      diameter: 1
      depth: 3.2
    - name: ring
      use: finger
      at: {arc: 1.5, azimuth: -22}
      diameter: 0.9
      depth: 2.9
      bevel: 0.1
"""


@pytest.fixture
def kernel() -> Iterator[None]:
    """Gmsh, from start to end."""
    gmsh.initialize(interruptible=False)
    gmsh.option.setNumber("General.Terminal", 0)
    yield
    gmsh.finalize()


@lru_cache
def drilled(ball: str) -> Drilled:
    found = drill(build_ball(read_design(ball + HOLES)))
    assert found is not None
    return found


def surface_in(arc: float, azimuth: float) -> Array:
    polar, about = arc / (8.55 / 2), radians(azimuth)
    return 8.55 / 2 * np.array([sin(polar) * cos(about), sin(polar) * sin(about), cos(polar)])


def bits() -> list[tuple[int, int]]:
    """The three holes: cylinders from their bottoms to well outside, a tip and a broken edge."""
    thumb, middle, ring = (surface_in(*at) for at in ((4.1, 200), (1.5, 40), (1.5, -22)))
    made = []

    def rod(at: Array, way: Array, depth: float, diameter: float) -> Array:
        deep = at + depth * way
        made.append((3, occ.addCylinder(*deep, *(-(depth + 2) * way), diameter / 2)))
        return deep

    way = np.array([0.3, -0.2, 0.4]) - thumb
    way /= np.linalg.norm(way)
    end = rod(thumb, way, 3.0, 1.0)
    made.append((3, occ.addCone(*end, *(0.5 / tan(radians(59)) * way), 0.5, 0)))
    rod(middle, -middle / np.linalg.norm(middle), 3.2, 1.0)
    out = ring / np.linalg.norm(ring)
    rod(ring, -out, 2.9, 0.9)
    neck = sqrt((8.55 / 2) ** 2 - 0.55**2) - 0.1  # 45 degrees up to 0.55 in on the surface
    made.append((3, occ.addCone(*(neck * out), *(0.2 * out), 0.45, 0.65)))
    fused, _ = occ.fuse(made[:1], made[1:])
    return [(int(dim), int(tag)) for dim, tag in fused]


def moments_of(solids: list[tuple[int, int]]) -> tuple[float, Array, Array]:
    """Volume, first moment and inertia about the origin, in."""
    volume, first, inertia = 0.0, np.zeros(3), np.zeros((3, 3))
    for _, tag in solids:
        v, c = occ.getMass(3, tag), np.array(occ.getCenterOfMass(3, tag))
        volume, first = volume + v, first + v * c
        inertia += np.reshape(occ.getMatrixOfInertia(3, tag), (3, 3)) + steiner(v, c)
    return volume, first, inertia


def steiner(mass: float, c: Array) -> Array:
    return np.asarray(mass * (c @ c * np.eye(3) - np.outer(c, c)))


def stretched(semi: Array) -> tuple[int, int]:
    body = 3, occ.addSphere(0, 0, 0, 1)
    occ.dilate([body], 0, 0, 0, *semi)
    return body


def turned(semi: Array) -> tuple[int, int]:
    """Round about Z, and taller than wide."""
    a, same, c = semi
    assert a == same
    assert a < c
    ends = [occ.addPoint(0, 0, -c), occ.addPoint(a, 0, 0), occ.addPoint(0, 0, c)]
    centre = occ.addPoint(0, 0, 0)
    arcs = [occ.addEllipseArc(p, centre, ends[2], q) for p, q in pairwise(ends)]
    face = occ.addPlaneSurface([occ.addCurveLoop([*arcs, occ.addLine(ends[2], ends[0])])])
    made = occ.revolve([(2, face)], 0, 0, 0, 0, 0, 1, 2 * pi)
    (body,) = [(dim, tag) for dim, tag in made if dim == 3]
    return body


@pytest.mark.usefixtures("kernel")
@pytest.mark.parametrize(
    ("ball", "size", "core_of", "bound_in"),
    [(ASYMMETRICAL, (3.2, 4.1, 5.2), stretched, 1e-5), (ROUND, (3.4, 3.4, 5.2), turned, 5e-7)],
    ids=["stretched sphere", "turned ellipse"],
)
def test_a_whole_drilled_ball_in_gmsh(
    seen: Seen,
    ball: str,
    size: tuple[float, float, float],
    core_of: Callable[[Array], tuple[int, int]],
    bound_in: float,
) -> None:
    """Mass, centre and RGs, g/cm3 in^n."""
    semi, move = np.array(size) / 2, np.array([0.1, 0, 0.2])
    lean = radians(15) * np.array([-sin(radians(40)), cos(radians(40)), 0])
    turn = Rotation.from_rotvec(lean).as_matrix()
    core = core_of(semi)
    occ.rotate([core], 0, 0, 0, *lean, radians(15))
    occ.translate([core], *move)
    bodies = [core, *((3, occ.addSphere(0, 0, 0, r)) for r in (3.525, 4.275))]
    holes = bits()
    mass, first, inertia = 0.0, np.zeros(3), np.zeros((3, 3))
    across = np.diag(semi @ semi - semi**2) / 5
    whole = [
        (semi.prod(), move, turn @ across @ turn.T),
        (3.525**3, np.zeros(3), 0.4 * 3.525**2 * np.eye(3)),
        (4.275**3, np.zeros(3), 0.4 * 4.275**2 * np.eye(3)),
    ]
    denser = (2.2 - 0.9, 0.9 - 1.17, 1.17)  # than what is round it
    for body, (cube, centre, square), density in zip(bodies, whole, denser, strict=True):
        volume = 4 / 3 * pi * cube
        taken, _ = occ.intersect(occ.copy([body]), occ.copy(holes))
        v, f, i = moments_of(taken)
        assert v > 0
        mass += density * (volume - v)
        first += density * (volume * centre - f)
        inertia += density * (volume * square + steiner(volume, centre) - i)
    centre = first / mass
    rg = np.sqrt(np.linalg.eigvalsh(inertia - steiner(mass, centre)) / mass)
    found = drilled(ball).properties
    error = np.abs(found.principal.rg_mm / MM_PER_IN - rg).max()
    assert seen(f"drilled balls in Gmsh, {core_of.__name__} core, in of RG", error) <= bound_in
    share = abs(found.mass_g / (mass * 2.54**3) - 1)
    assert share <= bound_in
    shift = np.linalg.norm(found.centre_of_gravity_mm / MM_PER_IN - centre)
    assert shift <= 3 * bound_in


@pytest.mark.usefixtures("kernel")
def test_the_cover_that_is_left_in_gmsh(seen: Seen) -> None:
    """Cut, not composed: the ball less the outer core less the holes, in one solid."""
    ball, mantle = ((3, occ.addSphere(0, 0, 0, r)) for r in (4.275, 3.525))
    left, _ = occ.cut([ball], [mantle, *bits()])
    assert len(left) == 1
    volume, first, inertia = moments_of(left)
    found = drilled(ROUND).left[2]
    error = abs(found.volume_mm3 / MM_PER_IN**3 / volume - 1)
    assert seen("drilled covers cut in Gmsh, share of volume", error) <= 1e-6
    assert found.first_mm4 / MM_PER_IN**4 == pytest.approx(first, abs=1e-5 * volume)
    second = found.second_mm5 / MM_PER_IN**5
    due = np.trace(second) * np.eye(3) - second
    assert due == pytest.approx(inertia, abs=1e-6 * inertia.max())


@pytest.mark.usefixtures("kernel")
def test_an_insert_that_is_left_in_gmsh(seen: Seen) -> None:
    """The bore in the ball, less both finger holes: the ring finger's hole cuts into it, too."""
    found = drill(build_ball(read_design(ROUND + MEETING)))
    assert found is not None
    middle, ring = surface_in(1.5, 40), surface_in(1.5, -22)
    inward = -middle / np.linalg.norm(middle), -ring / np.linalg.norm(ring)

    def rod(at: Array, way: Array, depth: float, diameter: float) -> tuple[int, int]:
        return 3, occ.addCylinder(*(at + depth * way), *(-(depth + 2) * way), diameter / 2)

    bore, ball = rod(middle, inward[0], 1.25, 31 / 32), (3, occ.addSphere(0, 0, 0, 4.275))
    filled, _ = occ.intersect([bore], [ball])
    holes = [rod(middle, inward[0], 3, 25 / 32), rod(ring, inward[1], 2.8, 3 / 4)]
    volume, first, _ = moments_of(occ.cut(filled, holes)[0])
    (fill, _) = found.fills
    error = abs(fill.moments.volume_mm3 / MM_PER_IN**3 / volume - 1)
    assert seen("inserts cut in Gmsh, share of volume", error) <= 1e-5
    centre = fill.moments.centroid_mm() / MM_PER_IN
    assert centre == pytest.approx(first / volume, abs=1e-5)
