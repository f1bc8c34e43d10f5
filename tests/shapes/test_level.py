"""Areas within discs against SciPy's integrals over the same discs."""

from __future__ import annotations

from math import pi, sqrt

import numpy as np
import pytest
from scipy.integrate import quad

from shapes.level import segment, shared, summed


def by_quadrature(low: float, high: float, width: object) -> list[float]:
    """Area, int x, int x^2 and int y^2 of what lies within +-width(x) between two x."""
    assert callable(width)
    inner = {"epsabs": 1e-10, "limit": 200}
    return [
        quad(lambda x: 2 * width(x), low, high, **inner)[0],
        quad(lambda x: 2 * x * width(x), low, high, **inner)[0],
        quad(lambda x: 2 * x * x * width(x), low, high, **inner)[0],
        quad(lambda x: 2 / 3 * width(x) ** 3, low, high, **inner)[0],
    ]


def rim(radius: float, middle: float = 0.0) -> object:
    return lambda x: sqrt(max(radius**2 - (x - middle) ** 2, 0.0))


@pytest.mark.parametrize("chord", [-7.0, -2.0, 0.0, 3.5, 9.9])
def test_a_segment_of_a_disc(chord: float) -> None:
    due = by_quadrature(chord, 10.0, rim(10.0))
    assert [float(v) for v in segment(10.0, chord)] == pytest.approx(due, abs=1e-6)


def test_a_line_past_the_rim_takes_nothing_and_one_before_it_all() -> None:
    assert [float(v) for v in segment(10.0, 12.0)] == pytest.approx([0, 0, 0, 0], abs=1e-12)
    whole = [pi * 100.0, 0.0, pi * 1e4 / 4, pi * 1e4 / 4]
    assert [float(v) for v in segment(10.0, -12.0)] == pytest.approx(whole, abs=1e-9)


@pytest.mark.parametrize(("other", "apart"), [(6.0, 8.0), (14.0, 7.0), (6.0, -9.0), (10.0, 10.0)])
def test_what_two_discs_share(other: float, apart: float) -> None:
    one, two = rim(10.0), rim(other, apart)
    low, high = max(-10.0, apart - other), min(10.0, apart + other)
    due = by_quadrature(low, high, lambda x: min(one(x), two(x)))
    assert [float(v) for v in shared(10.0, other, apart)] == pytest.approx(due, abs=1e-5)


def test_discs_apart_share_nothing_and_one_within_the_other_is_shared_whole() -> None:
    assert float(shared(10.0, 3.0, 20.0).area) == pytest.approx(0.0, abs=1e-9)
    inner = shared(10.0, 3.0, 2.0)
    assert float(inner.area) == pytest.approx(pi * 9.0)
    assert float(inner.x) == pytest.approx(pi * 9.0 * 2.0)


def test_sums_over_several_stretches_keep_half_powers() -> None:
    """The half-ball of radius 1: int pi (1 - z^2) dz, and sqrt(z) with its upright start."""
    (found,) = summed([0.0, 0.3, 1.0], 12, lambda z: [np.pi * (1.0 - z * z)])
    assert float(found[0]) == pytest.approx(2 / 3 * pi, rel=1e-14)
    (root,) = summed([0.0, 1.0], 16, lambda z: [np.sqrt(z)])
    assert float(root[0]) == pytest.approx(2 / 3, rel=1e-12)
