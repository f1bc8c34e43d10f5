"""Faces of bodies whose areas and edges are known."""

from __future__ import annotations

from math import inf, pi

import cadquery as cq
import numpy as np
import pytest

from shapes.face_sizes import FaceSize, face_sizes
from shapes.skin import skin_of
from shapes.solid import box, ellipsoid, rod, sphere
from tests.reference.cast_solids import frustum, tilted, tilted_way


def sized(solid: cq.Solid) -> tuple[FaceSize, ...]:
    return face_sizes(solid, skin_of(solid))


def test_a_cylinder_s_faces() -> None:
    side, top, bottom = sized(rod(20.0, 80.0))
    assert (side.kind, top.kind, bottom.kind) == ("cylinder", "plane", "plane")
    assert side.area_mm2 == pytest.approx(2.0 * pi * 20.0 * 80.0, rel=1e-12)
    assert side.perimeter_mm == pytest.approx(4.0 * pi * 20.0, rel=1e-9)
    assert top.area_mm2 == pytest.approx(pi * 20.0**2, rel=1e-12)
    assert top.width_mm == pytest.approx(20.0)
    assert top.centre_mm == pytest.approx((0.0, 0.0, 40.0), abs=1e-9)


def test_a_ball_has_one_face_without_an_edge() -> None:
    (face,) = sized(sphere(50.0))
    assert (face.kind, face.perimeter_mm, face.width_mm) == ("ball", 0.0, inf)
    assert face.area_mm2 == pytest.approx(4.0 * pi * 50.0**2, rel=1e-9)


def test_a_rounding_s_width_is_about_that_of_the_strip() -> None:
    """A quarter of a circle 3 mm round and 44 long: 207.345 mm2 by hand."""
    long = max((f for f in sized(box((20.0, 30.0, 50.0), 3.0)) if f.kind == "cylinder"),
               key=lambda face: face.area_mm2)  # fmt: skip
    assert long.area_mm2 == pytest.approx(pi / 2.0 * 3.0 * 44.0)
    assert long.perimeter_mm == pytest.approx(2.0 * 44.0 + pi * 3.0)
    assert long.width_mm == pytest.approx(2.0 * long.area_mm2 / long.perimeter_mm)


def test_the_area_of_an_ellipsoid_of_revolution() -> None:
    """Prolate: 2 pi a2 (1 + c / (a e) asin e), e2 = 1 - a2 / c2 (handbook; from memory)."""
    e = (1.0 - 30.0**2 / 60.0**2) ** 0.5
    expected = 2.0 * pi * 30.0**2 * (1.0 + 60.0 / (30.0 * e) * np.arcsin(e))
    assert sum(f.area_mm2 for f in sized(ellipsoid(30.0, 30.0, 60.0))) == pytest.approx(
        expected, rel=1e-6
    )


def test_a_tilted_flat_face_is_flat_and_says_which_way() -> None:
    foot = next(f for f in sized(tilted(frustum(30.0, 20.0, 50.0))) if f.kind == "plane")
    assert foot.flatness is not None
    assert foot.flatness.spread_mm < 1e-9
    assert abs(np.dot(foot.flatness.normal, tilted_way(0.0, 0.0, 1.0))) == pytest.approx(1.0)


def test_a_slightly_domed_face_is_as_high_as_its_dome() -> None:
    """A cap 20 mm in radius on a ball of 600: R - (R2 - r2)^0.5 = 0.333 mm high.

    The corners do not lie evenly, which tips their plane by a little.
    """
    cap = cq.Workplane().sphere(600.0).intersect(
        cq.Workplane().circle(20.0).extrude(700.0).translate((0.0, 0.0, 590.0))
    )  # fmt: skip
    (dome,) = [f for f in sized(cap.val()) if f.kind == "ball"]
    assert dome.flatness is not None
    assert dome.flatness.spread_mm == pytest.approx(600.0 - (600.0**2 - 20.0**2) ** 0.5, rel=0.03)


def test_a_round_or_a_small_face_has_no_flatness() -> None:
    assert [f.flatness for f in sized(sphere(50.0))] == [None]
    assert all(f.flatness is None for f in sized(cq.Solid.makeBox(9.0, 9.0, 9.0)))
