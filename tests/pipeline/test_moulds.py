"""Moulds of castings: planes, blocks, gates, flats; and what makes no mould."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from pipeline.ball import build_ball
from pipeline.castings import castings_of
from pipeline.errors import ToolingError
from pipeline.load import read_design
from pipeline.moulds import Tool, asked_splits, block_axes, tool_of
from shapes.boundary import moments_of_solid
from shapes.pieces import Split
from tests.pipeline.cast_text import HEAD

BALL = (
    HEAD
    + """\
  - {name: core, material: clay, shape: sphere, diameter: 100}
  - {name: cover, material: foam, shape: sphere, diameter: 217}
process:
  castings:
    core:
      parting: [{pull: [0, 0, 1]}]
"""
)


def tool(*lines: str, base: str = BALL) -> Tool:
    text = base + "".join(f"      {line}\n" for line in lines)
    ball = build_ball(read_design(text))
    casting = castings_of(ball)[0]
    splits = asked_splits(casting)
    assert splits is not None
    return tool_of(ball, casting, splits)


def volume(solid: object) -> float:
    return moments_of_solid(solid).volume_mm3  # type: ignore[arg-type]


def test_without_a_size_the_block_has_25_mm_of_wall() -> None:
    assert tool().mould.block.size_mm.tolist() == [150.0, 150.0, 150.0]


def test_halves_and_casting_fill_the_block() -> None:
    mould = tool("block: [140, 150, 160]", "shrinkage: {linear: 1 %}").mould
    ball = 4.0 / 3.0 * pi * (50.0 / 0.99) ** 3
    halves = sum(volume(piece) for piece in mould.pieces)
    assert halves + ball == pytest.approx(140.0 * 150.0 * 160.0, rel=1e-6)


def test_a_gate_leads_from_the_casting_out_of_the_block() -> None:
    mould = tool("gates: [{toward: [1, 0, 0], diameter: 8}]").mould
    height = 50.0 - np.sqrt(2500.0 - 16.0)
    beside = pi * 16.0 * height - pi * height**2 * (150.0 - height) / 3.0
    due = 4.0 / 3.0 * pi * 50.0**3 + pi * 16.0 * 25.0 + beside
    assert volume(mould.pour) == pytest.approx(due, rel=1e-9)


def test_an_ejector_flat_adds_a_disc_just_above_the_casting() -> None:
    found = tool("ejectors: [{at: [0, 0, 0], diameter: 12, piece: 1}]")
    height = 50.0 - np.sqrt(2500.0 - 36.0)
    added = pi * 36.0 * (height + 0.2) - pi * height**2 * (150.0 - height) / 3.0
    assert volume(found.cavity) == pytest.approx(4.0 / 3.0 * pi * 50.0**3 + added, rel=1e-9)
    assert found.bar_names == ("ejector pin 1",)


def test_planes_are_given_at_cold_size_and_grow_with_the_casting() -> None:
    text = BALL.replace("{pull: [0, 0, 1]}", "{pull: [0, 0, 1], at: 10}")
    found = tool("shrinkage: {linear: 2 %}", base=text)
    assert found.splits[0].height_mm == pytest.approx(10.0 / 0.98)


def test_pieces_are_named_in_the_order_they_are_drawn() -> None:
    text = BALL.replace("[{pull: [0, 0, 1]}]", "[{pull: [0, 0, -1], at: 30}, {pull: [0, 1, 0]}]")
    assert tool(base=text).piece_names == ("piece 1", "piece 2", "piece 3")


@pytest.mark.parametrize("pull", [(0.0, 0.0, 1.0), (0.0, -0.6, 0.8), (0.5, 0.5, np.sqrt(0.5))])
def test_the_block_turns_with_the_pull_as_little_as_it_can(pull: tuple[float, ...]) -> None:
    axes = block_axes(np.array(pull))
    np.testing.assert_allclose(axes.T @ axes, np.eye(3), atol=1e-12)
    assert np.linalg.det(axes) == pytest.approx(1.0)
    assert np.abs(np.array(pull) @ axes).max() == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("block: [105, 150, 150]", "needs 110 x 110 x 110 mm or more"),
        ("gates: [{toward: [1, 0, 0], through: [60, 0, 0], diameter: 8}]", "not inside the part"),
        ("gates: [{toward: [1, 0, 0], diameter: 2, taper: 5}]", "narrows to nothing"),
        ("ejectors: [{at: [49, 0, 0], diameter: 12, piece: 1}]", "over the edge"),
        ("keys: {diameter: 60, height: 20}", "no room for two keys"),
        ("block: [1100, 150, 150]", "is a unit missing"),
        (
            "gates: [{toward: [1, 0, 0], diameter: 8}, {toward: [1, 0.05, 0], diameter: 8}]",
            "it runs into gates.0. in the mould",
        ),
        (
            "ejectors: [{at: [0, 0, 0], diameter: 12, piece: 2}, {at: [9, 0, 0], diameter: 8, "
            "piece: 2}]",
            "it runs into ejectors.0. in the mould",
        ),
    ],
)
def test_what_makes_no_mould_is_refused_at_its_place(line: str, words: str) -> None:
    with pytest.raises(ToolingError, match=words) as error:
        tool(line)
    assert f"design:17: process.castings.core.{line.split(':')[0]}" in str(error.value)


def test_a_plane_beside_the_casting_parts_nothing() -> None:
    text = BALL.replace("{pull: [0, 0, 1]}", "{pull: [0, 0, 1], at: 90}")
    with pytest.raises(ToolingError, match=r"core\.parting\[0\]: .*beside the casting"):
        tool(base=text)


def test_an_ejector_in_a_piece_that_the_best_parting_lacks_is_refused() -> None:
    asked = "ejectors: [{at: [0, 0, 0], diameter: 6, piece: 3}]"
    text = BALL.replace("      parting: [{pull: [0, 0, 1]}]\n", f"      pieces: 3\n      {asked}\n")
    made = build_ball(read_design(text))
    casting = castings_of(made)[0]
    with pytest.raises(ToolingError, match="has 2 pieces"):
        tool_of(made, casting, (Split((0.0, 1.0, 0.0), 0.0),))


def test_a_closed_hollow_is_refused_as_such() -> None:
    hollow = (
        "shape: cut, body: {shape: cylinder, diameter: 80, height: 80}, "
        "away: [{shape: sphere, diameter: 40}]"
    )
    text = BALL.replace("shape: sphere, diameter: 100", hollow)
    with pytest.raises(ToolingError, match="closed hollow"):
        tool(base=text)
