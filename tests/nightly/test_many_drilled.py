"""Many drilled balls, holes strewn at random, weighed by columns and by cut solids."""

from __future__ import annotations

import numpy as np
import pytest

from pipeline.ball import build_ball
from pipeline.errors import BallError
from pipeline.load import read_design
from pipeline.prove_drilled import drilled_route, prove_drilled

CORES = (
    "shape: ellipsoid, size: [3.4, 3.9, 4.9], tilt: {by: 15, toward: 40}",
    "shape: box, size: [3, 3.4, 4.2], round: 0.4, tilt: {by: 10, toward: 20}",
    "shape: flared, tilt: {by: 20, toward: 60}",
    "shape: flats",
    "shape: scallops",
    "shape: lobed",
    "shape: bossed",
    "shape: bulb, move: [0, 0, 0.2]",
    "shape: cylinder, diameter: 3.2, height: 4.4",
    "shape: twisted",
    "shape: harmonic",
    "shape: tee",
    "shape: superellipsoid",
)
BALL = """format: corewright 1
name: Plover
revision: A
units: in
ball: {diameter: 8.55}
materials: {clay: {density: 2.2}, foam: {density: 0.9}, shell: {density: 1.17}}
parts:
  - {name: inner core, material: clay, %s}
  - {name: outer core, material: foam, shape: sphere, diameter: 7.05}
  - {name: cover, material: shell, shape: sphere, diameter: 8.55}
drilling:
  holes:
%s
"""


def hole(rng: np.random.Generator, k: int) -> str:
    """A hole of any place and lean: through a pole now and then, out of the side now and then."""
    arc, azimuth = rng.uniform(0.0, 13.4), rng.uniform(0.0, 360.0)
    towards = rng.normal(size=3) * (0.15 if rng.uniform() < 0.6 else 1.2)
    if rng.uniform() < 0.15:
        arc, azimuth = rng.choice([0.0, 6.715, 13.42]), rng.choice([0.0, 90.0])
        towards = np.zeros(3)
    diameter, depth = rng.uniform(0.25, 1.3), rng.uniform(0.5, 4.0)
    more = rng.choice(["", f", bottom: {{point: {rng.uniform(90.0, 150.0):.1f}}}"])
    if rng.uniform() < 0.3:
        bore = diameter + rng.uniform(0.1, 0.3)
        more += f", insert: {{bore: {bore:.4f}, depth: {rng.uniform(0.5, 2.0):.4f}, density: 1.1}}"
    if rng.uniform() < 0.3:
        more += f", bevel: {rng.uniform(0.02, 0.12):.4f}"
    x, y, z = towards
    return (
        f"    - {{name: hole {k}, use: finger, at: {{arc: {arc:.4f}, azimuth: {azimuth:.3f}}}, "
        f"towards: [{x:.4f}, {y:.4f}, {z:.4f}], diameter: {diameter:.4f}, "
        f"depth: {depth:.4f}{more}}}"
    )


@pytest.mark.parametrize("seed", range(40))
def test_columns_and_cut_solids_agree_or_the_hole_is_named(seed: int) -> None:
    rng = np.random.default_rng(seed)
    holes = "\n".join(hole(rng, k) for k in range(rng.integers(1, 6)))
    ball = build_ball(read_design(BALL % (CORES[seed % len(CORES)], holes)))
    drilled, route = drilled_route(ball)
    try:
        told = prove_drilled(drilled, route).disagreements
    except BallError as error:
        told = () if "'hole " in str(error) else (str(error),)
    assert told == ()
