"""Room for words: boxes, and lines through them."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline import fonts
from pipeline.dossier.room import Box, clear, text_box

ROOM = Box(0.0, 0.0, 10.0, 5.0)
places = st.floats(-20.0, 20.0)


@pytest.mark.parametrize(
    ("other", "meets"),
    [
        (Box(9.0, 4.0, 12.0, 8.0), True),
        (Box(10.0, 0.0, 12.0, 5.0), False),
        (Box(2.0, 1.0, 3.0, 2.0), True),
        (Box(0.0, 5.5, 10.0, 9.0), False),
    ],
)
def test_boxes_meet_where_they_share_room(other: Box, meets: bool) -> None:
    assert ROOM.meets(other) is meets
    assert other.meets(ROOM) is meets


@given(places, places, places, places)
def test_a_line_crosses_a_box_where_its_points_are_in_it(
    ax: float, ay: float, bx: float, by: float
) -> None:
    t = np.linspace(0.0, 1.0, 4001)
    x, y = ax + t * (bx - ax), ay + t * (by - ay)
    if ((x > 1e-6) & (x < 10.0 - 1e-6) & (y > 1e-6) & (y < 5.0 - 1e-6)).any():
        assert ROOM.crossed((ax, ay), (bx, by))
    elif not ((x > -0.1) & (x < 10.1) & (y > -0.1) & (y < 5.1)).any():
        assert not ROOM.crossed((ax, ay), (bx, by))


def test_a_box_is_not_clear_of_a_line_through_it() -> None:
    assert not clear(ROOM, [], [[(-5.0, 2.0), (15.0, 3.0)]])


def test_a_box_is_not_clear_of_what_is_nearer_than_the_gap() -> None:
    assert not clear(ROOM, [Box(11.0, 0.0, 20.0, 5.0)], gap=2.0)


@pytest.mark.parametrize(("anchor", "left"), [("start", 50.0), ("middle", 30.0), ("end", 10.0)])
def test_a_text_takes_its_width_from_its_anchor(anchor: str, left: float) -> None:
    wide = fonts.width("2.5450", 13.0)
    box = text_box(50.0, 20.0, "2.5450", 13.0, anchor)
    assert box.left == pytest.approx(50.0 - (50.0 - left) / 40.0 * wide)
    assert box.right - box.left == pytest.approx(wide)
