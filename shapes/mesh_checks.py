"""What a triangle mesh from a file must be: one closed body, right side out, nothing mended."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from shapes.closed_mesh import ClosedMesh
from shapes.errors import ShapeError
from shapes.mesh_contact import crossing, touching
from shapes.moments import Array, Moments

Indices = npt.NDArray[np.int64]
_SLIVER = 1e-9  # area over the square of the longest side


def checked(corners_mm: Array, name: str) -> ClosedMesh:
    """Loose triangles, shape (m, 3, 3), as one closed mesh; corners alike to the last bit are one.

    Raises:
        ShapeError: what is wrong, how often, and where the first of it is.
    """

    def refuse(reason: str) -> ShapeError:
        return ShapeError("file", f"{name} {reason}; mend it where it was made")

    if len(corners_mm) < 4:
        raise refuse(f"holds {len(corners_mm)} triangles, too few for a body")
    points, index = np.unique(corners_mm.reshape(-1, 3) + 0.0, axis=0, return_inverse=True)
    triangles = index.reshape(-1, 3).astype(np.int64)
    flat = _flat(corners_mm)
    if flat.any():
        raise refuse(
            f"holds {int(flat.sum())} triangles without area, the first at "
            f"{_place(corners_mm[flat][0].mean(axis=0))}"
        )
    edges = np.concatenate([triangles[:, [k, (k + 1) % 3]] for k in range(3)])
    ends, which, count = np.unique(
        np.sort(edges, axis=1), axis=0, return_inverse=True, return_counts=True
    )
    forward = np.bincount(which.ravel(), edges[:, 0] < edges[:, 1], minlength=len(ends))
    for bad, reason in (
        (count == 1, "is open: {} edges belong to one triangle only"),
        (count > 2, "is no plain surface: {} edges belong to more than two triangles"),
        ((count == 2) & (forward != 1), "is not turned one way: across {} edges two triangles "
         "face opposite ways"),
    ):  # fmt: skip
        if bad.any():
            where = _place(points[ends[bad][0]].mean(axis=0))
            raise refuse(f"{reason.format(int(bad.sum()))}, the first at {where}")
    body = _bodies(triangles, len(points))
    _check_bodies(points, triangles, body, refuse)
    return ClosedMesh(points, triangles)


def _check_bodies(points: Array, triangles: Indices, body: Indices, refuse: object) -> None:
    assert callable(refuse)
    found = [ClosedMesh(points, triangles[body == k]).moments() for k in range(body.max() + 1)]
    if len(found) > 1:
        said = "; ".join(_told(m) for m in found[:4])
        more = "; ..." if len(found) > 4 else ""
        raise refuse(f"holds {len(found)} separate closed surfaces, not one ({said}{more})")
    volume = found[0].volume_mm3
    size = float(np.ptp(points, axis=0).max())
    if abs(volume) <= 1e-12 * size**3:
        raise refuse("encloses no volume")
    at, what = touching(points, triangles), "touches itself at a corner"
    if at is None:
        at, what = crossing(points[triangles], triangles), "crosses itself"
    if at is not None:
        raise refuse(f"{what}, first of all at {_place(at)}")
    if volume < 0.0:
        raise refuse(
            f"is inside out: its triangles run clockwise seen from outside ({volume:.1f} mm3)"
        )


def _told(moments: Moments) -> str:
    volume = moments.volume_mm3
    return f"{volume:.1f} mm3" + (f" about {_place(moments.centroid_mm())}" if volume else "")


def _flat(corners: Array) -> npt.NDArray[np.bool_]:
    sides = np.roll(corners, -1, axis=1) - corners
    area = np.linalg.norm(np.cross(sides[:, 0], sides[:, 1]), axis=1)
    longest = (sides**2).sum(axis=2).max(axis=1)
    return np.asarray(area <= _SLIVER * longest)


def _bodies(triangles: Indices, count: int) -> Indices:
    """Shape (m,), which connected body each triangle belongs to, counted from 0."""
    label = np.arange(count)
    while True:
        least = label[triangles].min(axis=1)
        lower = label.copy()
        for k in range(3):
            np.minimum.at(lower, triangles[:, k], least)
        lower = lower[lower]
        if (lower == label).all():
            return np.unique(label[triangles[:, 0]], return_inverse=True)[1].astype(np.int64)
        label = lower


def _place(point: Array) -> str:
    return "({:.3f}, {:.3f}, {:.3f}) mm".format(*(round(float(c), 3) + 0.0 for c in point))
