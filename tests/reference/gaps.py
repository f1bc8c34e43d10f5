"""How far two sets of moments lie apart, in the units that a core designer thinks in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from shapes.moments import Moments

MM_PER_IN = 25.4
Seen = Callable[[str, float], float]  # notes the error of a comparison and hands it back


@dataclass(frozen=True)
class Gaps:
    """Differences between moments that were found and moments that are due.

    Attributes:
        volume: share of the volume that is due.
        centre_in: distance between the centroids.
        rg_in: between the inertia tensors about the centroids, in the principal frame of the one
            that is due: the greatest difference of an entry, per volume, over the sum of the RGs of
            its row and column.  On the diagonal that is the difference of an RG.
    """

    volume: float
    centre_in: float
    rg_in: float


def gaps(found: Moments, due: Moments) -> Gaps:
    """Compare moments about one origin."""
    square, axes = np.linalg.eigh(due.inertia_mm5() / due.volume_mm3)
    rg = np.sqrt(square)
    apart = axes.T @ (found.inertia_mm5() / found.volume_mm3) @ axes - np.diag(square)
    return Gaps(
        abs(found.volume_mm3 / due.volume_mm3 - 1.0),
        float(np.linalg.norm(found.centroid_mm() - due.centroid_mm())) / MM_PER_IN,
        float(np.abs(apart / (rg + rg[:, None])).max()) / MM_PER_IN,
    )
