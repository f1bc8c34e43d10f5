"""A casting's mould is cut larger, by what the compound loses in cooling: 1 / (1 - shrinkage).

The scale is applied once, about the part's own origin; along the part's Z axis and square to it it
may differ.  Common practice, no source; the factor follows from the definition of linear shrinkage.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_GTransform,
    BRepBuilderAPI_NurbsConvert,
    BRepBuilderAPI_Transform,
)
from OCP.gp import gp_GTrsf, gp_Mat, gp_Pnt, gp_Trsf

from shapes.boundary import moments_of_solid
from shapes.curves import Arc, Bezier, Curve, Line, Point
from shapes.errors import SolidError
from shapes.moments import Array, Moments
from shapes.profile import Profile
from shapes.solid import gate

if TYPE_CHECKING:
    import cadquery as cq

_GROWN = "a casting grown by its shrinkage"
_SAME = 1e-6  # share of the volume


def growth(along: float, across: float) -> Array:
    """The scale about the origin, shape (3, 3), for shrinkages as shares of the mould's size."""
    return np.diag([1.0 / (1.0 - across)] * 2 + [1.0 / (1.0 - along)])


def grown(solid: cq.Solid, along: float, across: float) -> cq.Solid:
    """The solid at the size that the mould is cut to.

    The same shrinkage every way keeps every surface what it is; else faces become splines, exactly.

    Args:
        solid: at the size of the cold casting, in its own frame.
        along: shrinkage along Z.
        across: square to it.
    """
    if along == across == 0.0:
        return solid
    if along == across:
        scale = gp_Trsf()
        scale.SetScale(gp_Pnt(0.0, 0.0, 0.0), 1.0 / (1.0 - along))
        shape = BRepBuilderAPI_Transform(solid.wrapped, scale, True).Shape()
        return gate(shape, _GROWN)
    due = grown_moments(moments_of_solid(solid), along, across).volume_mm3
    stretch = gp_GTrsf()
    stretch.SetVectorialPart(gp_Mat(*(float(x) for x in growth(along, across).ravel())))
    try:
        found = gate(BRepBuilderAPI_GTransform(solid.wrapped, stretch, True).Shape(), _GROWN)
    except SolidError:  # a ball's poles have been seen to spoil it; splines have none
        splines = BRepBuilderAPI_NurbsConvert(solid.wrapped, True).Shape()
        found = gate(BRepBuilderAPI_GTransform(splines, stretch, True).Shape(), _GROWN)
    volume = moments_of_solid(found).volume_mm3
    if abs(volume / due - 1.0) > _SAME:
        raise SolidError(f"{_GROWN} has {volume:.1f} mm3 where {due:.1f} mm3 are due")
    return found


def grown_moments(moments: Moments, along: float, across: float) -> Moments:
    """Moments of the grown body from those of the cold one: x -> A x maps V to |A| V.

    First moments become |A| A m and second moments |A| A S A^T.
    """
    scale = growth(along, across)
    more = float(np.linalg.det(scale))
    return Moments(
        more * moments.volume_mm3,
        more * scale @ moments.first_mm4,
        more * scale @ moments.second_mm5 @ scale.T,
    )


def grown_profile(profile: Profile, along: float, across: float) -> Profile:
    """A half-section grown likewise: r by the shrinkage across, z by that along."""
    r, z = 1.0 / (1.0 - across), 1.0 / (1.0 - along)

    def place(point: Point) -> Point:
        return point[0] * r, point[1] * z

    found: list[Curve] = []
    for curve in profile.curves:
        if isinstance(curve, Arc):  # its half axes lie along r and z
            semi = place(curve.semi)
            found.append(Arc(place(curve.centre), semi, curve.from_rad, curve.sweep_rad))
        elif isinstance(curve, Bezier):
            found.append(Bezier(tuple(place(pole) for pole in curve.poles)))
        else:
            found.append(Line(place(curve.start), place(curve.end)))
    return Profile(tuple(found))
