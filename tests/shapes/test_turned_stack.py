"""Many turned bodies at once against the same bodies drawn one by one."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from shapes.errors import ShapeError
from shapes.moments import rgs_mm
from shapes.turned import ArcStep, SplineStep, Step, Turned
from shapes.turned_stack import turned_variations

STEPPED: tuple[Step, ...] = (
    (0.0, -50.0),
    (40.0, -50.0),
    (40.0, -10.0),
    (25.0, -10.0),
    (25.0, 40.0),
    (0.0, 40.0),
)
CURVED: tuple[Step, ...] = (
    (0.0, -60.0), (45.0, -60.0), SplineStep(((52.0, -30.0), (38.0, 10.0)), (0.0, 1.0), None),
    (30.0, 30.0), ArcStep((0.0, 62.0), (22.0, 53.0)),
)  # fmt: skip


def put(steps: tuple[Step, ...], key: tuple[str | int, ...], value: float) -> tuple[Step, ...]:
    """The half-section with one number of it set."""
    index, rest = int(key[1]), key[2:]
    step = steps[index]
    if isinstance(step, tuple):
        k = int(rest[0])
        new: Step = (value, step[1]) if k == 0 else (step[0], value)
    elif isinstance(step, ArcStep):
        point = list(getattr(step, str(rest[0])))
        point[int(rest[1])] = value
        new = dataclasses.replace(step, **{str(rest[0]): tuple(point)})
    else:
        points = [list(p) for p in step.spline]
        points[int(rest[1])][int(rest[2])] = value
        new = dataclasses.replace(step, spline=tuple((p[0], p[1]) for p in points))
    return (*steps[:index], new, *steps[index + 1 :])


CASES = [
    (STEPPED, 0.0, {("profile", 2, 0): (35.0, 45.0), ("profile", 3, 0): (15.0, 33.0)}),
    (STEPPED, 5.0, {("profile", 4, 0): (15.0, 35.0), ("profile", 4, 1): (30.0, 40.0)}),
    (STEPPED, 4.0, {("profile", 2, 1): (-20.0, 0.0), ("round",): (0.5, 9.0)}),
    (CURVED, 0.0, {("profile", 1, 0): (30.0, 52.0), ("profile", 2, "spline", 0, 0): (40.0, 58.0)}),
    (CURVED, 4.0, {("profile", 4, "arc", 1): (54.0, 70.0), ("profile", 3, 0): (24.0, 36.0)}),
    (CURVED, 3.0, {("profile", 4, "through", 0): (17.0, 26.0)}),
    (CURVED, 2.0, {("profile", 2, "spline", 1, 1): (0.0, 18.0)}),
]  # fmt: skip


@pytest.mark.parametrize("case", range(len(CASES)))
def test_what_is_proven_weighs_and_is_drawn_as_the_body_alone(case: int) -> None:
    steps, radius, ranges = CASES[case]
    g = np.random.default_rng(case)
    count = 60
    columns = {key: low + (high - low) * g.random(count) for key, (low, high) in ranges.items()}
    found = turned_variations(Turned(steps, radius), columns, count)
    assert found.proven.mean() > 0.35
    for k in range(count):
        drawn, fillet = steps, radius
        for key, column in columns.items():
            if key == ("round",):
                fillet = float(column[k])
            else:
                drawn = put(drawn, key, float(column[k]))
        try:
            body = Turned(drawn, fillet)
        except ShapeError:
            assert not found.proven[k]  # a stack never takes what one body refuses
            continue
        if found.proven[k]:
            one = found.moments[k]
            assert one.volume_mm3 == pytest.approx(body.moments().volume_mm3, rel=1e-10)
            assert rgs_mm(one) == pytest.approx(rgs_mm(body.moments()), rel=1e-9)
            reach = max(np.hypot(r, z).ravel()[min(k, np.size(r * z) - 1)] for r, z in found.hull)
            assert reach >= body.reach_mm(np.zeros(3)) * (1.0 - 1e-12)


def test_a_half_section_that_crosses_itself_is_never_proven() -> None:
    steps = ((0.0, -50.0), (40.0, -50.0), (40.0, 10.0), (30.0, 0.0), (0.0, 40.0))
    found = turned_variations(Turned(steps), {("profile", 3, 1): np.array([0.0, 12.0, -60.0])}, 3)
    assert found.proven.tolist() == [False, True, False]


def test_a_cone_weighs_as_the_handbook_says() -> None:
    """V = pi r^2 h / 3 and k^2 = 3/10 r^2 about its axis (Beer & Johnston)."""
    r = np.array([10.0, 20.0, 35.0])
    cone = Turned(((0.0, 0.0), (20.0, 0.0), (0.0, 50.0)))
    found = turned_variations(cone, {("profile", 1, 0): r}, 3)
    assert found.proven.all()
    assert found.moments.volume_mm3 == pytest.approx(np.pi * r**2 * 50.0 / 3.0, rel=1e-12)
    axis = 2.0 * found.moments.second_mm5[:, 0, 0] / found.moments.volume_mm3
    assert axis == pytest.approx(0.3 * r**2, rel=1e-12)
