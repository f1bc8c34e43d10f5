"""Checks of castings and moulds: bodies whose figures are known, limits on either side."""

from __future__ import annotations

from math import pi

import pytest

from pipeline.ball import Ball, build_ball
from pipeline.check import Finding
from pipeline.load import read_design
from pipeline.tooling import tooling_of
from tests.pipeline.cast_text import HEAD, ball, sphere


def findings(made: Ball) -> dict[str, Finding]:
    return {f"{one.casting}: {one.finding.rule}": one.finding for one in tooling_of(made).checks}


def core(rule: str, made: Ball) -> Finding:
    return findings(made)[f"core: {rule}"]


def test_a_balls_wall_and_largest_ball_are_its_diameter() -> None:
    found = findings(sphere("thickest: 99"))
    assert found["core: least wall"].value == pytest.approx(100.0, abs=0.1)
    thick = found["core: largest ball inside"]
    assert thick.value == pytest.approx(100.0, abs=0.1)
    assert (thick.verdict, thick.limit) == ("fail", "at most 99 mm")


def test_without_a_limit_the_largest_ball_is_not_determined() -> None:
    assert core("largest ball inside", sphere()).verdict == "not determined"


def test_a_shell_is_as_thick_as_it_is() -> None:
    """Between a core of 100 and a cover of 217: 58.5 all round."""
    found = findings(sphere())
    assert found["cover: least wall"].value == pytest.approx(58.5, abs=0.1)


def test_a_ball_rounds_as_its_radius_and_hollows_nowhere() -> None:
    found = findings(sphere("cutter: 49"))
    assert found["core: smallest convex radius"].value == pytest.approx(50.0, rel=1e-3)
    assert found["core: smallest convex radius"].verdict == "pass"
    hollow = found["core: smallest concave radius"]
    assert (hollow.value, hollow.verdict) == (None, "pass")


def test_a_sharp_edge_has_no_radius() -> None:
    made = ball("shape: cylinder, diameter: 80, height: 60", "parting: [{pull: [0, 1, 0]}]")
    found = core("smallest convex radius", made)
    assert (found.value, found.verdict) == (0.0, "fail")
    assert f"{2.0 * pi * 80.0:.0f} mm in all" in found.note  # two rims


def test_an_upright_wall_is_as_high_as_it_is() -> None:
    """A cylinder drawn along its axis, split in the middle: half of it stands upright."""
    made = ball("shape: cylinder, diameter: 80, height: 60", "parting: [{pull: [0, 0, 1]}]")
    found = core("wall under 1\u00b0 of draft", made)
    assert found.value == pytest.approx(30.0, abs=0.01)
    assert (found.verdict, found.limit) == ("fail", "at most 5 mm")


def test_higher_walls_pass_where_the_design_allows_them() -> None:
    lines = ("parting: [{pull: [0, 0, 1]}]", "upright: 30")
    made = ball("shape: cylinder, diameter: 80, height: 60", *lines)
    assert core("wall under 1\u00b0 of draft", made).verdict == "pass"


def test_a_cone_has_its_half_angle_of_draft() -> None:
    """A frustum of 40 to 30 over 60, drawn off at its foot: atan(10 / 60) = 9.46 degrees."""
    profile = "[[0, -30], [40, -30], [30, 30], [0, 30]]"
    lines = ("parting: [{pull: [0, 0, -1], at: 29.999}]", "draft: 9.4")
    low = core("wall under 9.4\u00b0 of draft", ball(f"shape: turned, profile: {profile}", *lines))
    assert low.value == pytest.approx(0.0, abs=0.01)
    lines = ("parting: [{pull: [0, 0, -1], at: 29.999}]", "draft: 9.5")
    high = core("wall under 9.5\u00b0 of draft", ball(f"shape: turned, profile: {profile}", *lines))
    assert high.value == pytest.approx(60.0, abs=0.01)


def test_flat_faces_are_flat() -> None:
    made = ball("shape: box, size: [60, 70, 80]")
    found = core("flatness of seats", made)
    assert found.value == pytest.approx(0.0, abs=1e-9)
    assert "6 flat faces" in found.note


def test_shrinkage_without_a_source_is_not_determined() -> None:
    said = "shrinkage: {linear: 0.5 %, source: trial pour 3}"
    assert core("shrinkage measured", sphere("shrinkage: {linear: 0.5 %}")).verdict == (
        "not determined"
    )
    assert core("shrinkage measured", sphere(said)).verdict == "pass"


def test_the_mould_has_the_wall_that_the_block_leaves() -> None:
    found = core("least wall of the mould", sphere("block: [120, 130, 140]"))
    assert found.value == pytest.approx(10.0, abs=0.05)


def test_the_core_keeps_its_distance_after_shift_and_tolerance() -> None:
    """108.5 less 50, less the shift of 2, less 0.3 for 100 mm in the medium class."""
    text = HEAD + (
        "  - {name: core, material: clay, shape: sphere, diameter: 100}\n"
        "  - {name: cover, material: foam, shape: sphere, diameter: 217}\n"
        "process: {shift: 2, surface: 56.3}\n"
    )
    found = findings(build_ball(read_design(text)))["core: core to ball surface"]
    assert found.value == pytest.approx(108.5 - 50.0 - 2.0 - 0.3)
    assert found.verdict == "fail"


def test_no_voids_are_left_between_parts() -> None:
    found = findings(sphere())["ball: voids between parts"]
    assert (found.verdict, round(found.value or 0.0, 3)) == ("pass", 0.0)


def test_every_check_tells_value_or_why_and_a_verdict() -> None:
    for name, found in findings(sphere()).items():
        assert found.verdict in ("pass", "fail", "not determined"), name
        assert found.limit, name
        assert found.source, name


def test_a_narrow_face_with_sharp_edges_is_a_sliver_and_a_smooth_one_is_not() -> None:
    """A chamfer of 0.3 mm by 0.3 mm is 0.42 mm wide; a fillet is smooth to its neighbours."""
    chamfer = "[[0, -30], [40, -30], [40, 29.7], [39.7, 30], [0, 30]]"
    plain = "[[0, -30], [40, -30], [30, 30], [0, 30]]"
    sliver = core("narrowest face", ball(f"shape: turned, profile: {chamfer}", "upright: 80"))
    assert sliver.value == pytest.approx(0.3 * 2.0**0.5, abs=0.01)
    assert sliver.verdict == "fail"
    made = ball(f"shape: turned, profile: {plain}, round: 0.3", "upright: 80")
    smooth = core("narrowest face", made)
    assert smooth.verdict == "pass"
    assert "smooth to its neighbours" in smooth.note


def test_without_gate_or_rod_it_is_not_determined_how_it_is_poured() -> None:
    found = findings(build_ball(read_design(HEAD + (
        "  - {name: core, material: clay, shape: sphere, diameter: 100}\n"
        "  - {name: cover, material: foam, shape: sphere, diameter: 217}\n"
    ))))  # fmt: skip
    assert found["core: gates"].verdict == "not determined"
    assert found["cover: parts inside held"].verdict == "not determined"


def test_a_corner_inside_is_as_near_as_it_is() -> None:
    """A box of 130 x 130 x 20 in a ball of 217: its corners come to 108.5 - |(65, 65, 10)|."""
    rest = "  - {name: cover, material: foam, shape: sphere, diameter: 217}\n"
    found = findings(ball("shape: box, size: [130, 130, 20]", rest=rest))["cover: least wall"]
    assert found.value == pytest.approx(108.5 - (65.0**2 * 2 + 100.0) ** 0.5, abs=1e-3)
