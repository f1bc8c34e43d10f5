"""Points of a design space, the same whoever asks for them."""

from __future__ import annotations

import numpy as np
import pytest

from pipeline.samples import Grid, Line, SampleError, Scatter, samples_of, values_of
from tests.pipeline.searched import BARREL, design

VARIED = design(
    BARREL,
    """part: inner core, field: height, from: 4, to: 5
material: clay, from: 2, to: 3""",
).wanted.varied


def test_a_grid_runs_its_last_number_fastest() -> None:
    values = values_of(VARIED, Grid((2, 3)), 0, 6)
    assert values[:, 0] == pytest.approx([101.6] * 3 + [127.0] * 3)
    assert values[:, 1] == pytest.approx([2.0, 2.5, 3.0] * 2)


@pytest.mark.parametrize("samples", [Grid((7, 9)), Scatter(60, 2, seed=4), Line(60, 2)])
def test_any_stretch_is_the_same_as_a_part_of_the_whole(samples: Grid | Scatter | Line) -> None:
    whole = samples.shares(0, 60)
    assert np.array_equal(samples.shares(13, 29), whole[13:29])
    assert whole.min() >= 0.0
    assert whole.max() <= 1.0


def test_strewn_points_fill_the_square_more_evenly_than_chance() -> None:
    """Sobol's sequence puts one of 16 points into each of 16 equal boxes (its definition)."""
    points = Scatter(16, 2, seed=3).shares(0, 16)
    boxes = {(int(x * 4), int(y * 4)) for x, y in points}
    assert len(boxes) == 16


def test_a_seed_gives_the_same_points_and_another_seed_others() -> None:
    one, same, other = (Scatter(8, 3, seed).shares(0, 8) for seed in (1, 1, 2))
    assert np.array_equal(one, same)
    assert not np.array_equal(one, other)


def test_a_morph_goes_from_all_lows_to_all_highs() -> None:
    values = values_of(VARIED, Line(3, 2), 0, 3)
    assert values == pytest.approx(np.array([[101.6, 2.0], [114.3, 2.5], [127.0, 3.0]]))


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ({}, "say one of"),
        ({"count": 5, "steps": "5"}, "say one of"),
        ({"count": -5}, "at least 1"),
        ({"steps": "5x"}, "no steps of a grid"),
        ({"steps": "5x5x5"}, "where 2 numbers vary"),
        ({"steps": "1"}, "at least 2"),
        ({"steps": "100000"}, "at most"),
        ({"frames": 1}, "at least 2"),
    ],
)
def test_what_cannot_be_is_refused(asked: dict[str, int], says: str) -> None:
    with pytest.raises(SampleError, match=says):
        samples_of(VARIED, **asked)  # type: ignore[arg-type]


def test_a_design_in_which_nothing_varies_is_refused() -> None:
    with pytest.raises(SampleError, match="write a vary section"):
        samples_of((), count=5)
