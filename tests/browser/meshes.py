"""The triangles that a page holds, unpacked, cut by planes and measured; by no code of the page's.

See `pipeline.dossier.space` for how they are packed.
"""

from __future__ import annotations

import base64
import zlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from shapes.moments import Array


@dataclass(frozen=True, eq=False)
class Mesh:
    """A closed mesh: corners, mm, shape (n, 3), and triangles, shape (m, 3), seen from outside."""

    corners: Array
    triangles: npt.NDArray[np.int64]

    def section_mm2(self, normal: Sequence[float] | Array, offset_mm: float) -> float:
        """Area of the cut where normal . x = offset.

        Each triangle that the plane crosses gives a piece of the cut's outline; half the sum of the
        cross products of their ends is the area (the shoelace formula), in whatever order they are.
        """
        way = np.asarray(normal, dtype=float)
        heights = self.corners @ way - offset_mm
        above = (heights >= 0.0)[self.triangles]
        twice = 0.0
        for rises in (1, 2):  # one corner above the plane, or two
            crossed = self.triangles[above.sum(axis=1) == rises]
            alone = (heights >= 0.0)[crossed] == (rises == 1)
            first = alone.argmax(axis=1)
            a, b, c = (crossed[np.arange(len(crossed)), (first + k) % 3] for k in range(3))
            p, q = (self._between(a, one, heights) for one in (b, c))
            along = np.cross(p, q) @ way
            twice += float(along.sum()) * (1.0 if rises == 1 else -1.0)
        return twice / 2.0

    def _between(self, a: Any, b: Any, heights: Array) -> Array:
        """Where edges from points a to points b cross the plane."""
        share = heights[a] / (heights[a] - heights[b])
        return np.asarray(self.corners[a] + share[:, None] * (self.corners[b] - self.corners[a]))

    def reach(self, way: Sequence[float] | Array) -> tuple[float, float]:
        """The least and greatest of way . x."""
        along = self.corners @ np.asarray(way, dtype=float)
        return float(along.min()), float(along.max())


def mesh_of(part: Mapping[str, Any]) -> Mesh:
    """One of the scene's parts."""
    raw = zlib.decompress(base64.b64decode(part["data"]))
    corners, triangles = part["corners"], part["triangles"]
    steps = np.frombuffer(raw, "<u2", 3 * corners).reshape(-1, 3)
    start = -(-9 * corners // 4) * 4
    kind = {16: "<u2", 32: "<u4"}[part["index"]]
    indices = np.frombuffer(raw, kind, 3 * triangles, start).reshape(-1, 3).astype(np.int64)
    return Mesh(steps * np.array(part["scale"]) + np.array(part["offset"]), indices)
