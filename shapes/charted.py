"""Families whose surface is told as charts: smooth maps of the unit square, edge to edge."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, ClassVar

import numpy as np

from shapes.moments import Array
from shapes.parting import ACROSS, ALONG, Parting, sampled_draft
from shapes.search import highest_of_square
from shapes.shape import Shape

if TYPE_CHECKING:
    import cadquery as cq

    from shapes.profile import Profile

Chart = Callable[[Array, Array], Array]  # (u, v) in [0, 1]^2, each (n,), to points (n, 3)
_SCAN = 12  # steps a side of a chart
_STEP = 1e-5


class Charted(Shape):
    """A body whose surface is a few charts, and flat faces within some of their edges."""

    degree: ClassVar[int]  # of the patches that the CAD kernel gets

    @abstractmethod
    def charts(self) -> Sequence[Chart]:
        """Surface patches with the outward normal along S_u x S_v."""

    def rims(self) -> Sequence[Sequence[Chart]]:
        """For each flat face the charts, in order, whose edges v = 0 bound it."""
        return ()

    def section(self) -> Profile | None:
        """It is not the same all round."""
        return None

    def reach_mm(self, point: Array) -> float:
        """By search over the charts; what a flat face holds is no farther than its rim."""
        return max(
            highest_of_square(
                lambda u, v, chart=chart: np.linalg.norm(chart(u, v) - point, axis=1),  # type: ignore[misc]
                _SCAN,
            )
            for chart in self.charts()
        )

    def support_mm(self, direction: Array) -> float:
        """By search over the charts."""
        return max(
            highest_of_square(lambda u, v, chart=chart: chart(u, v) @ direction, _SCAN)  # type: ignore[misc]
            for chart in self.charts()
        )

    def solid(self) -> cq.Solid:
        """Polynomial patches, sewn."""
        from shapes.patches import sewn

        return sewn(self.charts(), self.degree, self.rims())

    def parting(self) -> Parting:
        """The better of square to Z and along it, by the draft at many points."""
        points, normals = _strewn(self)
        widest = points[np.hypot(points[:, 0], points[:, 1]).argmax(), 2]
        if abs(widest) < 1e-3 * float(np.ptp(points[:, 2])):
            widest = 0.0
        found = [
            Parting(ACROSS, float(widest), sampled_draft(points, normals, ACROSS, float(widest))),
            Parting(ALONG, 0.0, sampled_draft(points, normals, ALONG, 0.0)),
        ]
        return max(found, key=lambda parting: parting.draft_deg)


@lru_cache(maxsize=64)
def _strewn(shape: Charted) -> tuple[Array, Array]:
    """Points of the surface and outward unit normals there, both shape (n, 3)."""
    side = (np.arange(24) + 0.5) / 24.0
    u, v = (g.ravel() for g in np.meshgrid(side, side))
    points, normals = [], []
    for chart in shape.charts():
        along = chart(u + _STEP, v) - chart(u - _STEP, v)
        up = chart(u, v + _STEP) - chart(u, v - _STEP)
        normal = np.cross(along, up)
        points.append(chart(u, v))
        normals.append(normal / np.linalg.norm(normal, axis=1)[:, None])
    return np.concatenate(points), np.concatenate(normals)
