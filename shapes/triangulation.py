"""The mesh that the kernel keeps on a face, read all at once.

Asked for point by point it takes some twenty times as long.  So the kernel writes it out in its
binary form, whose version is fixed here, and the numbers are taken from that as they stand: two
counts, two flags, the deflection, then the points, their u and v, and the triangles.
"""

from __future__ import annotations

import io

import numpy as np
from OCP.BinTools import BinTools, BinTools_FormatVersion
from OCP.BRep import BRep_Builder
from OCP.Poly import Poly_Triangulation
from OCP.TopoDS import TopoDS_Face

from shapes.errors import SolidError
from shapes.moments import Array, Indices

_VERSION = BinTools_FormatVersion.BinTools_FormatVersion_VERSION_4
_BEFORE, _AFTER = b"\nTriangulations 1\n", b"\nTShapes"
_HEAD = 4 + 4 + 1 + 1 + 8  # bytes of counts, flags and deflection


def nodes_and_triangles(mesh: Poly_Triangulation) -> tuple[Array, Array, Indices]:
    """Points, shape (n, 3), their u and v, (n, 2), and triangles, (m, 3), counted from 0.

    Raises:
        SolidError: it has no u and v, or the kernel writes it in a form that is not known here.
    """
    if not mesh.HasUVNodes():
        raise SolidError("a mesh of the kernel does not say where on its face it lies")
    face = TopoDS_Face()
    BRep_Builder().MakeFace(face, mesh)
    stream = io.BytesIO()
    BinTools.Write_s(face, stream, True, False, _VERSION)
    data = stream.getvalue()
    start = data.find(_BEFORE) + len(_BEFORE) + _HEAD
    points, triangles = mesh.NbNodes(), mesh.NbTriangles()
    found = []
    for kind, count in (("<f8", 3 * points), ("<f8", 2 * points), ("<i4", 3 * triangles)):
        found.append(np.frombuffer(data, kind, count, start))
        start += found[-1].nbytes
    if data[start : start + len(_AFTER)] != _AFTER:
        raise SolidError("the kernel writes its meshes in a form that is not known")
    places, uv, corners = found
    return (
        places.reshape(-1, 3).astype(float),
        uv.reshape(-1, 2).astype(float),
        corners.reshape(-1, 3).astype(np.int64) - 1,
    )
