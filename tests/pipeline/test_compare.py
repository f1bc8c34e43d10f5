"""Balls side by side, and cores that are known again by their geometry."""

from __future__ import annotations

import json

import pytest

from pipeline.ball import Ball, build_ball
from pipeline.compare import CompareError, Difference, as_figures, compare, told
from pipeline.load import read_design
from pipeline.same_core import likeness
from pipeline.shipped import shipped
from tests.pipeline.searched import text

CYLINDER = "shape: cylinder, diameter: 3, height: 4"


def ball(core: str, more: str = "") -> Ball:
    """A ball round a core, its own name and outer core."""
    source = text(core).replace("name: Test", "name: Other").replace("inner core", "block")
    return build_ball(read_design(source.replace("diameter: 7.05", f"diameter: {more or 7.05}")))


POSE = "spin: 20, tilt: {by: 33, toward: 71}, move: [0.1, -0.2, 0.15]"


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("shape: lobed", f"shape: lobed, {POSE}"),
        ("shape: twisted", f"shape: twisted, {POSE}"),
        ("shape: slab", f"shape: slab, {POSE}"),
        ("shape: box, size: [2, 3, 4.5]", f"shape: box, size: [4.5, 2, 3], {POSE}"),
        ("shape: box, size: [3, 3, 4.5]", f"shape: box, size: [4.5, 3, 3], {POSE}"),
        ("shape: box, size: [3, 3, 3]", f"shape: box, size: [3, 3, 3], {POSE}"),
        (
            CYLINDER,
            f"shape: turned, profile: [[0, -1], [1.5, -1], [1.5, 3], [0, 3]], {POSE}",
        ),
        ("shape: ellipsoid, size: [3, 3, 4.5]", f"shape: ellipsoid, size: [4.5, 3, 3], {POSE}"),
    ],
)
def test_a_core_is_known_again_in_any_pose_under_any_name(one: str, other: str) -> None:
    found = likeness(ball(one), ball(other, "7.2"))
    assert found.same, found.why


def test_a_core_of_several_parts_is_known_again() -> None:
    source = shipped("godwit").read_text(encoding="utf-8")
    turned = source.replace(
        "height: 0.6, move: [0, 0, 2.6]",
        "height: 0.6, tilt: {by: 180, toward: 0}, move: [0, 0, -2.6]",
    )
    turned = turned.replace("move: [0, 0, -2.4]", "tilt: {by: 180, toward: 0}, move: [0, 0, 2.4]")
    turned = turned.replace("    round: 0.25", "    round: 0.25\n    tilt: {by: 180, toward: 0}")
    assert likeness(*(build_ball(read_design(s)) for s in (source, turned))).same
    moved = source.replace("move: [0, 0, 2.6]", "move: [0, 0, 2.5]")
    assert not likeness(*(build_ball(read_design(s)) for s in (source, moved))).same


@pytest.mark.parametrize(
    ("one", "other", "says"),
    [
        ("shape: twisted, twist: 30", "shape: twisted, twist: -30", "of the space differs"),
        (CYLINDER, "shape: cylinder, diameter: 3, height: 4.01", "of the second is"),
        (CYLINDER, "shape: cylinder, diameter: 2.7, height: 3.6", "the same shape, 0.9000 times"),
        ("shape: box, size: [2, 3, 4]", "shape: ellipsoid, size: [2, 3, 4]", "of the second is"),
    ],
)  # fmt: skip
def test_another_core_is_told_apart(one: str, other: str, says: str) -> None:
    found = likeness(ball(one), ball(other))
    assert not found.same
    assert says in found.why


def test_a_mirror_image_is_another_core() -> None:
    """Left- and right-handed twist weigh the same to the last bit, and yet no turn joins them."""
    left, right = ball("shape: twisted, twist: 30"), ball("shape: twisted, twist: -30")
    assert left.parts[0].claimed.volume_mm3 == right.parts[0].claimed.volume_mm3
    assert not likeness(left, right).same


def test_fields_figures_and_parts_side_by_side() -> None:
    one = read_design(text(CYLINDER))
    other = read_design(text(CYLINDER).replace("2.3}", "2.1}"))
    found = compare([one, other])
    assert found.differences == (Difference("materials.clay.density", ("2.3", "2.1")),)
    page = told(found)
    assert "the same core as in Test A" in page
    assert "materials.clay.density" in page
    figures = as_figures(found)
    assert json.loads(json.dumps(figures, allow_nan=False)) == figures
    assert figures["same_core"] == [{"with_first": True, "size": 1.0, "why": None}]
    masses = [ball["parts"][0]["mass_lb"] for ball in figures["balls"]]
    assert masses[1] / masses[0] == pytest.approx(2.1 / 2.3, rel=1e-5)


def test_one_design_alone_is_refused() -> None:
    with pytest.raises(CompareError, match="at least two"):
        compare([read_design(text("shape: lobed"))])
