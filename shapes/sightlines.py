"""Whether a solid stands between a point on it and the eye."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from OCP.gp import gp_Dir, gp_Lin, gp_Pnt
from OCP.IntCurvesFace import IntCurvesFace_ShapeIntersector

from shapes.moments import Array
from shapes.solid import fresh

if TYPE_CHECKING:
    import cadquery as cq

CLEAR_MM = 0.05  # hits nearer than this are the face that the point lies on
_FAR_MM = 1e5


class Sightlines:
    """Straight lines from points of solids to an eye infinitely far away."""

    def __init__(self, solids: Sequence[cq.Solid], toward: Array) -> None:
        self._toward = gp_Dir(*(float(c) for c in toward))
        self._bodies = []
        for solid in solids:
            body = IntCurvesFace_ShapeIntersector()
            body.Load(fresh(solid), 1e-6)
            self._bodies.append(body)

    def covered(self, point: Array, clear_mm: float = CLEAR_MM) -> bool:
        """Whether something stands between a point, shape (3,), and the eye.

        Args:
            point: of the surface.
            clear_mm: what stands nearer than this is not counted.
        """
        line = gp_Lin(gp_Pnt(*(float(c) for c in point)), self._toward)
        for body in self._bodies:
            body.Perform(line, clear_mm, _FAR_MM)
            if body.NbPnt() > 0:
                return True
        return False


def places_on(line: Array) -> list[Array]:
    """Points of a polyline, shape (n, 3), that lie on the curve itself, off its ends."""
    if len(line) == 2:
        return [line[0] + share * (line[1] - line[0]) for share in (0.5, 0.3, 0.7)]
    return [line[max(1, min(len(line) - 2, round(share * (len(line) - 1))))]
            for share in (0.5, 0.3, 0.7)]  # fmt: skip
