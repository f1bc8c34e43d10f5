"""Mass properties of a ball from the moments of its parts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pipeline.axes import SPLIT_IN, Principal, principal
from pipeline.ball import Ball
from pipeline.units import G_PER_MM3, MM_PER_IN
from shapes.moments import Array, Moments
from shapes.shape import Shape

EXACT_RG_IN = 1e-8  # of the shapes' own moments: outlines nearer than 1e-7 mm count as one line
BOUNDARY_RG_IN = 1e-6  # of the boundary route on any solid, see docs/accuracy.md
_EXACT_SHARE = 1e-8
_BOUNDARY_SHARE = 1e-7
CENTRED_MM = 1e-6  # a centre of gravity nearer than this to the ball's centre has no direction


@dataclass(frozen=True)
class ErrorBound:
    """How far the figures may be off: of the mass, g, and of any RG or differential, mm."""

    mass_g: float
    rg_mm: float


@dataclass(frozen=True, eq=False)
class MassProperties:
    """What a ball weighs and how it turns, in the ball frame.

    Attributes:
        mass_g: the mass.
        centre_of_gravity_mm: shape (3,).
        inertia_g_mm2: shape (3, 3), about the centre of gravity; products negated.
        principal: RGs and axes about the centre of gravity.
        about_ball_centre: RGs and axes about the ball's centre, as a swing-type tester finds them.
        radius_mm: of the ball.
        bound: how far the figures may be off.
    """

    mass_g: float
    centre_of_gravity_mm: Array
    inertia_g_mm2: Array
    principal: Principal
    about_ball_centre: Principal
    radius_mm: float
    bound: ErrorBound

    def pin_mm(self) -> Array | None:
        """Where the low-RG axis, through the centre of gravity, leaves the ball on the +Z side.

        Shape (3,); None when the axis is undefined.
        """
        return self._leaves(self.principal.low)

    def psa_mm(self) -> Array | None:
        """Where the high-RG axis leaves the ball on its +X side: the preferred spin axis.

        Shape (3,); None for a body of revolution about the low-RG axis, where it is undefined.
        """
        return self._leaves(self.principal.high)

    def cg_mark_mm(self) -> Array | None:
        """Where the ray from the ball's centre through the centre of gravity meets the surface.

        Shape (3,); None when the centre of gravity is the ball's centre.
        """
        away = float(np.linalg.norm(self.centre_of_gravity_mm))
        if away <= CENTRED_MM:
            return None
        return self.centre_of_gravity_mm * (self.radius_mm / away)

    def pin_to_cg_mm(self) -> float | None:
        """Along the surface from the pin to the CG mark; None where either is undefined."""
        return self.along_surface_mm(self.pin_mm(), self.cg_mark_mm())

    def static_imbalance_g(self) -> float:
        """First moment of mass about the ball's centre over its radius.

        It is the mass which, put on the surface opposite the CG mark, would balance the ball.
        """
        away = float(np.linalg.norm(self.centre_of_gravity_mm))
        return self.mass_g * away / self.radius_mm

    def along_surface_mm(self, a: Array | None, b: Array | None) -> float | None:
        """Great-circle distance between two points of the surface; None when either is None."""
        if a is None or b is None:
            return None
        angle = np.arctan2(np.linalg.norm(np.cross(a, b)), float(a @ b))
        return float(self.radius_mm * angle)

    def _leaves(self, axis: Array | None) -> Array | None:
        if axis is None:
            return None
        centre = self.centre_of_gravity_mm
        along = float(centre @ axis)
        square = self.radius_mm**2 - float(centre @ centre) + along**2
        return np.asarray(centre + (np.sqrt(square) - along) * axis)


def weigh(ball: Ball) -> MassProperties:
    """Mass properties from what the parts claim.

    >>> from pipeline.load import load
    >>> from pipeline.ball import build_ball
    >>> from pipeline.shipped import shipped
    >>> dunlin = weigh(build_ball(load(shipped("dunlin"))))
    >>> round(dunlin.mass_g / 453.59237, 6), dunlin.principal.symmetry
    (15.0, 'symmetrical')
    """
    exact = ball.route == "moments"
    bound = EXACT_RG_IN * MM_PER_IN + _told_mm(ball) if exact else BOUNDARY_RG_IN * MM_PER_IN
    return combine(
        ball,
        [part.claimed for part in ball.parts],
        bound,
        _EXACT_SHARE if exact else _BOUNDARY_SHARE,
    )


def _told_mm(ball: Ball) -> float:
    """How far shapes that do not weigh in closed form say that their RGs may be off, together."""
    shapes = [part.body.shape for part in ball.parts]
    return sum(s.rg_error_mm() for s in shapes if type(s).rg_error_mm is not Shape.rg_error_mm)


def combine(
    ball: Ball, claimed: Sequence[Moments], rg_bound_mm: float, mass_share: float
) -> MassProperties:
    """Mass properties of a ball whose parts claim the given moments, by whatever route.

    Args:
        ball: for densities and radius.
        claimed: moments of volume of each part about the ball's centre.
        rg_bound_mm: how far an RG may be off.
        mass_share: how far the mass may be off, as a share of it.
    """
    total = Moments.zero()
    for part, moments in zip(ball.parts, claimed, strict=True):
        total = total + moments.times(part.density_g_cm3 * G_PER_MM3)
    mass = total.volume_mm3  # moments of mass: the zeroth is in grams
    return from_mass(total, ball.radius_mm, ErrorBound(mass * mass_share, rg_bound_mm))


def from_mass(total: Moments, radius_mm: float, bound: ErrorBound) -> MassProperties:
    """Mass properties from moments of mass, g mm^n, about the centre of a ball of that radius."""
    mass = total.volume_mm3
    inertia = total.inertia_mm5()
    split = max(SPLIT_IN * MM_PER_IN, bound.rg_mm)
    about_centre = np.trace(total.second_mm5) * np.eye(3) - total.second_mm5
    return MassProperties(
        mass,
        total.centroid_mm(),
        inertia,
        principal(inertia, mass, split),
        principal(about_centre, mass, split),
        radius_mm,
        bound,
    )
