"""No digit that is not sure."""

from __future__ import annotations

import pytest

from pipeline.digits import decimals


@pytest.mark.parametrize(
    ("value", "bound", "most", "text"),
    [
        (2.54449, 1e-9, 3, "2.544"),
        (2.54449, 0.0004, 3, "2.544"),
        (2.54449, 0.004, 3, "2.54"),
        (2.54449, 0.0, 2, "2.54"),
        (2.54449, 3.0, 2, "3"),
        (-1.25, 1e-9, 1, "\u22121.2"),
    ],
)
def test_decimals_end_where_the_bound_begins(
    value: float, bound: float, most: int, text: str
) -> None:
    assert decimals(value, bound, most) == text


def test_a_nought_has_no_sign() -> None:
    assert decimals(-0.00001, 1e-9, 3) == "0.000"
