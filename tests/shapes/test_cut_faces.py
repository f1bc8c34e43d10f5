"""Cut faces against closed forms."""

from __future__ import annotations

import cadquery as cq
import numpy as np
import pytest

from shapes import solid
from shapes.cut_faces import Plane, behind, lowest_flat, sectioned
from shapes.errors import SolidError
from shapes.hidden_lines import reached_by
from shapes.moments import Array

FRONT, UP = (0.0, -1.0, 0.0), (0.0, 0.0, 1.0)


def area(outline: Array) -> float:
    """By the shoelace formula, in any handbook."""
    x, y = outline[:-1].T
    p, q = outline[1:].T
    return abs(float(np.sum(x * q - p * y))) / 2.0


@pytest.mark.parametrize("height", [0.0, 18.0, -18.0])
def test_a_balls_section_is_a_circle(height: float) -> None:
    (outline,) = sectioned([solid.sphere(30.0)], Plane(FRONT, UP, height))
    assert area(outline) == pytest.approx(np.pi * (900.0 - height**2), rel=2e-3)
    assert np.array_equal(outline[0], outline[-1])


def test_a_tubes_section_has_four_outlines_where_it_is_cut_along() -> None:
    ring = cq.Workplane().circle(10.0).circle(6.0).extrude(20.0).val()
    outlines = sectioned([ring], Plane(FRONT, UP))
    assert sorted(area(o) for o in outlines) == pytest.approx([80.0, 80.0])


def test_a_hollow_has_an_outline_of_its_own() -> None:
    shell = solid.cut(solid.sphere(30.0), [solid.sphere(20.0)])
    areas = sorted(area(o) for o in sectioned(shell, Plane(FRONT, UP)))
    assert areas == pytest.approx([np.pi * 400.0, np.pi * 900.0], rel=2e-3)


def test_a_plane_that_misses_is_told() -> None:
    with pytest.raises(SolidError, match="31 mm: the plane misses"):
        sectioned([solid.sphere(30.0)], Plane(FRONT, UP, 31.0))


def test_half_a_ball_lies_behind_its_middle() -> None:
    (half,) = behind([solid.sphere(30.0)], Plane(FRONT, UP))
    assert half.Volume() == pytest.approx(2.0 / 3.0 * np.pi * 27000.0, rel=1e-7)  # its quadrature
    assert half.Center().y > 0.0


def test_the_seat_of_a_box_is_its_lowest_face() -> None:
    block = [cq.Solid.makeBox(1.0, 2.0, 3.0, cq.Vector(0, 0, -4))]
    assert lowest_flat(block, reached_by(block)) == -4.0


def test_a_ball_has_no_seat() -> None:
    ball = [solid.sphere(30.0)]
    assert lowest_flat(ball, reached_by(ball)) is None
