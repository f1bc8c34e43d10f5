"""What drilled bores take of bodies, to a tolerance: columns are added where they are needed.

The disc of every bore is cut into cells, and a cell into four until those give what it gave: along
the edges of bodies, where columns begin to meet them, cells become small; elsewhere they stay wide.
The nodes of Lobatto's rule lie on the cells' rims too: an edge that runs along a rim, or cuts off a
corner, does not hide between nodes.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import pi

import numpy as np

from shapes.bored import Columns, Taken, beyond, columns_at, moments_along, radii, sums
from shapes.moments import Array, Indices, Mask, Moments
from shapes.placed import Placed
from shapes.quadrature import lobatto

_SECTORS = 8
_NODES = 4
_HAIR = 1e-9  # of a cell: no column runs along a wall
_LEAST_DEPTH = 1  # what lies between the nodes of two levels is seen by a third
_DEEPEST = 9  # a cell is halved so often at most
_Cells = tuple[Indices, Array]  # the bore of each, and shape (n, 4): radii and angles


def taken_finely(
    bores: Sequence[Placed],
    bodies: Sequence[Placed],
    cell_mm3: float,
    beyond_plane: Array | None = None,
) -> tuple[Taken, Array]:
    """What bores take of bodies that claim their space inside out, and how far off that may be.

    Args:
        bores: bodies of revolution, each with its Z along its axis, outwards; earlier ones keep
            their space.
        bodies: inside out.
        cell_mm3: a cell is cut on while that changes what it takes of any body by more.
        beyond_plane: the normal, shape (3,), of a plane through the origin: only what lies on
            the side that it shows counts.

    Returns:
        what is taken, and how far off that may be, mm3, shape (bodies,): half of what the last
        cuts changed in all, since a cut along an edge leaves at most half of the error there, and
        the root of the sum of their squares for changes that made up for one another by chance.
    """
    cells = _first(bores, bodies)
    volume = _per_cell(_along(_columns(bores, cells), bodies, beyond_plane)[:, 0])
    of_bodies = [Moments.zero()] * len(bodies)
    by_bores = [Moments.zero()] * len(bores)
    drift, square = np.zeros(len(bodies)), np.zeros(len(bodies))
    for depth in range(_DEEPEST + 1):
        parts = _quartered(cells)
        columns = _columns(bores, parts)
        along = _along(columns, bodies, beyond_plane)
        finer = _per_cell(along[:, 0])
        change = finer.reshape(len(volume), 4, -1).sum(axis=1) - volume
        done = (np.abs(change) <= cell_mm3).all(axis=1) & (depth >= _LEAST_DEPTH)
        done |= depth == _DEEPEST
        drift += change[done].sum(axis=0)
        square += (change[done] ** 2).sum(axis=0)
        _add(of_bodies, by_bores, columns, along, np.repeat(done, 4 * _NODES**2))
        if done.all():
            break
        left = np.repeat(~done, 4)
        cells, volume = (parts[0][left], parts[1][left]), finer[left]
    doubt = 0.5 * np.abs(drift) + np.sqrt(square)
    return Taken(tuple(of_bodies), tuple(by_bores)), doubt


def _first(bores: Sequence[Placed], bodies: Sequence[Placed]) -> _Cells:
    found = [
        (k, low, high, 2.0 * pi * s / _SECTORS, 2.0 * pi * (s + 1) / _SECTORS)
        for k, bore in enumerate(bores)
        for low, high in pairwise(radii(bore, [*bores, *bodies]))
        for s in range(_SECTORS)
    ]
    columns = np.array(found)
    return columns[:, 0].astype(int), columns[:, 1:]


def _quartered(cells: _Cells) -> _Cells:
    bore, (r0, r1, a0, a1) = cells[0], cells[1].T
    r, a = 0.5 * (r0 + r1), 0.5 * (a0 + a1)
    four = [(r0, r, a0, a), (r0, r, a, a1), (r, r1, a0, a), (r, r1, a, a1)]
    bounds = np.stack([np.stack(one, axis=-1) for one in four], axis=1)
    return np.repeat(bore, 4), bounds.reshape(-1, 4)


def _columns(bores: Sequence[Placed], cells: _Cells) -> Columns:
    """Columns at the nodes of Lobatto's rule over radius and angle, cell by cell."""
    bore, (r0, r1, a0, a1) = cells[0], (column[:, None, None] for column in cells[1].T)
    node, weight = lobatto()
    node = np.clip(node, _HAIR, 1.0 - _HAIR)
    r = r0 + (r1 - r0) * node[:, None]
    angle = a0 + (a1 - a0) * node
    area = r * (r1 - r0) * (a1 - a0) * weight[:, None] * weight
    r, angle, area = np.broadcast_arrays(r, angle, area)
    index = np.repeat(bore, _NODES**2)
    return columns_at(bores, index, r.ravel(), angle.ravel(), area.ravel())


def _along(columns: Columns, bodies: Sequence[Placed], beyond_plane: Array | None) -> Array:
    """Integrals of 1, t and t^2 along columns times their area, shape (bodies, 3, n)."""
    if beyond_plane is not None:
        columns = beyond(columns, beyond_plane)
    ends = [body.chords(columns.lines) for body in bodies]
    return sums(columns.own, ends) * columns.area_mm2


def _per_cell(along: Array) -> Array:
    return np.asarray(along.reshape(len(along), -1, _NODES**2).sum(axis=2).T)


def _add(
    of_bodies: list[Moments],
    by_bores: list[Moments],
    columns: Columns,
    along: Array,
    which: Mask,
) -> None:
    """Add the moments of some of the columns."""
    for k in range(columns.bores):
        mine = which & (columns.bore == k)
        if not mine.any():
            continue
        start, way = columns.lines.start[mine][None], columns.lines.way[mine][None]
        for p in range(len(of_bodies)):
            (found,) = moments_along(along[p][:, None, mine], start, way)
            of_bodies[p] = of_bodies[p] + found
            by_bores[k] = by_bores[k] + found
