"""The area of a solid's surface: closed forms of any handbook, and the kernel's own integral."""

from __future__ import annotations

from math import asin, pi, sqrt

import cadquery as cq
import pytest
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps

from shapes.boundary import area_of_solid
from shapes.ellipsoid import Ellipsoid
from shapes.sphere import Sphere


def drilled_block() -> cq.Solid:
    hole = cq.Solid.makeCylinder(4, 100, cq.Vector(-15, -10, -50), cq.Vector(0.3, 0.2, 1))
    return cq.Workplane().box(20, 30, 40).edges("|Z").fillet(3).cut(hole).solids().vals()[0]


@pytest.mark.parametrize(
    ("solid", "area"),
    [
        (cq.Solid.makeBox(2, 3, 4), 52.0),
        (Sphere(6.0).solid(), 36.0 * pi),
        (cq.Solid.makeTorus(5, 2), 40.0 * pi**2),
        (cq.Solid.makeCone(3, 0, 4), 24.0 * pi),
    ],
    ids=["box", "sphere", "torus", "cone"],
)
def test_the_area_is_that_of_the_closed_form(solid: cq.Solid, area: float) -> None:
    assert area_of_solid(solid) == pytest.approx(area, rel=1e-13)


def test_the_area_of_a_drilled_block_is_what_the_kernel_finds() -> None:
    found = GProp_GProps()
    BRepGProp.SurfaceProperties_s(drilled_block().wrapped, found)
    assert area_of_solid(drilled_block()) == pytest.approx(found.Mass(), rel=1e-9)


def test_the_area_of_a_spheroid_is_that_of_the_closed_form() -> None:
    a, c = 10.0, 16.0
    eccentricity = sqrt(1.0 - (a / c) ** 2)
    due = 2.0 * pi * a * a * (1.0 + c / (a * eccentricity) * asin(eccentricity))
    solid = Ellipsoid((2.0 * a, 2.0 * a, 2.0 * c)).solid()
    assert area_of_solid(solid) == pytest.approx(due, rel=1e-9)
