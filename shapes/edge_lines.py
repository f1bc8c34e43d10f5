"""Edges of the kernel as polylines, and polylines that run on others left out."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.GCPnts import GCPnts_TangentialDeflection
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS_Edge, TopoDS_Shape

from shapes.moments import Array

CHORD_MM = 0.02
ANGLE_RAD = 0.2


def parts_of(shape: TopoDS_Shape, kind: object) -> list[TopoDS_Shape]:
    """The parts of one kind, such as edges, that a shape holds."""
    explorer, found = TopExp_Explorer(shape, kind), []
    while explorer.More():
        found.append(explorer.Current())
        explorer.Next()
    return found


def polyline(edge: TopoDS_Edge, chord_mm: float) -> Array:
    """Points along an edge, shape (n, 3), no farther from it than a chord."""
    points = GCPnts_TangentialDeflection(BRepAdaptor_Curve(edge), ANGLE_RAD, chord_mm)
    each = (points.Value(k) for k in range(1, points.NbPoints() + 1))
    return np.array([(p.X(), p.Y(), p.Z()) for p in each])


def apart(lines: Sequence[Array], others: Sequence[Array], near_mm: float) -> tuple[Array, ...]:
    """Those lines, the longest first, that do not all along run on others or on one another.

    Args:
        lines: polylines, shape (n, 2) each.
        others: the same.
        near_mm: lines nearer than this run on each other.
    """
    taken, found = list(others), []
    for line in sorted(lines, key=_length, reverse=True):
        if taken and _gaps(_some(line), taken).max() < near_mm:
            continue
        found.append(line)
        taken.append(line)
    return tuple(found)


def _some(line: Array) -> Array:
    """Corners of a polyline and middles between them, about twenty in all, both ends among them."""
    corners = line[np.unique(np.linspace(0, len(line) - 1, 11).round().astype(int))]
    near = line[:-1][:: max(1, len(line) // 10)], line[1:][:: max(1, len(line) // 10)]
    return np.concatenate([corners, (near[0] + near[1]) / 2.0])


def _length(line: Array) -> float:
    return float(np.linalg.norm(np.diff(line, axis=0), axis=1).sum())


def _gaps(points: Array, lines: Sequence[Array]) -> Array:
    """Distances of points, shape (n, 2), from the nearest of polylines."""
    start = np.concatenate([line[:-1] for line in lines])
    way = np.concatenate([np.diff(line, axis=0) for line in lines])
    long = np.maximum((way * way).sum(axis=1), 1e-18)
    share = np.einsum("nmk,mk->nm", points[:, None] - start, way) / long
    foot = start + np.clip(share, 0.0, 1.0)[..., None] * way
    return np.asarray(np.linalg.norm(points[:, None] - foot, axis=2).min(axis=1))
