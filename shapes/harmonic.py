"""A smooth star-shaped body: a ball whose radius varies by a few spherical harmonics."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import pi
from typing import Annotated, ClassVar

import numpy as np

from shapes.arc import Arc
from shapes.charted import Chart, Charted
from shapes.hull import Hull, hull_of
from shapes.moments import Array, Mask, Moments
from shapes.parameters import Parameter
from shapes.shape import Rule

_LEVELS, _AROUND = 12, 24  # r^5 n n is of degree 22: Gauss and equal steps are exact there
_MOST = 0.5
_HARMONIC = {"at_least": -0.3, "at_most": 0.3}


@dataclass(frozen=True)
class Harmonic(Charted):
    """A ball whose radius varies smoothly with direction, by up to six harmonics.

    With the unit vector n of a direction, r is half the diameter times 1 + zonal_2 P2(nz) +
    zonal_3 P3(nz) + zonal_4 P4(nz) + the real parts of sectoral_k (nx + i ny)^k, P Legendre's
    polynomials.  Each number is a share of the radius.

    >>> round(Harmonic(2.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0).moments().volume_mm3, 6)  # a ball
    4.18879
    """

    degree: ClassVar[int] = 16

    diameter: Annotated[float, Parameter("length", "mean width", above=0.0)] = 110.0
    zonal_2: Annotated[
        float, Parameter("number", "longer along Z, slimmer round the middle", **_HARMONIC)
    ] = 0.06
    zonal_3: Annotated[
        float, Parameter("number", "pear: fuller above, slimmer below", **_HARMONIC)
    ] = -0.05
    zonal_4: Annotated[
        float, Parameter("number", "fuller at the ends and the middle, hollow between", **_HARMONIC)
    ] = 0.0
    sectoral_2: Annotated[
        float, Parameter("number", "oval seen along Z, longer along X", **_HARMONIC)
    ] = 0.08
    sectoral_3: Annotated[
        float, Parameter("number", "three-cornered seen along Z", **_HARMONIC)
    ] = 0.0
    sectoral_4: Annotated[float, Parameter("number", "four-cornered seen along Z", **_HARMONIC)] = (
        0.0
    )

    def _shares(self) -> tuple[float, ...]:
        return (
            self.zonal_2, self.zonal_3, self.zonal_4,
            self.sectoral_2, self.sectoral_3, self.sectoral_4,
        )  # fmt: skip

    def rules(self) -> Iterator[Rule]:
        """All together leave a radius everywhere."""
        total = sum(np.abs(share) for share in self._shares())
        yield Rule(
            "zonal_2",
            total <= _MOST + 1e-12,
            lambda: f"the sizes of all harmonics add up to {total:g}; at most {_MOST:g}",
        )

    def radius(self, basis: Array) -> Array:
        """The radius along directions, from the values of the harmonics there, shape (6, n)."""
        total = 1.0 + sum(a * b for a, b in zip(self._shares(), basis, strict=True))
        return np.asarray(self.diameter / 2.0 * total)

    def moments(self) -> Moments:
        """Int r^3 / 3, r^4 n / 4 and r^5 n n / 5 over the sphere, exactly: all are polynomials."""
        directions, weight, basis = _sphere()
        r = self.radius(basis)
        cube = r * r * r * weight
        fourth, fifth = cube * r, cube * r * r
        x, y, z = directions.T

        def total(values: Array, share: float) -> float:
            value: float = values.sum(axis=-1, keepdims=values.ndim > 1) * share
            return value

        return Moments.of(
            total(cube, 1.0 / 3.0),
            (total(fourth * x, 0.25), 0.0 * total(cube, 1.0), total(fourth * z, 0.25)),
            (total(fifth * x * x, 0.2), total(fifth * y * y, 0.2), total(fifth * z * z, 0.2)),
            product_xz=total(fifth * x * z, 0.2),
        )

    def hull(self) -> Hull:
        """Round a sphere that all harmonics together cannot pass: none is above one in size."""
        radius = self.diameter / 2.0 * (1.0 + sum(np.abs(share) for share in self._shares()))
        return hull_of([Arc((0.0, 0.0), (radius, radius), -pi / 2.0, pi)])

    def contains(self, points: Array) -> Mask:
        """No farther out than the radius along its direction."""
        out = np.linalg.norm(points, axis=1)
        directions = points / np.where(out > 0.0, out, 1.0)[:, None]
        return np.asarray(out <= self.radius(_basis(directions)))

    def charts(self) -> Sequence[Chart]:
        """The six sides of a cube, blown up."""
        return [self._chart(side) for side in range(6)]

    def _chart(self, side: int) -> Chart:
        axis, sign = side % 3, 1.0 if side < 3 else -1.0

        def chart(u: Array, v: Array) -> Array:
            p, q = np.tan(pi / 4.0 * (2.0 * u - 1.0)), np.tan(pi / 4.0 * (2.0 * v - 1.0))
            cube = np.empty((len(u), 3))
            cube[:, axis] = sign
            cube[:, (axis + 1) % 3] = sign * p
            cube[:, (axis + 2) % 3] = q
            directions = cube / np.linalg.norm(cube, axis=1)[:, None]
            return np.asarray(directions * self.radius(_basis(directions))[:, None])

        return chart


def _basis(directions: Array) -> Array:
    """Shape (6, n): P2, P3, P4 of nz and Re (nx + i ny)^k for k = 2, 3, 4."""
    x, y, z = directions.T
    square = z * z
    across = (x + 1j * y) ** np.arange(2, 5)[:, None]
    zonal = [
        (3.0 * square - 1.0) / 2.0,
        (5.0 * square - 3.0) * z / 2.0,
        (35.0 * square * square - 30.0 * square + 3.0) / 8.0,
    ]
    return np.stack([*zonal, *across.real])


@lru_cache(maxsize=1)
def _sphere() -> tuple[Array, Array, Array]:
    """Directions (n, 3), weights (n,) that add up to 4 pi, and the harmonics there (6, n)."""
    level, weight = np.polynomial.legendre.leggauss(_LEVELS)
    azimuth = 2.0 * pi * np.arange(_AROUND) / _AROUND
    z = np.repeat(level, _AROUND)
    out = np.sqrt(1.0 - z * z)
    phi = np.tile(azimuth, _LEVELS)
    directions = np.column_stack([out * np.cos(phi), out * np.sin(phi), z])
    return directions, np.repeat(weight, _AROUND) * 2.0 * pi / _AROUND, _basis(directions)
