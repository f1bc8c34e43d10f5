"""Half-sections and outlines for cutting: areas and sizes in closed form."""

from __future__ import annotations

from math import pi
from pathlib import Path

import numpy as np
import pytest

from pipeline.ball import Ball
from pipeline.castings import castings_of
from pipeline.dxf_back import DxfContours, read_dxf
from pipeline.moulds import tool_of
from pipeline.partings import splits_of
from pipeline.tool_dxf import profile_of, write_outlines, write_sections
from pipeline.tool_groups import stems_of
from tests.pipeline.cast_text import ball, sphere


def contour(path: Path, layer: str) -> DxfContours:
    return next(one for one in read_dxf(path).layers if one.layer == layer)


def written(made: Ball, folder: Path) -> Path:
    castings = castings_of(made)
    stems = stems_of(made, castings)
    write_sections(castings[0], stems, folder)
    tool = tool_of(made, castings[0], splits_of(made, castings[0]))
    write_outlines(tool, stems, folder)
    return folder / "sections"


def test_half_sections_of_a_ball_cold_and_grown(tmp_path: Path) -> None:
    made = sphere("shrinkage: {linear: 10 %}", "parting: [{pull: [0, 0, 1]}]")
    folder = written(made, tmp_path)
    cold = contour(folder / "core-half-section-as-cast.dxf", "CONTOUR")
    cut = contour(folder / "core-half-section-as-cut.dxf", "CONTOUR")
    assert cold.area_mm2 == pytest.approx(pi * 50.0**2 / 2.0, rel=1e-6)
    assert cut.area_mm2 == pytest.approx(pi * (50.0 / 0.9) ** 2 / 2.0, rel=1e-6)


def test_the_outline_at_a_parting_plane_is_the_grown_section(tmp_path: Path) -> None:
    made = ball(
        "shape: box, size: [60, 40, 80]", "shrinkage: {linear: 10 %}",
        "parting: [{pull: [0, 0, 1]}]",
    )  # fmt: skip
    found = contour(written(made, tmp_path) / "core-parting-1.dxf", "PARTING")
    assert found.area_mm2 == pytest.approx(60.0 * 40.0 / 0.81, rel=1e-6)
    np.testing.assert_allclose(found.bounds_mm[1] * 2.0 * 0.9, [60.0, 40.0], atol=1e-4)


def test_a_gate_is_part_of_the_outline(tmp_path: Path) -> None:
    lines = ("parting: [{pull: [0, 0, 1]}]", "gates: [{toward: [1, 0, 0], diameter: 10}]")
    found = contour(written(sphere(*lines), tmp_path) / "core-parting-1.dxf", "PARTING")
    half = np.arcsin(0.1)  # the gate's half width as an angle at the ball's centre
    disc = pi * 2500.0 - (2500.0 * half - 5.0 * np.sqrt(2500.0 - 25.0))  # less what is cut off
    gate = 10.0 * (75.0 - np.sqrt(2500.0 - 25.0))
    assert found.area_mm2 == pytest.approx(disc + gate, rel=1e-5)


def test_a_body_that_is_not_turned_has_no_half_section() -> None:
    assert profile_of(castings_of(ball("shape: box, size: [60, 40, 80]"))[0]) is None


def test_nor_has_a_turned_one_with_stock() -> None:
    made = ball("shape: cylinder, diameter: 60, height: 80", "stock: 2")
    assert profile_of(castings_of(made)[0]) is None


def test_stock_on_a_ball_that_is_poured_round_others_is_in_its_half_section() -> None:
    rest = (
        "  - {name: cover, material: foam, shape: sphere, diameter: 217}\n"
        "process: {castings: {cover: {stock: 2}}}\n"
    )
    cover = castings_of(ball("shape: sphere, diameter: 100", rest=rest))[1]
    section = profile_of(cover)
    assert section is not None
    assert section.moments().volume_mm3 == pytest.approx(4.0 / 3.0 * pi * 110.5**3)
