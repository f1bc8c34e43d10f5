"""The page of a ball's figures: digits that its bound defends."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pipeline.report import weighed
from pipeline.weigh import weigh
from tests.pipeline.drilled_text import ball

NAMES = ["low RG", "intermediate RG", "high RG", "total differential", "intermediate differential"]


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(("bound_in", "places"), [(4e-7, 6), (3e-6, 5), (2e-4, 3), (1e-3, 2)])
def test_radii_are_told_to_the_digits_that_the_bound_defends(
    name: str, bound_in: float, places: int
) -> None:
    """Half a unit of the last digit is no less than the bound."""
    whole = ball("")
    exact = weigh(whole)
    found = replace(exact, bound=replace(exact.bound, rg_mm=bound_in * 25.4))
    told = [
        line.removeprefix(f"  {name}").split()[0]
        for line in weighed(whole, found).split("\n")
        if line.startswith(f"  {name} ")
    ]
    assert len(told) == 2  # about the centre of gravity, and about the ball's centre
    for text in told:
        assert len(text.partition(".")[2]) == places
