"""Layouts against spherical trigonometry, measured on the holes that were drilled."""

from __future__ import annotations

from dataclasses import dataclass
from math import acos, asin, atan, cos, degrees, pi, radians, sin, sqrt

import numpy as np
import pytest

from pipeline.drilling import Place
from pipeline.errors import BallError
from pipeline.layout import pin_at
from pipeline.sphere import angle_between_sides, arc_rad, rotation_to, stepped, tangent
from pipeline.units import MM_PER_IN
from tests.reference.laid_balls import (
    ASYMMETRICAL,
    DIAMETER,
    LAID,
    MARK,
    RADIUS,
    SYMMETRICAL,
    arc_in,
    axis_of,
    drilled,
    frame_of,
    over_and_up_in,
)

# ---- triangles

# An oblique triangle that texts work as an example (Wentworth's Spherical Trigonometry; from
# memory): three sides, and the angles opposite to them to the second.
SIDES = (70 + 14 / 60 + 20 / 3600, 49 + 24 / 60 + 10 / 3600, 38 + 46 / 60 + 10 / 3600)
ANGLES = (110 + 51 / 60 + 16 / 3600, 48 + 56 / 60 + 4 / 3600, 38 + 26 / 60 + 48 / 3600)


def by_half_angles(a: float, b: float, c: float) -> float:
    """tan(A/2)^2 = sin(s-b) sin(s-c) / (sin s sin(s-a)), 2s the sum (Todhunter; from memory)."""
    s = (a + b + c) / 2
    return 2 * atan(sqrt(sin(s - b) * sin(s - c) / (sin(s) * sin(s - a))))


@pytest.mark.parametrize("k", range(3))
def test_a_worked_triangle(k: int) -> None:
    a, b, c = (radians(SIDES[(k + i) % 3]) for i in range(3))
    found = angle_between_sides(a, b, c)
    assert found is not None
    assert degrees(found) == pytest.approx(ANGLES[k], abs=1.5 / 3600)
    assert found == pytest.approx(by_half_angles(a, b, c), abs=1e-13)


def test_an_octant() -> None:
    """Three right sides, three right angles."""
    assert angle_between_sides(pi / 2, pi / 2, pi / 2) == pytest.approx(pi / 2, abs=1e-15)


@pytest.mark.parametrize("sides", [(1.0, 0.4, 0.5), (0.2, 1.0, 1.3), (2.4, 2.2, 2.0)])
def test_triangles_that_do_not_close(sides: tuple[float, float, float]) -> None:
    """One side longer than the others together; their sum more than all round."""
    assert angle_between_sides(*sides) is None


@pytest.mark.parametrize("arc", [1e-9, 1e-4, 0.8, pi / 2, pi - 1e-4, pi - 1e-9])
def test_short_and_long_arcs(arc: float) -> None:
    at = np.array([0.36, 0.48, 0.8])
    way = tangent(at, np.array([0.0, -1.0, 0.0]))
    assert way @ at == pytest.approx(0.0, abs=1e-15)
    assert arc_rad(at, stepped(at, way, arc)) == pytest.approx(arc, rel=1e-6, abs=1e-15)


def test_arcs_by_haversines() -> None:
    """Hav d = hav(lat2 - lat1) + cos lat1 cos lat2 hav(lon2 - lon1) (navigation; from memory)."""
    for lat1, lon1, lat2, lon2 in np.random.default_rng(3).uniform(-1.5, 1.5, (50, 4)):
        hav = sin((lat2 - lat1) / 2) ** 2 + cos(lat1) * cos(lat2) * sin((lon2 - lon1) / 2) ** 2
        a, b = (
            np.array([cos(lat) * cos(lon), cos(lat) * sin(lon), sin(lat)])
            for lat, lon in ((lat1, lon1), (lat2, lon2))
        )
        assert arc_rad(a, b) == pytest.approx(2 * asin(sqrt(hav)), rel=1e-12)


def test_a_rotation_to_two_directions() -> None:
    first, second = np.array([0.6, 0.8, 0.0]), np.array([0.0, 0.6, 0.8])
    to_first, to_second = np.array([0.0, 0.0, 1.0]), np.array([0.8, -0.6, 0.0])
    turn = rotation_to(first, second, to_first, to_second)
    assert turn @ turn.T == pytest.approx(np.eye(3), abs=1e-15)
    assert np.linalg.det(turn) == pytest.approx(1.0)
    assert turn @ first == pytest.approx(to_first, abs=1e-15)
    image = turn @ second
    assert image @ np.cross(to_first, to_second) == pytest.approx(0.0, abs=1e-15)
    assert image @ to_second > 0


@pytest.mark.parametrize("above", [True, False])
@pytest.mark.parametrize(("over", "up"), [(0.0, 0.0), (5.0, 0.5), (4.0, -1.5)])
@pytest.mark.parametrize("leg", [1.5, -1.0, 0.0])
def test_the_pin_s_right_angled_triangle(above: bool, over: float, up: float, leg: float) -> None:
    """Its other leg by Napier's rule, cos c = cos a cos b, runs along the line (from memory).

    That line is the great circle through the axis point and the poles of the midline.
    """
    r, hypotenuse = DIAMETER / 2, 3.5
    place = Place(over * MM_PER_IN, up * MM_PER_IN)
    pin = pin_at(place, hypotenuse * MM_PER_IN, leg * MM_PER_IN, RADIUS, above=above)
    along = acos(cos(hypotenuse / r) / cos(leg / r)) * (1 if above else -1)
    height = up / r + along  # of the foot, up along the line; past the pole where it is more
    foot = np.array([cos(height) * cos(over / r), cos(height) * sin(over / r), sin(height)])
    axis = np.array([cos(up / r) * cos(over / r), cos(up / r) * sin(over / r), sin(up / r)])
    away = np.array([-sin(over / r), cos(over / r), 0.0])  # square to the line, not to the grip
    assert arc_in(axis, pin) == pytest.approx(hypotenuse, abs=1e-12)
    assert asin(-pin @ away) * r == pytest.approx(leg, abs=1e-12)
    assert pin == pytest.approx(cos(leg / r) * foot - sin(leg / r) * away, abs=1e-12)


def test_a_leg_longer_than_its_hypotenuse() -> None:
    with pytest.raises(BallError, match="does not close"):
        pin_at(Place(127.0, 12.7), 50.8, 63.5, RADIUS, above=True)


# ---- layouts as they were drilled


@dataclass(frozen=True)
class Asked:
    pin_to_axis: float
    pin_to_val: float
    pin: str
    mark_to_axis: float
    mark: str

    def told(self) -> str:
        return (
            f"pin_to_axis_point: {self.pin_to_axis}, pin_to_val: {self.pin_to_val}, "
            f"pin: {self.pin}, mark_to_axis_point: {self.mark_to_axis}, mark: {self.mark}"
        )


@pytest.fixture(
    params=[
        Asked(4.0, 2.0, "above", 4.5, "below"),
        Asked(5.5, 1.0, "below", 3.5, "above"),
        Asked(2.0, -1.25, "above", 6.5, "below"),
    ],
    ids=["usual", "pin down", "pin beyond the line"],
)
def asked(request: pytest.FixtureRequest) -> Asked:
    found: Asked = request.param
    return found


@pytest.fixture(params=["right", "left"])
def hand(request: pytest.FixtureRequest) -> str:
    found: str = request.param
    return found


def test_the_pin_is_as_far_from_the_axis_point_as_asked(asked: Asked, hand: str) -> None:
    found = drilled(ASYMMETRICAL, asked.told(), hand)
    assert arc_in(found.laid.pin, axis_of(found)) == pytest.approx(asked.pin_to_axis, abs=1e-9)


def test_the_mark_is_as_far_from_the_axis_point_as_asked(asked: Asked, hand: str) -> None:
    found = drilled(ASYMMETRICAL, asked.told(), hand)
    assert found.laid.mark is not None
    assert arc_in(found.laid.mark, axis_of(found)) == pytest.approx(asked.mark_to_axis, abs=1e-9)


def test_the_pin_is_as_far_from_the_vertical_axis_line(asked: Asked, hand: str) -> None:
    """That line runs through the axis point and the midline's poles; the grip is on one side."""
    found = drilled(ASYMMETRICAL, asked.told(), hand)
    normal = np.cross(frame_of(found)[:, 2], axis_of(found))
    normal /= np.linalg.norm(normal)
    side = np.sign(normal @ frame_of(found)[:, 0])
    square = asin(side * normal @ found.laid.pin) * DIAMETER / 2
    assert square == pytest.approx(asked.pin_to_val, abs=1e-9)


def test_the_pin_is_above_or_below_the_axis_point(asked: Asked, hand: str) -> None:
    """Along the line: on the side of the great circle square to it through the axis point."""
    found = drilled(ASYMMETRICAL, asked.told(), hand)
    upwards = tangent(axis_of(found), frame_of(found)[:, 2])
    assert (found.laid.pin @ upwards > 0) == (asked.pin == "above")


def test_the_mark_is_the_upper_or_lower_of_two(asked: Asked, hand: str) -> None:
    """The other one is its mirror image in the great circle of pin and axis point."""
    found = drilled(ASYMMETRICAL, asked.told(), hand)
    mark, up = found.laid.mark, frame_of(found)[:, 2]
    assert mark is not None
    normal = np.cross(found.laid.pin, axis_of(found))
    other = mark - 2 * (mark @ normal) / (normal @ normal) * normal
    assert (mark @ up > other @ up) == (asked.mark == "above")


def test_the_axis_point_is_over_and_up_from_the_grip_centre(asked: Asked, hand: str) -> None:
    found = drilled(ASYMMETRICAL, asked.told(), hand)
    assert over_and_up_in(found, axis_of(found), hand) == pytest.approx((5.0, 0.5), abs=1e-9)


def test_pin_and_mark_are_where_the_ball_s_own_axes_leave_it() -> None:
    """Lines through the centre of gravity along eigenvectors of the undrilled tensor (LAPACK)."""
    found = drilled(ASYMMETRICAL, LAID + MARK)
    before, marks = found.undrilled, (found.laid.pin, found.laid.mark)
    _, axes = np.linalg.eigh(before.inertia_g_mm2)
    for mark, axis in zip(marks, (axes[:, 0], axes[:, 2]), strict=True):
        assert mark is not None
        away = mark * RADIUS - before.centre_of_gravity_mm
        assert np.linalg.norm(np.cross(away, axis)) == pytest.approx(0.0, abs=1e-7)
    assert found.laid.pin[2] > 0


def test_places_that_were_measured_put_the_grip_where_it_was(asked: Asked, hand: str) -> None:
    """Pin and mark of a layout by distances, told as places from the grip centre."""
    one = drilled(ASYMMETRICAL, asked.told(), hand)
    assert one.laid.mark is not None
    told = [
        f"{key}: {{over: {over:.12f}, up: {up:.12f}}}"
        for key, point in (("pin_at", one.laid.pin), ("mark_at", one.laid.mark))
        for over, up in [over_and_up_in(one, point, hand)]
    ]
    found = drilled(ASYMMETRICAL, ", ".join(told), hand)
    for a, b in zip(found.holes, one.holes, strict=True):
        assert a.entry_mm == pytest.approx(b.entry_mm, abs=1e-8)
        assert a.way == pytest.approx(b.way, abs=1e-10)


def test_an_eighth_of_the_ball() -> None:
    """3 3/8 in is an eighth of 27 in round, 45 degrees (common practice; no source)."""
    text = SYMMETRICAL.replace("8.55", "8.594")
    found = drilled(text, "pin_to_axis_point: 3 3/8, pin_to_val: 2, pin: above")
    assert pi * 8.594 == pytest.approx(27.0, abs=1.5e-3)
    angle = degrees(acos(found.laid.pin @ axis_of(found)))
    assert angle == pytest.approx(45.0, abs=5e-3)
