"""Lines of equal RG: on the cone they should be on, whole, and no further than the rim."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from pipeline.dossier.equal_rg import equal_rg, levels
from tests.pipeline.dossier.chart_rows import MASS_G, TENSORS

MM = 25.4


def rg(tensor: np.ndarray, directions: np.ndarray) -> np.ndarray:
    """In inches, from m RG^2 = n.I n written out (Goldstein, Classical Mechanics; from memory)."""
    x, y, z = directions.T
    (a, d, e), (_, b, f), (_, _, c) = tensor
    moment = a * x * x + b * y * y + c * z * z + 2.0 * (d * x * y + e * x * z + f * y * z)
    return np.asarray(np.sqrt(moment / MASS_G) / MM)


def turned(name: str, seed: int) -> np.ndarray:
    turn = Rotation.random(random_state=seed).as_matrix()
    return np.asarray(turn @ np.array(TENSORS[name]) @ turn.T)


CASES = [(name, seed) for name in TENSORS for seed in (0, 1, 2)]


@pytest.mark.parametrize(("name", "seed"), CASES)
def test_every_point_has_the_rg(name: str, seed: int) -> None:
    tensor = turned(name, seed)
    for level in levels(*np.sqrt(np.linalg.eigvalsh(tensor)[[0, 2]] / MASS_G) / MM)[0]:
        for curve in equal_rg(tensor, MASS_G, level):
            # a rim point lies between two of 720, so that it is off by the square of half a step
            assert rg(tensor, curve) == pytest.approx(level, abs=2e-6)


@pytest.mark.parametrize(("name", "seed"), CASES)
def test_no_point_is_below_the_rim(name: str, seed: int) -> None:
    tensor = turned(name, seed)
    curves = equal_rg(tensor, MASS_G, 2.56)
    assert min(float(curve[:, 2].min()) for curve in curves) >= 0.0


@pytest.mark.parametrize(("name", "seed"), CASES)
def test_a_line_closes_or_ends_on_the_rim(name: str, seed: int) -> None:
    for curve in equal_rg(turned(name, seed), MASS_G, 2.57):
        closed = np.allclose(curve[0], curve[-1])
        assert closed or (curve[0, 2] == 0.0 and curve[-1, 2] == 0.0)


@pytest.mark.parametrize(("name", "seed"), CASES)
@pytest.mark.parametrize("rise_deg", [20.0, 50.0, 80.0])
def test_a_circle_meets_the_lines_as_often_as_its_rg_passes_the_level(
    name: str, seed: int, rise_deg: float
) -> None:
    tensor = turned(name, seed)
    rise = np.radians(rise_deg)
    turn = np.linspace(0.0, 2.0 * np.pi, 7201)
    flat = np.sin(rise) * np.column_stack([np.cos(turn), np.sin(turn)])
    around = rg(tensor, np.column_stack([flat, np.full(len(turn), np.cos(rise))]))
    for level in (2.55, 2.56, 2.57, 2.58):
        passes = int(np.count_nonzero(np.diff(around > level)))
        curves = equal_rg(tensor, MASS_G, level)
        crossings = sum(int(np.count_nonzero(np.diff(c[:, 2] > np.cos(rise)))) for c in curves)
        assert crossings == passes


@settings(deadline=None)
@given(st.floats(2.3, 2.8), st.floats(1e-6, 0.2))
def test_levels_are_two_to_six_between_the_ends(low: float, spread: float) -> None:
    found, places = levels(low, low + spread)
    assert 1 < len(found) <= 6
    assert all(low < level < low + spread for level in found)
    assert [round(level, places) for level in found] == found
