"""What is measured on the solid of a body that has no formulas to tell."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from shapes.moments import Array
from shapes.parting import Parting, sampled_draft

if TYPE_CHECKING:
    import cadquery as cq

_WAYS = ((0.0, 0.0, 1.0), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0))


def measured_parting(solid: cq.Solid) -> Parting:
    """The best of three ways to part a body, by the draft over a fine mesh of its solid."""
    from shapes.facets import facets_of

    mesh = facets_of(solid, 0.1, 0.1)
    return parting_of_triangles(mesh.corners_mm[mesh.triangles])


def parting_of_triangles(corners: Array) -> Parting:
    """The best of square to Z, to Y and to X, by the draft of triangles.

    Args:
        corners: shape (m, 3, 3), mm, counter-clockwise seen from outside.
    """
    cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    area = np.linalg.norm(cross, axis=1)
    fair = area > 1e-6 * float(area.max())
    middle, normals = corners.mean(axis=1)[fair], cross[fair] / area[fair, None]
    found = []
    for way in _WAYS:
        along = middle @ np.array(way)
        aside = np.linalg.norm(np.cross(middle, np.array(way)), axis=1)
        heights = {0.0, float(along[aside.argmax()]), float((along.max() + along.min()) / 2.0)}
        for height in sorted(heights, key=lambda h: (abs(h), h)):
            if along.min() < height < along.max():
                found.append(Parting(way, height, sampled_draft(middle, normals, way, height)))
    return max(found, key=lambda parting: parting.draft_deg)
