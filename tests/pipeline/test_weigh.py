"""Figures of simple balls in closed form, and the marks on the surface."""

from __future__ import annotations

from math import pi, sqrt

import numpy as np
import pytest

from pipeline.ball import Ball, build_ball
from pipeline.load import read_design
from pipeline.weigh import MassProperties, weigh

IN, LB = 25.4, 453.59237


def ball(parts: str, materials: str, weight: str = "") -> Ball:
    text = f"""
format: corewright 1
name: Test
revision: A
units: in
ball: {{diameter: 8.55{weight}}}
materials: {{{materials}}}
parts: [{parts}, {{name: cover, material: shell, shape: sphere, diameter: 8.55}}]
"""
    return build_ball(read_design(text))


def weighed(
    parts: str, materials: str = "core: {density: 2}, shell: {density: 1}"
) -> MassProperties:
    return weigh(ball(parts, materials))


def test_a_sphere_in_a_sphere() -> None:
    """M = 4/3 pi (a R^3 + b r^3), I = 2/5 of each m R^2 (Beer & Johnston; from memory)."""
    found = weighed("{name: core, material: core, shape: sphere, diameter: 4}")
    outer, inner = 4 / 3 * pi * 4.275**3, 4 / 3 * pi * 2.0**3
    mass, inertia = outer + inner, 0.4 * (outer * 4.275**2 + inner * 4.0)
    assert found.mass_g == pytest.approx(mass * IN**3 / 1000)
    assert found.principal.rg_mm / IN == pytest.approx([sqrt(inertia / mass)] * 3, abs=1e-12)
    assert found.principal.symmetry == "spherical"
    assert found.pin_mm() is None
    assert found.cg_mark_mm() is None
    assert found.static_imbalance_g() == pytest.approx(0.0, abs=1e-9)


def test_an_off_centre_sphere() -> None:
    """The low-RG axis runs through both centres: an offset d along X adds m d^2 (Steiner)."""
    found = weighed("{name: core, material: core, shape: sphere, diameter: 4, move: [0, 0, 0.5]}")
    outer, inner = 4 / 3 * pi * 4.275**3, 4 / 3 * pi * 2.0**3
    mass = outer + inner
    shift = inner * 0.5 / mass
    along = 0.4 * (outer * 4.275**2 + inner * 4.0)
    across = along + inner * 0.25 - mass * shift**2
    assert found.centre_of_gravity_mm / IN == pytest.approx([0, 0, shift])
    rg = [sqrt(i / mass) for i in (along, across, across)]
    assert found.principal.rg_mm / IN == pytest.approx(rg, abs=1e-12)
    about_centre = sqrt((along + inner * 0.25) / mass)
    assert found.about_ball_centre.rg_mm[2] / IN == pytest.approx(about_centre, abs=1e-12)
    assert found.static_imbalance_g() == pytest.approx(inner * IN**3 / 1000 * 0.5 / 4.275)
    assert found.pin_to_cg_mm() == pytest.approx(0.0, abs=1e-6)


def test_a_heavy_side_below_puts_the_mark_opposite_the_pin() -> None:
    found = weighed("{name: core, material: core, shape: sphere, diameter: 4, move: [0, 0, -0.5]}")
    assert found.pin_to_cg_mm() == pytest.approx(pi * 4.275 * IN)


def test_pin_is_where_the_axis_through_the_centre_of_gravity_leaves() -> None:
    """A tall core moved sideways: its axis stays upright but passes beside the centre."""
    found = weighed(
        "{name: core, material: core, shape: cylinder, diameter: 2, height: 5, move: [0.5, 0, 0]}"
    )
    pin, axis = found.pin_mm(), found.principal.low
    assert pin is not None
    assert axis is not None
    assert np.linalg.norm(pin) == pytest.approx(4.275 * IN)
    off = np.cross(pin - found.centre_of_gravity_mm, axis)
    assert np.linalg.norm(off) == pytest.approx(0.0, abs=1e-9)


def test_an_ellipsoid_core_reads_by_its_sizes() -> None:
    """I_z = m (a^2 + b^2) / 5 (Beer & Johnston; from memory): the longest size has the low RG."""
    found = weighed("{name: core, material: core, shape: ellipsoid, size: [3, 4, 5], spin: 30}")
    outer, inner = 4 / 3 * pi * 4.275**3, 4 / 3 * pi * 1.5 * 2 * 2.5
    mass = outer + inner
    due = sorted(
        sqrt((0.4 * outer * 4.275**2 + inner * s / 5) / mass)
        for s in (1.5**2 + 2**2, 2**2 + 2.5**2, 1.5**2 + 2.5**2)
    )
    assert found.principal.rg_mm / IN == pytest.approx(due, abs=1e-12)
    turn = np.radians(30)
    assert found.principal.high == pytest.approx([np.cos(turn), np.sin(turn), 0])


def test_turning_a_core_turns_its_axes_and_keeps_its_rgs() -> None:
    core = "{{name: core, material: core, shape: box, size: [3, 3.6, 4.5], round: 0.4{0}}}"
    straight = weighed(core.format(""))
    tilted = weighed(core.format(", spin: 20, tilt: {by: 35, toward: 50}"))
    assert tilted.principal.rg_mm == pytest.approx(straight.principal.rg_mm, abs=1e-9)
    lean, toward = np.radians(35), np.radians(50)
    due = [np.sin(lean) * np.cos(toward), np.sin(lean) * np.sin(toward), np.cos(lean)]
    assert tilted.principal.low == pytest.approx(due)
