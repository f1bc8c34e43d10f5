"""Half-sections that make no body are refused, with the step and the place."""

from __future__ import annotations

from math import inf, nan

import pytest

from shapes.errors import ShapeError
from shapes.turned import ArcStep, SplineStep, Step, Turned

BOTTOM, TOP = (0.0, -30.0), (0.0, 30.0)


@pytest.mark.parametrize(
    ("steps", "field", "says"),
    [
        ((BOTTOM,), "profile", "at least two"),
        (((5.0, -30.0), (20.0, 0.0), TOP), "profile[0]", "must start on the axis"),
        ((BOTTOM, (20.0, 0.0), (5.0, 30.0)), "profile[2]", "must end on the axis"),
        ((TOP, (20.0, 0.0), BOTTOM), "profile[2]", "from the lower axis point"),
        ((BOTTOM, (-20.0, 0.0), TOP), "profile[1]", "crosses the axis"),
        ((BOTTOM, (20.0, -20.0), (0.0, 0.0), (20.0, 20.0), TOP), "profile[2]", "touches the axis"),
        ((BOTTOM, (0.0, 0.0), (20.0, 0.0), TOP), "profile[1]", "touches the axis"),
        ((BOTTOM, (20.0, 20.0), (20.0, -20.0), TOP), "profile[3]", "meets itself"),
        ((BOTTOM, (20.0, 0.0), (20.0, 0.0), TOP), "profile[2]", "repeats the one before"),
        ((BOTTOM, (nan, 0.0), TOP), "profile[1]", "finite"),
        ((BOTTOM, (inf, 0.0), TOP), "profile[1]", "finite"),
        ((BOTTOM, ArcStep(TOP, (0.0, 0.0))), "profile[1]", "on one line"),
        ((BOTTOM, SplineStep(())), "profile[1]", "at least one point"),
        ((ArcStep(TOP, (3.0, 0.0)), TOP), "profile[0]", "plain point"),
        (
            (BOTTOM, SplineStep(((20.0, 0.0), TOP), leave=(0.0, 0.0))),
            "profile[1].leave",
            "direction",
        ),
        (
            (BOTTOM, (30.0, -29.0), SplineStep(((30.0, -28.0), (5.0, -27.0), (30.0, 20.0))), TOP),
            "profile[2]",
            "swings",
        ),
    ],
)
def test_refused(steps: tuple[Step, ...], field: str, says: str) -> None:
    with pytest.raises(ShapeError, match=says) as refusal:
        Turned(profile=steps)
    assert refusal.value.field == field


def test_an_arc_that_runs_through_the_axis_is_seen() -> None:
    """No given point is left of the axis, but the arc between them is."""
    with pytest.raises(ShapeError, match="crosses the axis"):
        Turned(profile=(BOTTOM, (10.0, -20.0), ArcStep((10.0, 20.0), (-2.0, 0.0)), TOP))


def test_a_shoulder_spline_may_swell_a_little() -> None:
    """Smooth barrels lie a little beyond their points; that is no fault."""
    body = Turned(
        profile=(BOTTOM, (20.0, -30.0), SplineStep(((24.0, -8.0), (24.0, 9.0), (20.0, 30.0))), TOP)
    )
    assert body.moments().volume_mm3 > 0.0
