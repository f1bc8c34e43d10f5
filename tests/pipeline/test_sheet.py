"""Boxes, and where a point of the ball falls on the sheet."""

from __future__ import annotations

import numpy as np
import pytest

from pipeline.arrange import lay_out
from pipeline.sheet import Box
from tests.pipeline.plain_scene import plain_scene

BOX = Box(0.0, 0.0, 10.0, 10.0)


@pytest.mark.parametrize(
    ("other", "overlaps"),
    [
        (Box(9.0, 9.0, 20.0, 20.0), True),
        (Box(10.0, 0.0, 20.0, 10.0), False),
        (Box(0.0, 11.0, 10.0, 20.0), False),
    ],
)
def test_boxes_that_only_touch_do_not_overlap(other: Box, overlaps: bool) -> None:
    assert BOX.overlaps(other) is overlaps


def test_a_point_above_and_to_the_right_falls_so() -> None:
    """Seen from +X, Y is to the right."""
    scene = plain_scene()
    sheet = lay_out(scene, (1280, 720))
    x, y = sheet.origin
    due = (x + 30.0 * sheet.px_per_mm, y - 20.0 * sheet.px_per_mm)
    assert sheet.at(scene, np.array([0.0, 30.0, 20.0])) == pytest.approx(due)
