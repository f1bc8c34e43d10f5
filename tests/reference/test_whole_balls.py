"""Whole balls against a second construction in Gmsh, and against their meshes in MuJoCo."""

from __future__ import annotations

from functools import lru_cache
from math import pi

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from pipeline.ball import Ball, build_ball
from pipeline.load import read_design
from pipeline.prove import prove
from pipeline.shipped import NAMES, shipped
from pipeline.solids import solids_of
from pipeline.units import G_PER_MM3, MM_PER_IN
from pipeline.weigh import MassProperties, weigh
from shapes.facets import facets_of
from tests.reference.gaps import Seen
from tests.reference.gmsh_ball import Weighed, weigh_in_gmsh
from tests.reference.mesh_inertia import layer, mesh_moments

HEAD = """
format: corewright 1
name: Test
revision: A
units: in
ball: {diameter: 8.55, weight: 14.5 lb}
materials:
  heavy: {density: 2.9}
  clay: {density: 1.9}
  foam: {density: free, from: 0.3, to: 1.6}
  shell: {density: 1.17}
parts:
"""
TAIL = """
  - {name: outer core, material: foam, shape: sphere, diameter: 7.05}
  - {name: cover, material: shell, shape: sphere, diameter: 8.55}
"""
PARTS = {
    "rod through the outer core": """
  - {name: rod, material: heavy, shape: cylinder, diameter: 1.5, height: 7.6, move: [0, 0, 0.1]}
  - {name: core, material: clay, shape: ellipsoid, size: [4, 4, 5]}""",
    "block through the outer core, leaning off centre": """
  - name: core
    material: clay
    shape: box
    size: [2.4, 3.1, 6.6]
    round: 0.4
    spin: 40
    tilt: {by: 22, toward: 75}
    move: [0.2, 0.15, 0.3]""",
    "leaning frustum with a flank block": """
  - name: weight
    material: heavy
    shape: box
    size: [0.8, 1.2, 2]
    round: 0.2
    move: [1.6, 0.2, 0]
  - name: core
    material: clay
    shape: turned
    profile: [[0, -2.4], [2.1, -2.4], [1.4, 2.6], [0, 2.6]]
    round: 0.3
    tilt: {by: 12, toward: 300}
    move: [0.1, 0, 0]""",
    "domed core with a waist": """
  - name: core
    material: clay
    shape: turned
    profile:
      - [0, -2.7]
      - [1.9, -2.7]
      - {spline: [[1.4, -0.6], [1.9, 1.5]], leave: [0.2, 1], arrive: [-0.2, 1]}
      - {arc: [0, 2.8], through: [1.15, 2.4]}
    round: 0.25
    move: [0, 0, 0.1]""",
}
TEXTS = {
    **{name: shipped(name).read_text(encoding="utf-8") for name in NAMES},
    **{name: HEAD + parts + TAIL for name, parts in PARTS.items()},
}
RG_IN = 1e-7  # both routes together, trimmed faces included; figures are printed to 1e-6 at best


@lru_cache
def twice(name: str) -> tuple[Ball, MassProperties, Weighed]:
    ball = build_ball(read_design(TEXTS[name]))
    return ball, weigh(ball), weigh_in_gmsh(TEXTS[name])


@pytest.mark.parametrize("name", TEXTS)
def test_the_same_ball_built_in_gmsh(name: str, seen: Seen) -> None:
    ball, found, due = twice(name)
    route = f"whole balls by {ball.route} and in Gmsh"
    assert seen(f"{route}, share of mass", abs(found.mass_g / due.mass - 1)) <= 1e-9
    rg = found.principal.rg_mm / MM_PER_IN
    other = due.rg_in()
    assert seen(f"{route}, in of RG", np.abs(rg - other).max()) <= RG_IN
    total = found.principal.total_differential_mm / MM_PER_IN
    between = found.principal.intermediate_differential_mm / MM_PER_IN
    apart = max(abs(total - (other[2] - other[0])), abs(between - (other[2] - other[1])))
    assert seen(f"{route}, in of a differential", apart) <= RG_IN
    shift = np.linalg.norm(found.centre_of_gravity_mm - due.centre) / MM_PER_IN
    assert seen(f"{route}, in of the centre of gravity", float(shift)) <= RG_IN


@pytest.mark.parametrize("name", TEXTS)
def test_every_part_has_the_same_volume(name: str, seen: Seen) -> None:
    ball, _, due = twice(name)
    for part, volume in zip(ball.parts, due.volumes, strict=True):
        apart = abs(part.claimed.volume_mm3 / volume - 1)
        assert seen("parts of whole balls and in Gmsh, share of volume", apart) <= 1e-7


@pytest.mark.parametrize("name", TEXTS)
def test_axes_point_the_same_way(name: str) -> None:
    """Each axis that is reported is an eigenvector of Gmsh's tensor, with its sign as promised."""
    _, found, due = twice(name)
    square = (due.rg_in() * MM_PER_IN) ** 2
    for axis, rg2 in zip(
        (found.principal.low, found.principal.intermediate, found.principal.high),
        square,
        strict=True,
    ):
        if axis is not None:
            off = due.inertia @ axis / due.mass - rg2 * axis
            assert np.linalg.norm(off) < 1e-6 * rg2
    low, high = found.principal.low, found.principal.high
    assert low is not None
    assert low[2] > 0
    assert high is None or high[0] > 0


@pytest.mark.parametrize("name", ["turnstone", "block through the outer core, leaning off centre"])
def test_meshes_of_the_parts_in_mujoco(name: str, seen: Seen) -> None:
    """Within what the sag of every triangle leaves open, composed with the densities."""
    ball, found, _ = twice(name)
    mass, first, second, held_mass, held = 0.0, np.zeros(3), np.zeros((3, 3)), 0.0, 0.0
    for one in solids_of(ball):
        density = one.part.density_g_cm3 * G_PER_MM3
        for lump in one.lumps:
            mesh = facets_of(lump, 0.05, 0.1)
            moments = mesh_moments(mesh)
            mass += density * moments.volume_mm3
            first += density * moments.first_mm4
            second += density * moments.second_mm5
            v, s = layer(mesh, np.zeros(3))
            held_mass, held = held_mass + density * v, held + density * s
    central = second - np.outer(first, first) / mass
    inertia = np.trace(central) * np.eye(3) - central
    rg = np.sqrt(np.linalg.eigvalsh(inertia) / mass) / MM_PER_IN
    low = float(found.principal.rg_mm[0])
    bound = (held + low**2 * held_mass) / found.mass_g / (2 * low) / MM_PER_IN
    gap = np.abs(rg - found.principal.rg_mm / MM_PER_IN).max()
    assert abs(mass - found.mass_g) <= held_mass
    assert seen("whole balls and meshes of 0.05 mm, share of the bound", gap / bound) <= 1.0
    seen("whole balls and meshes of 0.05 mm, in of RG", gap)


def test_a_leaning_ellipsoid_off_centre_in_closed_form(seen: Seen) -> None:
    """I = m (b^2 + c^2) / 5 turned by SciPy, moved by Steiner's theorem, put in place of foam.

    Gmsh's quadrature is no reference here: a stretched sphere is a rational spline to it.
    """
    text = """
  - name: core
    material: clay
    shape: ellipsoid
    size: [3.2, 4.1, 5.2]
    spin: 25
    tilt: {by: 30, toward: 200}
    move: [0.3, -0.2, 0.25]"""
    ball = build_ball(read_design(HEAD.replace("  heavy: {density: 2.9}\n", "") + text + TAIL))
    found = weigh(ball)
    a, b, c = 1.6, 2.05, 2.6
    core, mantle, whole = 4 / 3 * pi * a * b * c, 4 / 3 * pi * 3.525**3, 4 / 3 * pi * 4.275**3
    clay, shell = (d * MM_PER_IN**3 / 453592.37 for d in (1.9, 1.17))  # lb/in3
    foam = (14.5 - clay * core - shell * (whole - mantle)) / (mantle - core)
    azimuth = np.radians(200)
    hinge = np.array([-np.sin(azimuth), np.cos(azimuth), 0])
    turn = Rotation.from_rotvec(np.radians(30) * hinge) * Rotation.from_euler("z", np.radians(25))
    own = core / 5 * np.diag([b * b + c * c, c * c + a * a, a * a + b * b])
    d = np.array([0.3, -0.2, 0.25])
    own = turn.as_matrix() @ own @ turn.as_matrix().T + core * (d @ d * np.eye(3) - np.outer(d, d))
    spheres = 0.4 * ((foam - shell) * mantle * 3.525**2 + shell * whole * 4.275**2)
    centre = (clay - foam) * core * d / 14.5
    inertia = (clay - foam) * own + spheres * np.eye(3)
    inertia -= 14.5 * (centre @ centre * np.eye(3) - np.outer(centre, centre))
    rg = np.sqrt(np.linalg.eigvalsh(inertia) / 14.5)
    gap = np.abs(found.principal.rg_mm / MM_PER_IN - rg).max()
    assert ball.route == "moments"
    assert seen("whole balls in closed form, in of RG", gap) <= 1e-13
    assert found.centre_of_gravity_mm / MM_PER_IN == pytest.approx(centre, abs=1e-13)


def test_the_product_says_so_too() -> None:
    """Its own three routes agree on a ball whose parts share space askew."""
    ball, _, _ = twice("leaning frustum with a flank block")
    proof = prove(ball)
    assert ball.route == "boundary"
    assert proof.disagreements == ()
    assert [route.name for route in proof.routes] == ["boundary", "mesh"]
