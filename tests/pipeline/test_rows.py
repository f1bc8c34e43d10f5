"""Many balls at once against the same balls built one by one."""

from __future__ import annotations

import numpy as np
import pytest

from pipeline.ball import build_ball
from pipeline.errors import CorewrightError
from pipeline.load import read_design
from pipeline.nest import nest_of
from pipeline.rows import WHY, figures_of, needs_solids, weigh_rows
from pipeline.shipped import shipped
from pipeline.vary import numbers_at, with_numbers
from pipeline.weigh import weigh
from shapes.errors import ShapeError
from tests.pipeline.searched import BARREL, BOX, ELLIPSOID, FLARED, design, drawn

CASES = {
    "barrel": (
        BARREL,
        """part: inner core, field: end_diameter, from: 2.5, to: 3.5
part: inner core, field: height, from: 3.5, to: 6.5
part: inner core, field: move.z, from: -0.3, to: 0.6
part: inner core, field: move.x, from: -0.3, to: 0.3
part: inner core, field: tilt.by, from: 0, to: 20
material: clay, from: 1.6, to: 2.8
ball: weight, from: 13 lb, to: 16 lb
part: outer core, field: diameter, from: 6.5, to: 7.3""",
    ),
    "flared": (
        FLARED,
        """part: inner core, field: lower_diameter, from: 2.5, to: 5
part: inner core, field: height, from: 4, to: 5
part: inner core, field: flare_height, from: 1, to: 2.2""",
    ),
    "box": (
        BOX,
        """part: inner core, field: size.x, from: 3, to: 4.5
part: inner core, field: size.z, from: 4, to: 5.4, with: size.y
part: inner core, field: tilt.toward, from: 0, to: 360""",
    ),
    "ellipsoid": (ELLIPSOID, "part: inner core, field: size.z, from: 4, to: 6, beside: size.x"),
}


@pytest.mark.parametrize("name", CASES)
def test_a_block_weighs_as_its_balls_do(name: str) -> None:
    asked = design(*CASES[name])
    values = drawn(asked, 120)
    rows = weigh_rows(asked, asked.wanted.varied, values)
    assert nest_of(asked, asked.wanted.varied) is not None
    assert 10 < rows.good.sum() < len(values) or name == "ellipsoid"
    for k, row in enumerate(values):
        try:
            one = with_numbers(asked, numbers_at(asked.wanted.varied, list(row)))
            ball = build_ball(one, solids=False)
        except (ShapeError, CorewrightError):
            assert rows.why[k] > 0
            assert np.isnan([column[k] for column in rows.figures.values()]).all()
            continue
        assert WHY[rows.why[k]] == ""
        expected = figures_of(ball, weigh(ball))
        for figure, value in expected.items():
            assert rows.figures[figure][k] == pytest.approx(value, rel=1e-10, abs=1e-9, nan_ok=True)
        assert rows.free_g_cm3[k] == pytest.approx(ball.parts[1].density_g_cm3, rel=1e-12)


def test_parts_that_cross_and_stay_are_weighed_with_what_varies_beside_them() -> None:
    """Godwit's discs are let into its core; only densities vary, so that all claims stay."""
    text = shipped("godwit").read_text(encoding="utf-8")
    vary = (
        "vary:\n  - {material: ballast, from: 2.5, to: 3.5}\n  - {material: clay, from: 1.6, to: 2}"
    )
    asked = read_design(f"{text}\n{vary}\n")
    values = drawn(asked, 20)
    assert nest_of(asked, asked.wanted.varied) is not None
    rows = weigh_rows(asked, asked.wanted.varied, values)
    assert rows.good.all()
    for k in (0, 7):
        ball = build_ball(with_numbers(asked, numbers_at(asked.wanted.varied, list(values[k]))))
        for figure, value in figures_of(ball, weigh(ball)).items():
            assert rows.figures[figure][k] == pytest.approx(value, rel=1e-10)


DUNLIN = """
vary:
  - {part: inner core, field: "profile[1].r", from: 1.7, to: 2.6, with: "profile[2].r"}
  - {part: inner core, field: "profile[4].spline[0].r", from: 1.8, to: 2.5}
  - {part: inner core, field: "profile[4].spline[1].z", from: 1.2, to: 1.8}
  - {part: inner core, field: "profile[3].r", from: 1.5, to: 2.1}
  - {part: inner core, field: "profile[5].arc.z", from: 2.7, to: 2.95}
  - {part: inner core, field: "profile[0].z", from: -2.8, to: -2.5, with: "profile[1].z"}
  - {part: inner core, field: round, from: 0.05, to: 0.9}
  - {part: inner core, field: move.z, from: 0.2, to: 0.5}
"""


def test_half_sections_whose_points_vary_weigh_as_their_balls_do() -> None:
    """Lines, arcs, splines and fillets, some of which do not fit or leave the outer core."""
    asked = read_design(shipped("dunlin").read_text(encoding="utf-8") + DUNLIN)
    values = drawn(asked, 250)
    varied = asked.wanted.varied
    nest = nest_of(asked, varied)
    assert nest is not None
    rows = weigh_rows(asked, varied, values)
    assert 150 < rows.good.sum() < 250
    for k, row in enumerate(values):
        try:
            ball = build_ball(with_numbers(asked, numbers_at(varied, list(row))), solids=False)
        except (ShapeError, CorewrightError):
            assert rows.why[k] > 0
            continue
        for figure, value in figures_of(ball, weigh(ball)).items():
            assert rows.figures[figure][k] == pytest.approx(value, rel=1e-9, abs=1e-8, nan_ok=True)


def test_a_body_inside_another_that_varies_is_built_ball_by_ball() -> None:
    ball = "{shape: sphere, diameter: 2, move: [0, 0, 1.8]}"
    core = f"shape: join, bodies: [{{shape: cylinder, diameter: 3, height: 4}}, {ball}]"
    asked = design(core, "part: inner core, field: 'bodies[0].diameter', from: 2.9, to: 3.1")
    assert nest_of(asked, asked.wanted.varied) is None
    rows = weigh_rows(asked, asked.wanted.varied, drawn(asked, 5))
    assert rows.good.all()
    assert np.ptp(rows.figures["total_differential"]) > 1e-3


def test_a_core_that_only_solids_can_weigh_is_built_once_when_densities_vary() -> None:
    """It leans out of its outer core; twenty balls take no longer than one."""
    crossing = BARREL.replace("move: [0, 0, 0.1]", "move: [1.65, 0, 0]")
    asked = design(
        crossing, "material: clay, from: 1.9, to: 2.5\nball: weight, from: 14 lb, to: 15 lb"
    )
    values = drawn(asked, 20)
    rows = weigh_rows(asked, asked.wanted.varied, values)
    assert rows.good.all()
    for k in (3, 11):
        ball = build_ball(with_numbers(asked, numbers_at(asked.wanted.varied, list(values[k]))))
        assert ball.route == "boundary"
        for figure, value in figures_of(ball, weigh(ball)).items():
            assert rows.figures[figure][k] == pytest.approx(value, rel=1e-9)


@pytest.mark.parametrize(
    ("vary", "why"),
    [
        ("part: inner core, field: end_diameter, from: 4.4, to: 4.5", 1),
        ("part: inner core, field: move.x, from: 2.5, to: 3", 2),
        ("ball: weight, from: 8 lb, to: 9 lb", 3),
        ("part: inner core, field: move.x, from: 1.6, to: 1.7", 4),
    ],
)
def test_what_cannot_be_says_why(vary: str, why: int) -> None:
    asked = design(BARREL, vary)
    assert (weigh_rows(asked, asked.wanted.varied, drawn(asked, 4)).why == why).all()


def test_a_design_that_only_solids_can_weigh_is_known() -> None:
    assert needs_solids(design(BARREL.replace("move: [0, 0, 0.1]", "move: [1.65, 0, 0]")))
    assert not needs_solids(design(BARREL))
