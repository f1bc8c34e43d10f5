"""The kernel's Gauss-Kronrod quadrature on a turned spline: right, but slow."""

from __future__ import annotations

from shapes.boundary import moments_of_solid
from shapes.turned import SplineStep, Turned
from tests.reference.gaps import Seen
from tests.reference.kernel_quadrature import assert_agree, by_gauss_kronrod


def test_turned_spline_by_gauss_kronrod(seen: Seen) -> None:
    """Two spans, about half a minute."""
    core = Turned(
        ((0.0, -40.0), (30.0, -40.0), SplineStep(((45.0, 10.0), (30.0, 40.0))), (0.0, 40.0))
    )
    solid = core.solid()
    due = by_gauss_kronrod(solid)
    assert_agree(seen, "boundary route and Gauss-Kronrod", moments_of_solid(solid), due)
    assert_agree(seen, "own moments and Gauss-Kronrod", core.moments(), due)
