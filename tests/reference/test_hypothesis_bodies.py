"""Whatever hypothesis finds within a family's ranges weighs as its solid does."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.reference.body_strategies import FORMED, bodies
from tests.reference.test_random_bodies import assert_like_solid

SLOW = ("lobed", "twisted", "harmonic", "bossed", "flats", "scallops")


def assert_bodies_weigh_as_their_solids(word: str, examples: int) -> None:
    @settings(
        max_examples=examples,
        deadline=None,
        derandomize=True,
        database=None,
        suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow],
    )
    @given(st.data())
    def hold(data: st.DataObject) -> None:
        assert_like_solid(data.draw(bodies(word)))

    hold()


@pytest.mark.parametrize("word", FORMED)
def test_own_moments_and_those_of_the_placed_solid(word: str) -> None:
    assert_bodies_weigh_as_their_solids(word, 8 if word in SLOW else 30)
