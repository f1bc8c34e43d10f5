"""Numbers as the page and the PDF have them, held by decimal arithmetic."""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Decimal

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from pipeline.dossier.plain import bound, number, rounded, vector

FIGURES = st.floats(-1e6, 1e6, allow_subnormal=False)
MINUS = "\N{MINUS SIGN}"


def read(text: str) -> Decimal:
    """What a reader makes of a number."""
    assert "-" not in text
    return Decimal(text.replace(MINUS, "-"))


@given(FIGURES)
@example(1.2e-06)
@example(-1e-09)
@example(1e16)
def test_a_number_is_read_as_the_very_one_of_the_data(value: float) -> None:
    assert float(read(number(value))) == value


@given(FIGURES)
@example(5e-324)
def test_a_number_has_no_digit_that_json_does_not_have(value: float) -> None:
    assert read(number(value)) == Decimal(repr(value))


@given(FIGURES)
@example(2.5e-7)
def test_a_number_is_written_without_a_power_of_ten(value: float) -> None:
    assert set(number(value)) <= set(f"0123456789.{MINUS}")


def test_minus_nothing_is_nothing() -> None:
    assert (number(-0.0), rounded(-0.0, 2), vector([-0.0])) == ("0.0", "0.00", "0.0")


def test_a_unit_stands_after_a_number_and_not_after_undefined() -> None:
    assert [f(None, "in") for f in (number, bound, vector)] == ["undefined"] * 3
    assert rounded(None, 3, "in") == "undefined"
    assert [number(1.5, "in"), bound(2e-7, "in"), rounded(1.5, 2, "in"), vector([1.5], "in")] == [
        "1.5 in", f"2e{MINUS}7 in", "1.50 in", "1.5 in",
    ]  # fmt: skip


@given(st.integers(1, 9), st.integers(-12, 2))
def test_a_bound_of_one_figure_is_told_as_it_is(figure: int, power: int) -> None:
    value = float(f"{figure}e{power}")
    told = bound(value)
    assert "-" not in told
    assert float(told.replace(MINUS, "-")) == value


@given(st.integers(1, 9), st.integers(-12, -5))
def test_a_small_bound_is_one_figure_and_a_power_of_ten(figure: int, power: int) -> None:
    assert bound(float(f"{figure}e{power}")) == f"{figure}e{MINUS}{-power}"


@given(FIGURES, st.integers(0, 9))
@example(0.125, 2)
@example(-0.0004, 3)
@example(2.675, 2)
def test_a_rounded_number_is_what_decimal_arithmetic_makes_of_it(value: float, places: int) -> None:
    due = Decimal(value).quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_EVEN)
    assert read(rounded(value, places)) == due


@given(FIGURES, st.integers(0, 9))
def test_a_rounded_number_has_so_many_decimals(value: float, places: int) -> None:
    assert len(rounded(value, places).partition(".")[2]) == places


@given(FIGURES, st.integers(0, 9))
def test_a_rounded_number_has_a_minus_only_where_a_digit_is_left(value: float, places: int) -> None:
    told = rounded(value, places)
    assert not told.startswith(MINUS) or read(told) < 0


@pytest.mark.parametrize("values", [[1.0], [0.0, -1.5, 2.0], [1e-7, 2.54500812, -3.0]])
def test_coordinates_are_told_in_their_order_digit_for_digit(values: list[float]) -> None:
    assert [float(read(word)) for word in vector(values).split(", ")] == values
