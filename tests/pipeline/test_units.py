"""Quantities as engineers write them."""

from __future__ import annotations

import pytest

from pipeline.units import ANGLE, DENSITY, LENGTH, MASS, Quantity, QuantityError, parse_quantity


@pytest.mark.parametrize(
    ("text", "quantity", "bare", "due"),
    [
        ("8.55 in", LENGTH, None, 217.17),
        ("8.55", LENGTH, "in", 217.17),
        ("21 mm", LENGTH, "in", 21.0),
        ("2.1 cm", LENGTH, "in", 21.0),
        ("4 5/8 in", LENGTH, None, 117.475),
        ("4-5/8 in", LENGTH, None, 117.475),
        ("5/8 in", LENGTH, None, 15.875),
        ("-1 1/2", LENGTH, "in", -38.1),
        ('3"', LENGTH, None, 76.2),
        ("1e-3", LENGTH, "mm", 0.001),
        (".5", LENGTH, "mm", 0.5),
        ("017", LENGTH, "mm", 17.0),
        ("15 lb", MASS, None, 6803.88555),
        ("8 oz", MASS, None, 226.796185),
        ("6.8 kg", MASS, None, 6800.0),
        ("2.45", DENSITY, "g/cm3", 2.45),
        ("2450 kg/m3", DENSITY, "g/cm3", 2.45),
        ("1 lb/in3", DENSITY, "g/cm3", 27.679904710203125),
        ("30 deg", ANGLE, "deg", 30.0),
        ("1 rad", ANGLE, "deg", 57.29577951308232),
    ],
)
def test_read(text: str, quantity: Quantity, bare: str | None, due: float) -> None:
    assert parse_quantity(text, quantity, bare) == pytest.approx(due, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "quantity", "bare", "says"),
    [
        ("8.55", LENGTH, None, "no unit"),
        ("15 in", MASS, None, "no unit of mass"),
        ("15 lbs", MASS, None, "no unit of mass"),
        ("nan", LENGTH, "in", "start with a number"),
        (".inf", LENGTH, "in", "start with a number"),
        ("1e999", LENGTH, "in", "finite"),
        ("1e300", LENGTH, "in", "beyond any length"),
        ("1/0 in", LENGTH, None, "zero"),
        ("1 1/2 lb", MASS, None, "no unit of mass"),
        ("12:30", LENGTH, "in", "no unit"),
        ("true", LENGTH, "in", "start with a number"),
        ("", LENGTH, "in", "start with a number"),
        ("9" * 5000 + "/3 in", LENGTH, None, "no unit of length"),
    ],
)
def test_refused(text: str, quantity: Quantity, bare: str | None, says: str) -> None:
    with pytest.raises(QuantityError, match=says):
        parse_quantity(text, quantity, bare)


def test_nearest_unit_is_named() -> None:
    with pytest.raises(QuantityError) as refusal:
        parse_quantity("3 inchs", LENGTH, None)
    assert refusal.value.nearest == "inches"
