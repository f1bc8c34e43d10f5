"""The table of a spline, rebuilt from its printed figures by SciPy's own Hermite interpolation."""

from __future__ import annotations

from itertools import pairwise
from math import cos, hypot, radians, sin

import numpy as np
import pytest
from scipy.interpolate import CubicHermiteSpline
from scipy.spatial import cKDTree

from pipeline.spline_points import runs_of, table_of
from shapes.curves import Bezier, Line

S_CURVE = (
    Bezier(((40.0, 0.0), (50.0, 10.0), (58.0, 22.0), (55.0, 36.0))),
    Bezier(((55.0, 36.0), (52.0, 50.0), (44.0, 60.0), (44.0, 75.0))),
)


def test_the_cubics_through_the_table_keep_within_what_is_said() -> None:
    table = table_of([S_CURVE], -3.0, 24)
    assert table is not None
    dense = np.concatenate([np.stack(b.at(np.linspace(0.0, 1.0, 100_001)), -1) for b in S_CURVE])
    near, worst = cKDTree(dense), 0.0
    for a, b in pairwise(table.points):
        chord = hypot(b.at[0] - a.at[0], b.at[1] - a.at[1])
        ways = [[chord * f(radians(p.tangent_deg)) for f in (cos, sin)] for p in (a, b)]
        cubic = CubicHermiteSpline([0.0, 1.0], [a.at, b.at], ways)(np.linspace(0.0, 1.0, 50))
        worst = max(worst, float(near.query(cubic)[0].max()))
    assert worst <= table.within_mm + 5e-4  # as printed: rounded up at the third decimal
    assert table.within_mm <= 0.005


def test_spans_that_run_into_each_other_are_one_run() -> None:
    assert [len(run) for run in runs_of(S_CURVE)] == [2]


def test_a_line_between_spans_parts_them() -> None:
    line = Line((44.0, 75.0), (44.0, 80.0))
    assert [len(run) for run in runs_of([*S_CURVE, line, *S_CURVE])] == [2, 2]


def test_heights_are_round_from_the_datum() -> None:
    table = table_of([S_CURVE], 0.12345, 24)
    assert table is not None
    rises = [p.at[1] - 0.12345 for p in table.points]
    assert rises == pytest.approx([round(rise, 3) for rise in rises], abs=1e-9)


def test_too_few_rows_give_no_table() -> None:
    assert table_of([S_CURVE], 0.0, 2) is None
