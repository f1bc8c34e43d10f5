"""Dimensions against the drawings of bodies whose figures are known."""

from __future__ import annotations

import pytest

from pipeline.dimensions import Dimensions, dimensions_of, written_mm
from shapes.curves import Arc, Line
from shapes.profile import Profile
from shapes.sphere import Sphere
from shapes.turned import Turned

PUCK = Turned(profile=((0.0, -10.0), (30.0, -10.0), (30.0, 12.0), (0.0, 12.0)), round=4.0)


def sizes(dimensions: Dimensions) -> list[str]:
    return [line for label in dimensions.sizes for line in label.lines]


def heights(dimensions: Dimensions) -> list[str]:
    return [label.lines[0] for label in dimensions.heights]


def test_a_rounded_corner_between_lines_is_given_by_its_sharp_point_and_radius() -> None:
    found = dimensions_of(PUCK.section())
    assert [s.at for s in found.sharps] == [
        pytest.approx((30.0, -10.0)),
        pytest.approx((30.0, 12.0)),
    ]
    assert sizes(found) == ["\u00d8 60.00", "R 4.00", "R 4.00"]


def test_heights_count_from_the_lowest_flat() -> None:
    found = dimensions_of(PUCK.section())
    assert (found.datum_mm, found.datum_is) == (-10.0, "the seat")
    assert heights(found) == ["0.00", "22.00"]


def test_a_parting_plane_may_be_the_datum() -> None:
    found = dimensions_of(PUCK.section(), datum_mm=2.0)
    assert heights(found) == ["\u221212.00", "0.00", "10.00"]


def test_a_ball_has_a_spherical_diameter_about_its_middle() -> None:
    found = dimensions_of(Sphere(diameter=80.0).section())
    assert sizes(found) == ["S\u00d8 80.00", "centre on A, height 0.00"]
    assert heights(found) == ["\u221240.00", "0.00", "40.00"]


def test_a_cone_has_a_diameter_at_each_end() -> None:
    lines = (
        Line((0.0, 0.0), (20.0, 0.0)), Line((20.0, 0.0), (12.0, 30.0)),
        Line((12.0, 30.0), (0.0, 30.0)),
    )  # fmt: skip
    assert sizes(dimensions_of(Profile(lines))) == ["\u00d8 40.00", "\u00d8 24.00"]


def barrel(middle: float) -> Profile:
    arc = Arc.through((20.0, 0.0), (middle, 15.0), (20.0, 30.0))
    return Profile((Line((0.0, 0.0), (20.0, 0.0)), arc, Line((20.0, 30.0), (0.0, 30.0))))


def test_an_arc_that_is_no_fillet_has_its_centre() -> None:
    """R = (c^2 + s^2) / 2 s with half the chord 15 and the sagitta 3 (any handbook): 39."""
    found = sizes(dimensions_of(barrel(23.0)))
    assert found[-2:] == ["R 39.00", "centre r \u221216.00, height 15.00"]


def test_an_arc_about_a_point_of_the_axis_is_spherical() -> None:
    """The same with a sagitta of 5: 25, so about the axis."""
    found = sizes(dimensions_of(barrel(25.0)))
    assert found[-2:] == ["S\u00d8 50.00", "centre on A, height 15.00"]


@pytest.mark.parametrize(
    ("length", "written"),
    [(89.535, "89.54"), (-89.535, "\u221289.54"), (-0.001, "0.00"), (111.76, "111.76")],
)
def test_lengths_are_written_with_a_true_minus_and_halves_away_from_zero(
    length: float, written: str
) -> None:
    assert written_mm(length) == written
