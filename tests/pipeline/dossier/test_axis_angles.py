"""Angles of principal axes, held against numpy's eigenvectors and the cosine of dot products."""

from __future__ import annotations

from decimal import Decimal
from math import acos, atan2, cos, degrees, hypot, pi, radians, sin
from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from pipeline.axes import principal
from pipeline.dossier.axis_angles import axis_angles
from pipeline.dossier.plain import number
from pipeline.drilled import Drilled
from pipeline.layout import Laid
from pipeline.weigh import ErrorBound, MassProperties
from shapes.moments import Array

IN = 25.4
MASS = 6800.0
RADIUS = 4.275 * IN
NAMES = ("low", "intermediate", "high")
RGS = (2.50, 2.53, 2.57)  # in: far enough apart that the axes are sure to all decimals
SURE = 1e-8  # in, of an RG


def turned(about: tuple[float, float, float], by_deg: float) -> Array:
    """A rotation, shape (3, 3), by Rodrigues' formula (from memory)."""
    x, y, z = np.array(about) / np.linalg.norm(about)
    k = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    a = radians(by_deg)
    return np.asarray(np.eye(3) + sin(a) * k + (1.0 - cos(a)) * k @ k)


def tensor(rotation: Array, rgs_in: tuple[float, ...] = RGS) -> Array:
    """An inertia tensor whose axes are the columns of a rotation."""
    return np.asarray(rotation @ np.diag(MASS * (np.array(rgs_in) * IN) ** 2) @ rotation.T)


def weighed(inertia: Array, sure_in: float = SURE, cg: Array | None = None) -> MassProperties:
    axes = principal(inertia, MASS, max(1e-6, sure_in) * IN)
    at = np.zeros(3) if cg is None else cg
    return MassProperties(MASS, at, inertia, axes, axes, RADIUS, ErrorBound(1e-3, sure_in * IN))


def drilled(pin: Array, frame: Array | None = None, axis_point: Array | None = None) -> Drilled:
    """All that is asked of a drilled ball: where its marks are."""
    laid = Laid((), None, axis_point, frame, pin, None)
    return cast(Drilled, SimpleNamespace(laid=laid))


def rows(properties: MassProperties, holes: Drilled | None = None) -> dict[str, dict[str, Any]]:
    return {row["axis"]: row for row in axis_angles(properties, holes)}


def by_numpy(inertia: Array) -> list[Array]:
    """Axes by rising inertia, either way round."""
    return list(np.linalg.eigh(inertia)[1].T)


def between(axis: Array, mark: Array) -> float:
    """Degrees between a line and a direction."""
    dot = float(axis @ mark) / float(np.linalg.norm(axis) * np.linalg.norm(mark))
    return degrees(acos(min(1.0, abs(dot))))


def shortest(a: float, b: float) -> float:
    """Degrees between two azimuths."""
    return abs((a - b + 180.0) % 360.0 - 180.0)


def last_digit(told: float) -> float:
    """One of the last digit that a number is written with."""
    return 10.0 ** int(cast(int, Decimal(repr(told)).as_tuple().exponent))


ways = st.tuples(*[st.floats(-1.0, 1.0)] * 3).filter(lambda v: float(np.linalg.norm(v)) > 0.1)
rotations = st.builds(turned, ways, st.floats(0.0, 360.0))
unit = ways.map(lambda v: np.array(v) / np.linalg.norm(v))


# --- against numpy


@given(rotations)
def test_the_angle_from_the_pole_is_that_of_numpys_axis(rotation: Array) -> None:
    inertia = tensor(rotation)
    found = rows(weighed(inertia))
    for name, axis in zip(NAMES, by_numpy(inertia), strict=True):
        told = found[name]["from_z_deg"]
        due = degrees(acos(float(np.clip(axis[2], -1.0, 1.0))))
        assert min(abs(told - due), abs(told - (180.0 - due))) < 0.6e-3


@given(rotations)
def test_azimuth_and_angle_from_the_pole_point_along_numpys_axis(rotation: Array) -> None:
    inertia = tensor(rotation)
    found = rows(weighed(inertia))
    for name, axis in zip(NAMES, by_numpy(inertia), strict=True):
        azimuth, from_z = found[name]["azimuth_deg"], radians(found[name]["from_z_deg"])
        if azimuth is None:
            assert between(axis, np.array([0.0, 0.0, 1.0])) < 2e-3
            continue
        a = radians(azimuth)
        way = np.array([sin(from_z) * cos(a), sin(from_z) * sin(a), cos(from_z)])
        assert between(way, axis) < 1.5e-3


@given(rotations, unit, unit)
def test_an_angle_to_a_mark_is_the_arc_cosine_of_a_dot_product(
    rotation: Array, pin: Array, axis_point: Array
) -> None:
    inertia = tensor(rotation)
    frame = turned((1.0, 2.0, 3.0), 77.0) @ rotation
    found = rows(weighed(inertia), drilled(pin, frame, axis_point))
    marks = {
        "pin": pin,
        "grip_centre": frame[:, 0],
        "midline": frame[:, 1],
        "fingers": frame[:, 2],
        "axis_point": axis_point,
    }
    for name, axis in zip(NAMES, by_numpy(inertia), strict=True):
        for mark, at in marks.items():
            assert found[name][f"to_{mark}_deg"] == pytest.approx(between(axis, at), abs=0.6e-3)


@given(rotations)
def test_the_cosines_to_a_grips_three_ways_square_up_to_one(rotation: Array) -> None:
    found = rows(weighed(tensor(rotation)), drilled(rotation[:, 0], turned((3.0, 1.0, 2.0), 50.0)))
    for row in found.values():
        angles = (row[f"to_{way}_deg"] for way in ("grip_centre", "midline", "fingers"))
        assert sum(cos(radians(a)) ** 2 for a in angles) == pytest.approx(1.0, abs=3e-5)


@given(rotations)
def test_the_low_axis_of_an_undrilled_ball_with_a_centred_mass_is_at_its_pin(
    rotation: Array,
) -> None:
    found = rows(weighed(tensor(rotation)))
    assert [found[name]["to_pin_deg"] for name in NAMES] == [0.0, 90.0, 90.0]


def test_the_pin_is_seen_from_the_balls_centre_and_not_from_the_centre_of_gravity() -> None:
    aside = np.array([0.5 * IN, 0.0, 0.0])  # the axis leaves the ball half an inch beside the pole
    found = rows(weighed(tensor(np.eye(3)[:, [2, 1, 0]]), cg=aside))
    assert found["low"]["to_pin_deg"] == pytest.approx(degrees(np.arcsin(0.5 / 4.275)), abs=0.6e-3)


# --- range and what is undefined


@given(rotations)
@example(turned((0.0, 0.0, 1.0), -1e-7))
@example(turned((0.0, 0.0, 1.0), -1e-15))
def test_azimuths_lie_from_0_up_to_360(rotation: Array) -> None:
    for row in rows(weighed(tensor(rotation))).values():
        assert row["azimuth_deg"] is None or 0.0 <= row["azimuth_deg"] < 360.0


@pytest.mark.parametrize("y", [-1e-7, -1e-9, -1e-17, 0.0, 1e-9])
def test_an_axis_along_x_has_azimuth_0(y: float) -> None:
    high = np.array([1.0, y, 0.0]) / hypot(1.0, y)
    low = np.array([0.0, 0.0, 1.0])
    properties = weighed(tensor(np.stack([low, np.cross(high, low), high], axis=1)))
    assert rows(properties)["high"]["azimuth_deg"] == 0.0


@given(rotations)
def test_angles_from_the_pole_lie_from_0_to_180_and_those_to_marks_up_to_90(
    rotation: Array,
) -> None:
    for row in rows(weighed(tensor(rotation)), drilled(rotation[:, 1])).values():
        assert 0.0 <= row["from_z_deg"] <= 180.0
        assert 0.0 <= row["to_pin_deg"] <= 90.0


def test_an_axis_at_the_pole_has_no_azimuth() -> None:
    found = rows(weighed(tensor(np.eye(3)[:, [2, 1, 0]])))  # low along Z
    assert (found["low"]["azimuth_deg"], found["low"]["from_z_deg"]) == (None, 0.0)
    assert None not in (found["intermediate"]["azimuth_deg"], found["high"]["azimuth_deg"])


def test_a_symmetrical_ball_has_one_axis_and_a_round_one_none() -> None:
    defined = {}
    for name, rgs in (("low", (2.5, 2.6, 2.6)), ("high", (2.5, 2.5, 2.6)), ("none", (2.5,) * 3)):
        found = rows(weighed(tensor(turned((1.0, 1.0, 0.0), 40.0), rgs)))
        defined[name] = [
            axis for axis, row in found.items() if set(row.values()) - {axis} != {None}
        ]
    assert defined == {"low": ["low"], "high": ["high"], "none": []}


def test_a_ball_without_a_pin_has_no_angle_to_it() -> None:
    found = rows(weighed(tensor(np.eye(3), (2.5, 2.5, 2.6))))
    assert found["high"]["to_pin_deg"] is None


def test_only_the_marks_that_a_ball_has_are_told() -> None:
    properties = weighed(tensor(np.eye(3)))
    pin, frame = np.array([0.0, 0.0, 1.0]), np.eye(3)
    keys = {"axis", "azimuth_deg", "from_z_deg", "to_pin_deg"}
    grip = {"to_grip_centre_deg", "to_midline_deg", "to_fingers_deg"}
    told = [
        set(axis_angles(properties, holes)[0])
        for holes in (None, drilled(pin), drilled(pin, frame), drilled(pin, frame, frame[:, 1]))
    ]
    assert told == [keys, keys, keys | grip, keys | grip | {"to_axis_point_deg"}]


# --- no digit that the axis is not sure of


def worst(inertia: Array, sure_in: float) -> list[Array]:
    """Tensors whose RGs are off by the bound: turned in each plane as far as that goes."""
    _, axes = np.linalg.eigh(inertia)
    rg = np.sqrt(np.linalg.eigvalsh(inertia)[0] / MASS)
    size = 2.0 * MASS * rg * sure_in * IN  # of I = m rg^2
    found = []
    for a, b in ((0, 1), (0, 2), (1, 2)):
        cross = np.outer(axes[:, a], axes[:, b])
        found += [inertia + sign * size * (cross + cross.T) for sign in (1.0, -1.0)]
    return found


@settings(max_examples=40)
@given(rotations, st.sampled_from([1e-8, 1e-7, 4e-7, 1e-6]))
def test_angles_from_the_pole_and_to_marks_stand_when_the_tensor_is_off_by_its_bound(
    rotation: Array, sure_in: float
) -> None:
    inertia, pin = tensor(rotation), np.array([0.6, 0.0, 0.8])
    found = rows(weighed(inertia, sure_in), drilled(pin))
    for other in worst(inertia, sure_in):
        for name, axis in zip(NAMES, by_numpy(other), strict=True):
            from_z, to_pin = found[name]["from_z_deg"], found[name]["to_pin_deg"]
            due = degrees(acos(float(np.clip(axis[2], -1.0, 1.0))))
            off = min(abs(from_z - due), abs(from_z - (180.0 - due)))
            assert off < 1.01 * last_digit(from_z)
            assert abs(to_pin - between(axis, pin)) < 1.01 * last_digit(to_pin)


def test_an_azimuth_stands_when_the_tensor_is_off_by_its_bound() -> None:
    """Near the pole an azimuth is less sure than the axis, by the sine of its angle from there."""
    wrong = []
    for lean in (0.5, 2.0, 7.12, 30.0, 80.0):
        rotation = turned((0.0, 0.0, 1.0), 33.333) @ turned((0.0, 1.0, 0.0), lean)
        inertia = tensor(rotation[:, [2, 1, 0]])  # the low axis leans that far off +Z
        told = rows(weighed(inertia, 4e-7))["low"]["azimuth_deg"]
        if told is None:
            continue
        off = max(
            shortest(told, degrees(atan2(sign * axis[1], sign * axis[0])))
            for other in worst(inertia, 4e-7)
            for axis in by_numpy(other)[:1]
            for sign in (np.sign(axis[2]),)
        )
        if off > 1.01 * last_digit(told):
            wrong.append(f"{lean} deg off the pole: {told} is told, {off:.4f} deg off")
    assert wrong == []


def test_an_angle_that_is_sure_to_whole_degrees_is_written_without_a_decimal() -> None:
    inertia = tensor(turned((0.0, 0.0, 1.0), 0.3), (2.5, 2.53, 2.57))
    told = rows(weighed(inertia, 2e-4), drilled(np.array([0.6, 0.0, 0.8])))["low"]["to_pin_deg"]
    off = max(
        abs(between(by_numpy(other)[0], np.array([0.6, 0.0, 0.8])) - 53.13)
        for other in worst(inertia, 2e-4)
    )
    assert off > 0.1  # so a tenth is not sure
    assert "." not in number(told, "deg")


@pytest.mark.parametrize("gap_in", [2e-6, 5e-6, 2e-5])
def test_axes_that_the_bound_may_turn_by_degrees_are_told_to_no_digit_that_does_not_stand(
    gap_in: float,
) -> None:
    """Two RGs some bounds apart: their axes may lie far from where they are found."""
    inertia = tensor(turned((0.3, -0.2, 1.0), 25.0), (2.5, 2.6, 2.6 + gap_in))
    mark = np.array([0.0, 0.6, 0.8])
    found = rows(weighed(inertia, 1e-6), drilled(mark))
    wrong = []
    for other in worst(inertia, 1e-6):
        for name, axis in zip(NAMES, by_numpy(other), strict=True):
            told = found[name]["to_pin_deg"]
            off = 0.0 if told is None else abs(told - between(axis, mark))
            if told is not None and off > max(1.01, last_digit(told)):
                wrong.append(f"{name}: {told} is told, {off:.2f} deg off")
    assert wrong == []


@given(st.floats(0.0, 2.0 * pi), st.floats(5.0, 85.0))
def test_a_ball_turned_about_z_turns_its_azimuths_with_it(by: float, lean: float) -> None:
    rotation = turned((0.0, 1.0, 0.0), lean)[:, [2, 1, 0]]
    before = rows(weighed(tensor(rotation)))["low"]
    after = rows(weighed(tensor(turned((0.0, 0.0, 1.0), degrees(by)) @ rotation)))["low"]
    assert shortest(after["azimuth_deg"] - before["azimuth_deg"], degrees(by)) < 1.1e-3
    assert after["from_z_deg"] == pytest.approx(before["from_z_deg"], abs=1.1e-3)
