"""The map of RG, read back from its SVG and held against the tensor by numpy's decomposition."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from pipeline.dossier.document import Chart
from pipeline.dossier.rg_map import MIDDLE, RADIUS, rg_map
from tests.pipeline.dossier.chart_read import Shape, meetings, outside, rooms, root_of, shapes
from tests.pipeline.dossier.chart_rows import AXES, BOUND_IN, MASS_G, TENSORS, charts

NAMES = ["dunlin", "turnstone"]
MM = 25.4
CELL = re.compile(r"(\d+) deg azimuth, (\d+) deg from \+Z: RG ([\d.]+) in")


def cells(chart: Chart) -> list[tuple[float, float, float, Shape]]:
    """Azimuth and angle from +Z, deg, RG, in, and the shape of every field."""
    found = []
    for shape in shapes(chart):
        match = CELL.fullmatch(shape.hover)
        if match:
            found.append((*(float(v) for v in match.groups()), shape))
    return found  # type: ignore[return-value]


def rg(tensor: Any, direction: np.ndarray) -> float:
    """In inches, from the squares of the axes' shares in a direction."""
    values, axes = np.linalg.eigh(np.array(tensor))
    return float(np.sqrt(values @ (axes.T @ direction) ** 2 / MASS_G)) / MM


def direction(azimuth: float, rise: float) -> np.ndarray:
    turn = Rotation.from_euler("ZY", [azimuth, rise], degrees=True)
    return np.asarray(turn.apply([0.0, 0.0, 1.0]))


def pointed(x: float, y: float) -> np.ndarray:
    """The direction at a place of the sheet: as far from +Z as it is from the middle."""
    right, up = x - MIDDLE[0], MIDDLE[1] - y
    out = np.hypot(right, up)
    return direction(float(np.degrees(np.arctan2(up, right))), float(90.0 * out / RADIUS))


def axes_of(tensor: np.ndarray) -> dict[str, Any]:
    """All three, as eigenvectors."""
    _, axes = np.linalg.eigh(tensor)
    return dict(zip(("low", "intermediate", "high"), axes.T, strict=True))


def turned(seed: int) -> np.ndarray:
    turn = Rotation.random(random_state=seed).as_matrix()
    return np.asarray(turn @ np.array(TENSORS["turnstone"]) @ turn.T)


def signs(chart: Chart, name: str) -> set[tuple[float, float]]:
    """Where an axis' sign stands."""
    return {
        (float(s.attributes["cx"]) + s.dx, float(s.attributes["cy"]) + s.dy)
        for s in shapes(chart)
        if s.name == "circle" and s.hover.startswith(f"{name} axis")
    }


@pytest.mark.parametrize("name", NAMES)
def test_there_is_a_field_for_every_ten_degrees_both_ways(name: str) -> None:
    found = {(azimuth, rise) for azimuth, rise, _, _ in cells(charts()[name])}
    assert found == {(10.0 * a, 5.0 + 10.0 * r) for a in range(36) for r in range(9)}


@pytest.mark.parametrize("name", NAMES)
def test_every_field_tells_its_rg(name: str) -> None:
    for azimuth, rise, told, _ in cells(charts()[name]):
        assert told == pytest.approx(rg(TENSORS[name], direction(azimuth, rise)), abs=6e-5)


@pytest.mark.parametrize("name", NAMES)
def test_a_field_is_the_darker_the_greater_its_rg(name: str) -> None:
    found = []
    for _, _, told, shape in cells(charts()[name]):
        r, g, b = (int(shape.attributes["fill"][k : k + 2], 16) for k in (1, 3, 5))
        found.append((told, 0.2126 * r + 0.7152 * g + 0.0722 * b))
    by_rg = [light for _, light in sorted(found, key=lambda pair: (pair[0], -pair[1]))]
    assert all(b <= a + 1.0 for a, b in pairwise(by_rg))


@pytest.mark.parametrize("name", NAMES)
def test_a_field_reaches_to_its_outer_angle_at_its_azimuth(name: str) -> None:
    for azimuth, rise, _, shape in cells(charts()[name]):
        numbers = [float(v) for v in re.findall(r"-?[\d.]+", shape.attributes["d"])]
        start = np.array([numbers[2] + shape.dx, numbers[3] + shape.dy])
        # written to a tenth of a unit
        away = pointed(*start) @ direction(azimuth - 5.0, rise + 5.0)
        assert np.degrees(np.arccos(min(1.0, away))) < 0.1


@pytest.mark.parametrize("name", NAMES)
def test_inner_fields_lie_over_outer_ones(name: str) -> None:
    rises = [rise for _, rise, _, _ in cells(charts()[name])]
    assert rises == sorted(rises, reverse=True)


@pytest.mark.parametrize("name", NAMES)
def test_every_point_of_a_line_has_the_rg_it_is_labelled_with(name: str) -> None:
    lines = [s for s in shapes(charts()[name]) if s.name == "polyline"]
    assert lines
    for line in lines:
        level = float(line.hover.removeprefix("equal RG: ").removesuffix(" in"))
        # a hundredth of a unit is 6e-5 rad, and RG changes by at most 0.06 in a radian
        assert [rg(TENSORS[name], pointed(*p)) for p in line.points()] == pytest.approx(
            [level] * len(line.points()), abs=6e-6
        )


@pytest.mark.parametrize("name", NAMES)
def test_every_line_has_its_label(name: str) -> None:
    labels = {r.text for r in rooms(charts()[name])}
    levels = {s.hover[10:-3] for s in shapes(charts()[name]) if s.name == "polyline"}
    assert levels <= labels


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("name", ["low", "intermediate", "high"])
def test_an_axis_stands_where_it_points(seed: int, name: str) -> None:
    tensor = turned(seed)
    chart = rg_map(tensor, MASS_G, axes_of(tensor), BOUND_IN)
    assert chart is not None
    ((x, y),) = signs(chart, name)
    along = abs(pointed(x, y) @ axes_of(tensor)[name])
    assert along == pytest.approx(1.0, abs=1e-7)


def test_an_axis_on_the_rim_stands_at_both_its_ends() -> None:
    x, y = MIDDLE
    assert signs(charts()["turnstone"], "high") == {(x - RADIUS, y), (x + RADIUS, y)}


def test_axes_are_told_apart_by_their_lines() -> None:
    rings = {
        name: [
            (s.attributes.get("stroke-dasharray"), s.attributes["stroke"])
            for s in shapes(charts()["turnstone"])
            if s.name == "circle"
            and s.hover.startswith(f"{name} axis")
            and "stroke" in s.attributes
        ]
        for name in ("low", "intermediate", "high")
    }
    assert [len(rings["low"]), len(rings["intermediate"])] == [1, 1]
    assert rings["low"][0][0] is None
    assert rings["intermediate"][0][0] is not None
    assert len(rings["high"]) == 4  # two at either end


def test_a_body_that_is_the_same_all_round_has_its_high_rg_on_the_rim() -> None:
    texts = [r.text for r in rooms(charts()["dunlin"])]
    assert "high 2.5880 in all round the rim" in texts
    assert "Every axis on the rim has the high RG, 2.5880 in." in charts()["dunlin"].alt


def test_a_tilted_one_has_it_on_a_line_square_to_its_axis() -> None:
    turn = Rotation.from_euler("XZ", [40.0, 25.0], degrees=True)
    tensor = turn.as_matrix() @ np.array(TENSORS["dunlin"]) @ turn.as_matrix().T
    axis = turn.apply([0.0, 0.0, 1.0])
    chart = rg_map(tensor, MASS_G, {"low": axis, "intermediate": None, "high": None}, BOUND_IN)
    assert chart is not None
    (line,) = (s for s in shapes(chart) if s.name == "polyline" and s.hover.startswith("high RG"))
    assert [pointed(*p) @ axis for p in line.points()] == pytest.approx(
        [0.0] * len(line.points()), abs=1e-4
    )


def test_the_ends_of_the_ramp_are_the_low_and_the_high_rg() -> None:
    texts = [r.text for r in rooms(charts()["turnstone"])]
    assert {"low 2.5349 in", "high 2.5870 in"} <= set(texts)


def test_no_more_digits_are_told_than_the_bound_defends() -> None:
    chart = rg_map(TENSORS["turnstone"], MASS_G, AXES["turnstone"], 0.0004)
    assert chart is not None
    assert {len(told) for told in re.findall(r"RG ([\d.]+) in", chart.svg)} == {5}


@pytest.mark.parametrize("share", [0.0, 9e-8])
def test_a_ball_that_is_the_same_every_way_has_no_map(share: float) -> None:
    moment = MASS_G * (2.5 * MM) ** 2
    # RG goes as the root of the moment: 2 x 4.5e-8 of it is 1.1e-7 of 2.5 in, 11 bounds less one
    tensor = np.diag([moment, moment, moment * (1.0 + 0.8 * share)])
    none = {"low": None, "intermediate": None, "high": None}
    assert rg_map(tensor, MASS_G, none, BOUND_IN) is None


@pytest.mark.parametrize("name", NAMES)
def test_a_map_is_no_heavier_than_it_may_be(name: str) -> None:
    assert len(charts()[name].svg.encode()) < 70_000


@pytest.mark.parametrize(
    "way", ["+X", "\u2212X", "+Y", "\u2212Y", "0 deg", "90 deg", "180 deg", "270 deg"]
)
def test_the_rim_is_labelled(way: str) -> None:
    assert way in [r.text for r in rooms(charts()["turnstone"])]


def test_it_says_that_half_shows_all() -> None:
    texts = " ".join(r.text for r in rooms(charts()["turnstone"]))
    assert "The other half is the same" in texts


RGS = st.tuples(st.floats(2.3, 2.8), st.floats(1e-6, 0.1), st.floats(0.0, 1.0))


@settings(max_examples=25, deadline=None)
@given(RGS, st.integers(0, 2**31), st.sampled_from([0, 1, 2]))
def test_any_ball_is_laid_out_clear(rgs: tuple[float, float, float], seed: int, known: int) -> None:
    low, spread, share = rgs
    moments = MASS_G * (MM * np.array([low, low + share * spread, low + spread])) ** 2
    turn = Rotation.random(random_state=seed).as_matrix()
    tensor = turn @ np.diag(moments) @ turn.T
    axes = dict(zip(("low", "intermediate", "high"), turn.T, strict=True))
    kept = {
        name: axis if known == 2 or (known == 1 and name == "low") else None
        for name, axis in axes.items()
    }
    chart = rg_map(tensor, MASS_G, kept, BOUND_IN)
    assert chart is not None
    assert meetings(chart) == []
    assert outside(chart) == []
    assert len(root_of(chart)) > 2
    assert len(chart.svg.encode()) < 70_000
