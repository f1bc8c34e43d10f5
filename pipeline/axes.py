"""Principal axes and radii of gyration of a tensor, with what is undefined left undefined.

RG about an axis = sqrt(I / m).  Two RGs that differ by no more than the split cannot be told apart:
they are reported as their mean, and the axes in their plane as None.  Signs are fixed so that two
runs and two nearly equal designs agree: the low-RG axis points to +Z, the high-RG axis to +X, and
low, intermediate, high are right-handed.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from shapes.moments import Array

Symmetry = Literal["spherical", "symmetrical", "asymmetrical"]
SPLIT_IN = 1e-6  # RGs nearer than this are one
LEVEL = 1e-9  # a component smaller than this decides no sign


@dataclass(frozen=True, eq=False)
class Principal:
    """The three principal RGs and their axes.

    Attributes:
        rg_mm: shape (3,), low, intermediate and high.
        low, intermediate, high: unit vectors, shape (3,), or None where undefined.
        symmetry: 'spherical' when all three RGs are one, 'symmetrical' when two are.
    """

    rg_mm: Array
    low: Array | None
    intermediate: Array | None
    high: Array | None
    symmetry: Symmetry

    @property
    def total_differential_mm(self) -> float:
        """High less low RG."""
        return float(self.rg_mm[2] - self.rg_mm[0])

    @property
    def intermediate_differential_mm(self) -> float:
        """High less intermediate RG."""
        return float(self.rg_mm[2] - self.rg_mm[1])

    def named_mm(self) -> dict[str, float]:
        """The three RGs and the two differentials by the trade's names, low RG first."""
        low, intermediate, high = (float(rg) for rg in self.rg_mm)
        return {
            "low RG": low,
            "intermediate RG": intermediate,
            "high RG": high,
            "total differential": self.total_differential_mm,
            "intermediate differential": self.intermediate_differential_mm,
        }


def principal(inertia: Array, mass: float, split_mm: float) -> Principal:
    """Principal axes of an inertia tensor.

    Args:
        inertia: shape (3, 3), products off the diagonal negative, g mm2.
        mass: in g.
        split_mm: RGs that differ by no more than this are one.
    """
    values, vectors = np.linalg.eigh((inertia + inertia.T) / 2.0)
    rg = np.sqrt(values / mass)
    if rg[2] - rg[0] <= split_mm:
        return Principal(np.full(3, rg.mean()), None, None, None, "spherical")
    if rg[2] - rg[1] <= split_mm:
        high = rg[1:].mean()
        return Principal(
            np.array([rg[0], high, high]),
            _to(vectors[:, 0], (2, 0, 1)),
            None,
            None,
            "symmetrical",
        )
    if rg[1] - rg[0] <= split_mm:
        low = rg[:2].mean()
        return Principal(
            np.array([low, low, rg[2]]),
            None,
            None,
            _to(vectors[:, 2], (0, 1, 2)),
            "symmetrical",
        )
    low_axis, high_axis = _to(vectors[:, 0], (2, 0, 1)), _to(vectors[:, 2], (0, 1, 2))
    return Principal(rg, low_axis, np.cross(high_axis, low_axis), high_axis, "asymmetrical")


def _to(axis: Array, order: tuple[int, int, int]) -> Array:
    """The axis with its sign such that the first component in `order` that counts is positive."""
    for k in order:
        if abs(axis[k]) > LEVEL:
            return axis if axis[k] > 0.0 else -axis
    return axis
