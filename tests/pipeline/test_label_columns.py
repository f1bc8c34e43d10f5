from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.drafting import Stroke, Words, box
from pipeline.label_columns import Entry, column, spread

places = st.lists(st.floats(-100.0, 100.0), min_size=1, max_size=30)


@given(places)
def test_labels_keep_their_distance_and_their_order(wanted: list[float]) -> None:
    found = spread(sorted(wanted), [2.0] * len(wanted), 1.0)
    assert all(b - a > 3.0 - 1e-9 for a, b in pairwise(found))


@given(places)
def test_labels_stay_about_their_places(wanted: list[float]) -> None:
    """Moves that are least by squares sum to nothing over labels that touch, so over all."""
    found = spread(sorted(wanted), [2.0] * len(wanted), 1.0)
    assert sum(found) == pytest.approx(sum(wanted), abs=1e-6)


def test_no_two_labels_of_a_column_touch() -> None:
    entries = [Entry((k % 3, 0.1 * k), ("\u00d8 1.00", "centre r 0.00")) for k in range(20)]
    found = [box(m) for m in column(entries, 10.0, 1.0) if isinstance(m, Words)]
    assert not [(a, b) for k, a in enumerate(found) for b in found[:k] if a.meets(b)]


def test_leaders_do_not_cross() -> None:
    marks = column([Entry((0.0, y), ("1.00",)) for y in (3.0, 0.0, 0.5, 9.0)], 10.0, -1.0)
    ends = sorted((m.points[0][1], m.points[-1][1]) for m in marks if isinstance(m, Stroke))
    assert [e[1] for e in ends] == sorted(e[1] for e in ends)
