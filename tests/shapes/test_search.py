"""The greatest value of functions whose greatest value is known."""

from __future__ import annotations

import numpy as np
import pytest

from shapes.search import highest, highest_of_square


@pytest.mark.parametrize("at", [0.0, 0.0001, 0.337, 0.5, 1.0])
def test_a_peak_on_a_line_and_at_its_ends(at: float) -> None:
    assert highest(lambda t: 3.0 - (t - at) ** 2) == pytest.approx(3.0, abs=1e-15)


def test_the_higher_of_two_peaks() -> None:
    def value(t: np.ndarray) -> np.ndarray:
        return np.exp(-((t - 0.2) ** 2) / 1e-3) + 1.001 * np.exp(-((t - 0.8013) ** 2) / 1e-3)

    assert highest(value) == pytest.approx(1.001, rel=1e-12)


@pytest.mark.parametrize(("u", "v"), [(0.0, 0.0), (0.31, 0.77), (1.0, 0.45)])
def test_a_peak_on_a_square_and_at_its_edge(u: float, v: float) -> None:
    def value(a: np.ndarray, b: np.ndarray) -> np.ndarray:
        return np.asarray(5.0 - (a - u) ** 2 - 2.0 * (b - v) ** 2 - 0.5 * (a - u) * (b - v))

    assert highest_of_square(value, 12) == pytest.approx(5.0, abs=1e-13)


def test_a_kink_is_found_too() -> None:
    assert highest(lambda t: 1.0 - np.abs(t - 0.123456)) == pytest.approx(1.0, abs=1e-10)
