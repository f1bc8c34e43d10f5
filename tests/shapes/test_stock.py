"""Machining stock: volumes of convex bodies by Steiner's formula, V + A t + M t^2 + 4/3 pi t^3.

M is the integral of mean curvature: pi (a + b + c) for a box, pi h + pi^2 r for a cylinder
(Steiner 1840, in texts on integral geometry; from memory).
"""

from __future__ import annotations

from math import pi

import pytest

from shapes.boundary import moments_of_solid
from shapes.box import Box
from shapes.cylinder import Cylinder
from shapes.ellipsoid import Ellipsoid
from shapes.errors import SolidError
from shapes.sphere import Sphere
from shapes.stock import with_stock

T = 2.0


def volume(shape: Sphere | Box | Cylinder) -> float:
    return moments_of_solid(with_stock(shape.solid(), T)).volume_mm3


def test_a_ball() -> None:
    assert volume(Sphere(diameter=100.0)) == pytest.approx(4.0 / 3.0 * pi * 52.0**3, rel=1e-9)


def test_a_box() -> None:
    a, b, c = 30.0, 40.0, 50.0
    due = a * b * c + 2 * (a * b + b * c + c * a) * T + pi * (a + b + c) * T**2 + 4 / 3 * pi * T**3
    assert volume(Box(size=(a, b, c))) == pytest.approx(due, rel=1e-9)


def test_a_cylinder() -> None:
    r, h = 30.0, 80.0
    area = 2 * pi * r * (r + h)
    due = pi * r * r * h + area * T + (pi * h + pi**2 * r) * T**2 + 4 / 3 * pi * T**3
    assert volume(Cylinder(diameter=2 * r, height=h)) == pytest.approx(due, rel=1e-9)


def test_no_stock_is_the_body_itself() -> None:
    body = Sphere(diameter=10.0).solid()
    assert with_stock(body, 0.0) is body


def test_a_body_that_the_kernel_cannot_offset_is_refused() -> None:
    body = Ellipsoid(size=(60.0, 70.0, 90.0)).solid()
    with pytest.raises(SolidError, match="cannot lay machining stock"):
        with_stock(body, T)
