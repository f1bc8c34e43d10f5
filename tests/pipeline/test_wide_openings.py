"""Wedges of more than half a turn, which `Wish` allows up to 300 deg: true cuts as any other."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from pipeline.cutaway import Wedge
from pipeline.shells import CHORD_MM
from tests.pipeline.cut_balls import RADIUS, area, ball, cut_all

OPENINGS = [190.0, 240.0, 300.0]
SAG = 3.0 * CHORD_MM / RADIUS  # of a volume or an area, as a share; as in test_cutaway.py


@pytest.mark.parametrize("opening", OPENINGS)
def test_a_wide_wedge_leaves_its_share_of_a_sphere(opening: float) -> None:
    """Volume 4/3 pi R3 (1 - angle / 360), by the divergence theorem."""
    total = 0.0
    for shell in cut_all(ball(), Wedge(-45.0, opening)):
        a, b, c = (shell.points_mm[shell.triangles[:, k]] for k in range(3))
        total += float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6.0)
    due = 4.0 / 3.0 * pi * RADIUS**3 * (1.0 - opening / 360.0)
    assert total == pytest.approx(due, rel=SAG)


@pytest.mark.parametrize("opening", OPENINGS)
def test_a_wide_wedge_leaves_two_walls_of_half_a_disc(opening: float) -> None:
    walls = [area(shell) for shell in cut_all(ball(), Wedge(-45.0, opening)) if shell.cut]
    assert walls == pytest.approx([pi * RADIUS**2 / 2.0] * 2, rel=SAG)
