"""A superellipsoid of revolution: an egg, fuller or leaner than an ellipsoid."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import gamma, pi
from typing import Annotated

import numpy as np

from shapes.curves import Curve
from shapes.fitted import fitted, joined
from shapes.hull import Hull
from shapes.moments import Array, Mask, Moments
from shapes.parameters import Parameter
from shapes.profile import Profile
from shapes.revolved import Revolved

_CLOSE_MM = 1e-7  # of the fitted half-section
_gamma = np.vectorize(gamma, otypes=[float])


@dataclass(frozen=True)
class Superellipsoid(Revolved):
    """An ellipsoid made fuller: (r / a)^n + (z / c)^n <= 1, with 2 for n an ellipsoid.

    >>> round(Superellipsoid(2.0, 2.0, 2.0).moments().volume_mm3, 6)  # a ball
    4.18879
    """

    diameter: Annotated[float, Parameter("length", "full width", above=0.0)] = 96.0
    height: Annotated[float, Parameter("length", "length along its axis", above=0.0)] = 126.0
    exponent: Annotated[
        float,
        Parameter("number", "fullness: 2 an ellipsoid, more is squarer", at_least=2.0, at_most=8.0),
    ] = 2.6

    def moments(self) -> Moments:
        """Dirichlet's integrals: int_0^1 z^(2k) r^(2m) dz with r^n = 1 - z^n are B functions.

        (Whittaker & Watson, A Course of Modern Analysis, section 12.5; from memory.)
        """
        n, a, c = self.exponent, self.diameter / 2.0, self.height / 2.0
        volume = 2.0 * pi * a**2 * c * _beta(1.0 / n, 1.0 + 2.0 / n) / n
        fourth = pi / 2.0 * a**4 * c * _beta(1.0 / n, 1.0 + 4.0 / n) / n
        square = 2.0 * pi * a**2 * c**3 * _beta(3.0 / n, 1.0 + 2.0 / n) / n
        return Moments.of_revolution(volume, 0.0 * volume, fourth, square)

    def rg_error_mm(self) -> float:
        """Gamma functions are good to a few units of the last place."""
        return 1e-13 * max(self.diameter, self.height)

    def contains(self, points: Array) -> Mask:
        """(r / a)^n + (z / c)^n <= 1."""
        r = np.hypot(points[:, 0], points[:, 1]) / (self.diameter / 2.0)
        z = np.abs(points[:, 2]) / (self.height / 2.0)
        return np.asarray(r**self.exponent + z**self.exponent <= 1.0)

    def outline(self) -> tuple[Curve, ...]:
        """Polynomial steps that follow it to within 1e-7 mm."""
        return _quarters(self.diameter / 2.0, self.height / 2.0, self.exponent)

    def hull(self) -> Hull:
        """Its tangents at the equator, the pole and where both coordinates have the same share."""
        a, c = self.diameter / 2.0, self.height / 2.0
        cut = 2.0 * 0.5 ** (1.0 / self.exponent) - 1.0
        return [(a, c * cut), (a * cut, c), (a, -c * cut), (a * cut, -c)]

    def section(self) -> Profile:
        """The fitted half-section."""
        return Profile(self.outline())


def _beta(p: float, q: float) -> float:
    value: float = _gamma(p) * _gamma(q) / _gamma(p + q)
    return value


@lru_cache(maxsize=256)
def _quarters(a: float, c: float, n: float) -> tuple[Curve, ...]:
    """From the lower axis point to the upper one."""
    turn = 0.5 ** (1.0 / n)  # where both coordinates have the same share

    def near_equator(t: Array) -> Array:
        z = turn * t
        return np.column_stack([a * (1.0 - z**n) ** (1.0 / n), c * z])

    def near_pole(t: Array) -> Array:
        r = turn * (1.0 - t)
        return np.column_stack([a * r, c * (1.0 - r**n) ** (1.0 / n)])

    upper = joined([*fitted(near_equator, _CLOSE_MM), *fitted(near_pole, _CLOSE_MM)])
    return (*(step.overturned() for step in reversed(upper)), *upper)
