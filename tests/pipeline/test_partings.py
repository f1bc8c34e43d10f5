"""Where moulds part: bodies whose answer is known."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from pipeline.ball import Ball
from pipeline.castings import castings_of
from pipeline.errors import ToolingError
from pipeline.moulds import tool_of
from pipeline.partings import Released, best_parting, released, splits_of
from shapes.pieces import Split
from shapes.skin import skin_of
from tests.pipeline.cast_text import ball, sphere, spool


def out_of(made: Ball) -> Released:
    casting = castings_of(made)[0]
    return released(made, tool_of(made, casting, splits_of(made, casting)))


def test_a_spool_parts_across_its_axis() -> None:
    made = spool()
    (split,) = splits_of(made, castings_of(made)[0])
    assert abs(split.normal[2]) < 1e-12
    assert split.height_mm == pytest.approx(0.0, abs=1e-6)


def test_a_spool_along_its_axis_is_refused_with_area_and_place() -> None:
    """The annuli that face the stem, pi (R2 - r2) each, and the stem's side, 2 pi r h."""
    due = 2.0 * pi * (900.0 - 225.0) + 2.0 * pi * 15.0 * 40.0
    with pytest.raises(ToolingError, match="of the casting is undercut for") as error:
        out_of(spool("parting: [{pull: [0, 0, 1]}]"))
    said = str(error.value)
    area = float(said.split("parting: ")[1].split(" mm2")[0])
    assert area == pytest.approx(due, rel=0.01)
    assert "design:17: process.castings.core.parting" in said


def test_three_pieces_spare_a_flat_foot_its_drag() -> None:
    """Two halves drag on a cylinder's flat ends; a plate under one end leaves one of them."""
    profile = "[[0, -30], [40, -30], [40, 30], [0, 30]]"
    body = castings_of(ball(f"shape: turned, profile: {profile}, round: 5"))[0]
    skin = skin_of(body.as_cut)
    halves, plates = best_parting(skin, 1.0, 2), best_parting(skin, 1.0, 3)
    assert (len(halves), len(plates)) == (1, 2)


def test_the_ball_split_at_its_equator_comes_free() -> None:
    out = out_of(sphere("parting: [{pull: [0, 0, 1]}]"))
    assert out.casting.trapped_mm2 == 0.0
    low = out.casting.low_walls(1.0)[0]
    assert low.height_mm == pytest.approx(50.0 * np.sin(np.radians(1.0)), abs=2e-3)


def test_the_ball_split_off_its_equator_does_not() -> None:
    """The zone between plane and equator is 2 pi R h (Archimedes)."""
    with pytest.raises(ToolingError) as error:
        out_of(sphere("parting: [{pull: [0, 0, 1], at: 10}]"))
    area = float(str(error.value).split("parting: ")[1].split(" mm2")[0])
    assert area == pytest.approx(2.0 * pi * 50.0 * 10.0, rel=0.005)


def test_a_gate_that_cannot_be_drawn_off_is_told_as_such() -> None:
    with pytest.raises(ToolingError, match="the casting with its gates is undercut"):
        out_of(sphere("parting: [{pull: [0, 0, 1]}]", "gates: [{toward: [1, 0, 1], diameter: 8}]"))


def test_a_gate_in_the_parting_plane_is_drawn_off() -> None:
    asked = "gates: [{toward: [1, 0, 0], diameter: 8, taper: 1}]"
    assert out_of(sphere("parting: [{pull: [0, 0, 1]}]", asked)).draw.trapped_mm2 == 0.0


def test_a_gate_along_the_pull_is_drawn_off_when_it_narrows_outwards() -> None:
    asked = "gates: [{toward: [0, 0, 1], diameter: 8, taper: 1}]"
    assert out_of(sphere("parting: [{pull: [0, 0, 1]}]", asked)).draw.trapped_mm2 == 0.0


def test_no_plane_frees_a_body_with_pockets_all_round() -> None:
    axes = ((1, 0, 0), (0, 1, 0), (0, 0, 1))
    places = [[way * c for c in axis] for axis in axes for way in (50, -50)]
    away = ", ".join(f"{{shape: sphere, diameter: 40, move: {place}}}" for place in places)
    core = f"shape: cut, body: {{shape: sphere, diameter: 100}}, away: [{away}]"
    made = ball(core)
    with pytest.raises(ToolingError, match="pieces: 3"):
        splits_of(made, castings_of(made)[0])


def test_planes_that_are_given_are_taken() -> None:
    made = sphere("parting: [{pull: [0, 1, 0]}]")
    assert splits_of(made, castings_of(made)[0]) == (Split((0.0, 1.0, 0.0), 0.0),)
