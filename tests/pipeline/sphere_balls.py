"""Balls made of spheres on the pin axis, which weigh in closed form.

By the roles of parts the largest sphere inside the outer core is an outer core itself, and the slug
the inner core; in `LET_IN` it is an insert.
"""

from __future__ import annotations

from math import pi, sqrt

import numpy as np

IN, LB = 25.4, 453.59237
SPHERES = """\
format: corewright 1
name: Spheres
revision: A
units: in
ball: {diameter: 8.55, weight: 15 lb}
materials:
  heavy: {density: 3.0}
  clay: {density: 2.0}
  foam: {density: free, from: 0.55, to: 1.60}
  shell: {density: 1.17}
parts:
  - {name: slug, material: heavy, shape: sphere, diameter: 1.5, move: [0, 0, 1.0]}
  - {name: inner core, material: clay, shape: sphere, diameter: 4}
  - {name: outer core, material: foam, shape: sphere, diameter: 7}
  - {name: cover, material: shell, shape: sphere, diameter: 8.55}
"""


def swapped(source: str, *changes: tuple[str, str]) -> str:
    """A text with pieces of it replaced, each of which must be there once."""
    for old, new in changes:
        assert source.count(old) == 1, old
        source = source.replace(old, new)
    return source


def mass_g(density: float, radius_in: float) -> float:
    """Of a sphere."""
    return density * 4.0 / 3.0 * pi * (radius_in * IN / 10.0) ** 3


def rgs_in(spheres: list[tuple[float, float, float]]) -> tuple[float, float]:
    """RG about Z and across it, in, of spheres on the Z axis, each 2/5 m R^2 about its own centre.

    Args:
        spheres: density over that of what it lies in, radius and height, g/cm3 and in.
    """
    masses = np.array([mass_g(d, r) for d, r, _ in spheres])
    radii, heights = np.array([s[1] for s in spheres]), np.array([s[2] for s in spheres])
    centre = (masses @ heights) / masses.sum()
    own = masses @ (0.4 * radii**2)
    across = own + masses @ (heights - centre) ** 2
    return sqrt(own / masses.sum()), sqrt(across / masses.sum())


LET_IN = swapped(SPHERES, ("sphere, diameter: 4}", "cylinder, diameter: 3, height: 4}"))
LET_IN_G = 2.0 * pi * 1.5**2 * 4.0 * 2.54**3  # of its core, were the slug of clay as well


def foam(core_g: float, core_radius_in: float) -> float:
    """The density of foam that makes 15 lb of `SPHERES` round a core within such a sphere."""
    shell = mass_g(1.17, 4.275) - mass_g(1.17, 3.5)
    return (15.0 * LB - core_g - shell) / (mass_g(1.0, 3.5) - mass_g(1.0, core_radius_in))
