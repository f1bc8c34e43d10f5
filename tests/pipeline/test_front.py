"""What is left when figures are sought together, against brute force."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from pipeline.crew import Crew
from pipeline.front import on_front
from pipeline.rows import weigh_rows
from pipeline.samples import Grid, values_of
from pipeline.sweep import Plan, run
from pipeline.sweep_results import write_sweep
from tests.pipeline.searched import FLARED, design


def beaten(costs: np.ndarray, k: int) -> bool:
    return any((other <= costs[k]).all() and (other < costs[k]).any() for other in costs)


@pytest.mark.parametrize("columns", [2, 3])
def test_the_front_is_that_of_brute_force(columns: int) -> None:
    costs = np.random.default_rng(columns).integers(0, 12, size=(150, columns)).astype(float)
    expected = [not beaten(costs, k) for k in range(len(costs))]
    assert on_front(costs).tolist() == expected


def test_rows_without_a_figure_are_never_on_it() -> None:
    costs = np.array([[np.nan, 0.0], [1.0, 1.0]])
    assert on_front(costs).tolist() == [False, True]


def test_a_sweep_with_two_sought_figures_writes_its_front(tmp_path: Path) -> None:
    """The greatest differential with the greatest RG, over a small grid: every pair compared."""
    asked = design(
        FLARED,
        """part: inner core, field: lower_diameter, from: 3.0, to: 4.6
part: inner core, field: height, from: 3.8, to: 5.4""",
        "aim: {low_rg: {seek: greatest}, total_differential: {seek: greatest, to: 0.04}}",
    )
    plan = Plan(asked, Grid((15, 14)))
    write_sweep(plan, run(plan, tmp_path / "map", Crew()), tmp_path / "map")
    rows = list(csv.DictReader((tmp_path / "map" / "front.csv").read_text().splitlines()))
    values = values_of(asked.wanted.varied, plan.samples, 0, 210)
    figures = weigh_rows(asked, asked.wanted.varied, values).figures
    costs = -np.column_stack([figures["low_rg"], figures["total_differential"]])
    inside = figures["total_differential"] <= 0.04 * 25.4
    expected = [k for k in range(210) if inside[k] and not beaten(costs[inside], _at(inside, k))]
    assert [int(row["row"]) for row in rows] == expected
    assert 5 < len(rows) < 100


def _at(inside: np.ndarray, k: int) -> int:
    return int(inside[:k].sum())
