"""Effects in words."""

from __future__ import annotations

import pytest

from pipeline.effects import Effect
from pipeline.shape_words import effect_words


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ((0.001, -0.002, 0.0), "raises RG; lowers total differential"),
        ((0.00004, -0.00004, 0.0), "hardly moves any"),
        ((0.0, 0.001, 0.001), "raises total differential and intermediate differential"),
    ],
)
def test_effects_in_words(changes: tuple[float, float, float], says: str) -> None:
    assert effect_words(Effect("height", "0.1 in", *changes, False)) == says
