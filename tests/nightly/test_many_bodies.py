"""Hundreds of bodies a family, as hypothesis finds them, against their solids."""

from __future__ import annotations

import pytest

from tests.reference.body_strategies import FORMED
from tests.reference.test_hypothesis_bodies import assert_bodies_weigh_as_their_solids


@pytest.mark.parametrize("word", FORMED)
def test_own_moments_and_those_of_the_placed_solid(word: str) -> None:
    assert_bodies_weigh_as_their_solids(word, 300)
