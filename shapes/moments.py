"""Volume, first and second moments of a body as one value that adds, subtracts, turns and moves."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Indices = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]
Column = Any  # a float; for a stack of bodies (see `shapes.stack`) an array, shape (n, 1)


@dataclass(frozen=True, eq=False)
class Moments:
    """Moments of volume about the origin of the frame they are given in.

    Attributes:
        volume_mm3: the volume.
        first_mm4: shape (3,), the integrals of x, y and z.
        second_mm5: shape (3, 3), symmetric, the integrals of x_i x_j.  These are plain products:
            an inertia tensor carries the off-diagonal ones with a minus sign, see `inertia_mm5`.

    >>> cube = Moments(8.0, np.zeros(3), np.eye(3) * 8.0 / 3.0)  # edge 2, centred
    >>> moved = cube.moved(np.array([1.0, 0.0, 0.0]))
    >>> float(moved.first_mm4[0]), round(float(moved.second_mm5[0, 0]), 12)
    (8.0, 10.666666666667)
    """

    volume_mm3: float
    first_mm4: Array
    second_mm5: Array

    @staticmethod
    def zero() -> Moments:
        """The moments of nothing."""
        return Moments(0.0, np.zeros(3), np.zeros((3, 3)))

    @staticmethod
    def of_revolution(volume: float, first_z: float, second_r: float, second_z: float) -> Moments:
        """Moments of a body that is the same all round Z.

        Args:
            volume: in mm3.
            first_z: integral of z over the body, mm4.
            second_r: integral of x^2 (which equals that of y^2) over the body, mm5.
            second_z: integral of z^2 over the body, mm5.
        """
        return Moments.of(volume, (0.0, 0.0, first_z), (second_r, second_r, second_z))

    @staticmethod
    def of(
        volume: Column,
        first: tuple[Column, Column, Column],
        squares: tuple[Column, Column, Column],
        product_xy: Column = 0.0,
        product_xz: Column = 0.0,
    ) -> Moments:
        """Moments from their components; those of a stack (see `shapes.stack`) have shape (n, 1).

        Args:
            volume: in mm3.
            first: integrals of x, y and z, mm4.
            squares: integrals of x^2, y^2 and z^2, mm5.
            product_xy: integral of x y, mm5.
            product_xz: integral of x z, mm5.  Every shape here is even in y, so y z has none.
        """
        if isinstance(volume, np.ndarray):
            return _stacked(volume, [*first, *squares, product_xy, product_xz])
        (xx, yy, zz), xy, xz = squares, product_xy, product_xz
        second = np.array([[xx, xy, xz], [xy, yy, 0.0], [xz, 0.0, zz]])
        return Moments(float(volume), np.array(first, dtype=float), second)

    def __add__(self, other: Moments) -> Moments:
        return Moments(
            self.volume_mm3 + other.volume_mm3,
            self.first_mm4 + other.first_mm4,
            self.second_mm5 + other.second_mm5,
        )

    def __sub__(self, other: Moments) -> Moments:
        return self + other.times(-1.0)

    def times(self, factor: float) -> Moments:
        """Every moment times a factor: a density (g/mm3) turns them into moments of mass."""
        return Moments(self.volume_mm3 * factor, self.first_mm4 * factor, self.second_mm5 * factor)

    def turned(self, rotation: Array) -> Moments:
        """The body turned about the origin by a rotation matrix, shape (3, 3), x' = R x."""
        return Moments(
            self.volume_mm3,
            rotation @ self.first_mm4,
            rotation @ self.second_mm5 @ rotation.T,
        )

    def moved(self, by_mm: Array) -> Moments:
        """The body moved by a vector, shape (3,)."""
        cross = np.outer(self.first_mm4, by_mm)
        return Moments(
            self.volume_mm3,
            self.first_mm4 + self.volume_mm3 * by_mm,
            self.second_mm5 + cross + cross.T + self.volume_mm3 * np.outer(by_mm, by_mm),
        )

    def __getitem__(self, index: int) -> Moments:
        """One of a stack."""
        volume: Array = self.volume_mm3  # type: ignore[assignment]  # a stack's is shape (n,)
        return Moments(float(volume[index]), self.first_mm4[index], self.second_mm5[index])

    def centroid_mm(self) -> Array:
        """Shape (3,), the centre of volume.  The volume must not be zero."""
        return np.asarray(self.first_mm4 / self.volume_mm3)

    def central_second_mm5(self) -> Array:
        """Shape (3, 3), second moments about the centroid, axes kept."""
        return self.second_mm5 - np.outer(self.first_mm4, self.first_mm4) / self.volume_mm3

    def inertia_mm5(self) -> Array:
        """Shape (3, 3), tr(C) 1 - C about the centroid: minus the products off the diagonal."""
        central = self.central_second_mm5()
        return np.asarray(np.trace(central) * np.eye(3) - central)


def rgs_mm(moments: Moments) -> Array:
    """Shape (3,), the radii of gyration about the principal axes, smallest first."""
    square = np.linalg.eigvalsh(moments.inertia_mm5()) / moments.volume_mm3
    return np.asarray(np.sqrt(square))


def rg_change_mm(one: Moments, other: Moments) -> float:
    """The greatest difference of a radius of gyration, and what rounding may add."""
    first = rgs_mm(one)
    return float(np.abs(first - rgs_mm(other)).max() + 1e-14 * first.max())


def _stacked(volume: Array, components: list[Column]) -> Moments:
    """Columns of shape (n, 1) as moments of shape (n,), (n, 3) and (n, 3, 3)."""
    columns = np.broadcast_arrays(volume, *components)
    v, x, y, z, xx, yy, zz, xy, xz = (np.asarray(c, dtype=float)[:, 0] for c in columns)
    nothing = np.zeros_like(v)
    second = np.stack([xx, xy, xz, xy, yy, nothing, xz, nothing, zz], axis=-1)
    return Moments(v.copy(), np.stack([x, y, z], axis=-1), second.reshape(-1, 3, 3))  # type: ignore[arg-type]
