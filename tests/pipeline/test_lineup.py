"""One core across ball weights."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import numpy as np
import pytest

from pipeline.ball import build_ball
from pipeline.design import Design
from pipeline.errors import DesignError
from pipeline.line_means import LineError
from pipeline.lineup import Carried, line_up
from pipeline.lineup_results import WeightsError, as_figures, parse_weights, told, write_line
from pipeline.load import load, read_design
from pipeline.resize import ResizeError, resized
from pipeline.shipped import shipped
from pipeline.weigh import weigh

IN, LB = 25.4, 453.59237
DUNLIN = shipped("dunlin").read_text(encoding="utf-8")
BY = """  by:
    - {material: foam, from: 0.55, to: 1.6}
    - {material: clay, from: 1.6, to: 2.9}
"""


def dunlin(line: str) -> Design:
    return read_design(f"{DUNLIN}lineup:\n{line}")


def at(line: tuple[Carried, ...], weight_lb: float) -> Carried:
    (found,) = (one for one in line if one.weight_g == pytest.approx(weight_lb * LB))
    return found


def test_without_windows_the_outer_core_alone_brings_every_ball_to_weight() -> None:
    """The density follows from weight and volumes: (W - m) / V, worked out here from the parts."""
    line = line_up(read_design(DUNLIN))
    assert [round(one.weight_g / LB) for one in line] == [16, 15, 14, 13, 12]
    parts = build_ball(read_design(DUNLIN)).parts
    core, outer, cover = (part.claimed.volume_mm3 / 1000.0 for part in parts)
    for one in line:
        density = (one.weight_g - 2.3 * core - 1.17 * cover) / outer
        if density < 0.55:
            assert not one.source
            assert "outside its bounds" in one.why
        else:
            assert one.densities["foam"] == pytest.approx(density, rel=1e-9)
            assert one.densities["clay"] == 2.3


def test_a_window_is_held_by_the_next_means_and_the_file_gives_that_ball(tmp_path: Path) -> None:
    line = line_up(dunlin("  hold: {total_differential: {from: 0.041, to: 0.044}}\n" + BY))
    for weight in (16.0, 15.0, 14.0):
        one = at(line, weight)
        assert one.met
        file = tmp_path / "core.yaml"
        file.write_bytes(one.source)
        properties = weigh(build_ball(load(file)))
        assert properties.mass_g == pytest.approx(one.weight_g)
        total = properties.principal.total_differential_mm / IN
        assert 0.041 <= total <= 0.044
        assert one.figures["total_differential"] / IN == pytest.approx(total, abs=1e-9)
    assert at(line, 15.0).means == 1  # it holds as it is
    assert at(line, 15.0).densities["clay"] == 2.3
    assert at(line, 16.0).means == 2


def test_sizes_are_tried_last_and_scale_the_whole_core() -> None:
    hold = (
        "  hold: {core_mass: {to: 4.5 lb}, total_differential: {from: 0.03}}\n  weights: [15 lb]\n"
    )
    (one,) = line_up(
        dunlin(hold + BY.replace("1.6, to: 2.9", "2.2, to: 2.3") + "    - {core: [0.95, 0.9]}\n")
    )
    assert one.met
    assert one.size == 0.95
    before = build_ball(read_design(DUNLIN)).parts[0]
    after = build_ball(read_design(one.source)).parts[0]
    assert after.claimed.volume_mm3 == pytest.approx(before.claimed.volume_mm3 * 0.95**3, rel=2e-5)
    assert after.claimed.centroid_mm() == pytest.approx(
        before.claimed.centroid_mm() * 0.95, abs=1e-3
    )


def test_what_cannot_be_held_says_by_how_much_and_what_can_be_reached() -> None:
    design = dunlin("  hold: {low_rg: {from: 2.4, to: 2.5}}\n  weights: [14 lb]\n" + BY)
    (one,) = line_up(design)
    assert not one.met
    low = one.figures["low_rg"] / IN
    assert f"low RG is {low - 2.5:.2g} in above its window" in one.why
    reachable = []
    for clay in np.linspace(1.6, 2.9, 14).tolist():  # second route: ball by ball
        text = one.source.decode().replace(
            f"density: {one.densities['clay']:g}", f"density: {clay!r}"
        )
        try:
            found = weigh(build_ball(read_design(text)))
        except Exception:
            continue  # beyond what the outer core can make up for
        reachable.append(found.principal.rg_mm[0] / IN)
    span = one.why.split("; ")[1].split()
    assert float(span[0]) <= min(reachable) + 1e-4
    assert float(span[2]) >= max(reachable) - 1e-4


def test_two_weights_share_an_outer_core() -> None:
    hold = (
        "  hold: {total_differential: {from: 0.03, to: 0.05}}\n  weights: [16 lb, 15 lb, 14 lb]\n"
    )
    line = line_up(dunlin(hold + BY + "  share: [[15 lb, 14 lb]]\n"))
    assert all(one.met for one in line)
    one, other = at(line, 15.0), at(line, 14.0)
    assert one.densities["foam"] == pytest.approx(other.densities["foam"], abs=2e-5)
    assert one.densities["clay"] > other.densities["clay"]
    assert at(line, 16.0).densities["foam"] != pytest.approx(one.densities["foam"], abs=1e-3)


def test_the_preferred_means_may_be_the_inner_core() -> None:
    by = """  by:
    - {material: clay, from: 1.6, to: 2.9}
    - {material: foam, from: 0.55, to: 1.6}
"""
    line = line_up(dunlin("  weights: [15 lb, 14.5 lb]\n" + by))
    base = build_ball(read_design(DUNLIN)).parts[1].density_g_cm3
    for one in line:
        assert one.densities["foam"] == pytest.approx(base, abs=1e-4)
    assert at(line, 14.5).densities["clay"] < 2.2


def test_the_folder_holds_designs_table_and_chart(tmp_path: Path) -> None:
    design = dunlin("  hold: {low_rg: {from: 2.4, to: 2.6}}\n  weights: [16 lb, 15 lb, 10 lb]\n")
    line = line_up(design)
    write_line(design, line, tmp_path / "line")
    names = {path.name for path in (tmp_path / "line").iterdir()}
    assert names == {
        "README.md", "manifest.json", "lineup.csv", "lineup.png",
        "dunlin-16-lb.yaml", "dunlin-15-lb.yaml",
    }  # fmt: skip
    rows = list(csv.DictReader((tmp_path / "line" / "lineup.csv").read_text().splitlines()))
    assert [row["met"] for row in rows] == ["yes", "yes", "no"]
    assert float(rows[0]["low_rg [in]"]) == pytest.approx(line[0].figures["low_rg"] / IN, abs=1e-6)
    found = as_figures(design, line)
    assert json.loads(json.dumps(found, allow_nan=False)) == found
    assert set(found["weights"][0]) >= {"weight_lb", "met", "densities", "figures", "why"}
    text = told(design, line)
    assert "2 of 3 weights hold all windows" in text
    assert "no such ball" in text


GODWIT = """lineup:
  weights: [16 lb, 14 lb, 13 lb]
  hold: {total_differential: {from: 0.03, to: 0.048}, low_rg: {to: 2.6}}
  by:
    - {material: foam, from: 0.5, to: 1.6}
    - {material: clay, from: 1.2, to: 2.6}
    - {material: ballast, from: 1.6, to: 3.8}
    - {core: [0.97, 0.94, 0.85]}
  share: [[14 lb, 13 lb]]
"""


def test_what_is_shared_leaves_sizes_and_other_densities_to_each_weight() -> None:
    """Every window can be held only when each weight takes its own size and its own ballast."""
    asked = read_design(shipped("godwit").read_text(encoding="utf-8") + GODWIT)
    line = line_up(asked)
    assert all(one.met for one in line)
    assert at(line, 14.0).densities["foam"] == pytest.approx(
        at(line, 13.0).densities["foam"], abs=2e-5
    )
    for one in line:
        found = weigh(build_ball(read_design(one.source)))
        assert 0.03 <= found.principal.total_differential_mm / IN <= 0.048
        assert found.principal.rg_mm[0] / IN <= 2.6
        assert found.mass_g == pytest.approx(one.weight_g)


def test_weights_that_share_with_none_in_the_line_stand_alone() -> None:
    asked = read_design(shipped("godwit").read_text(encoding="utf-8") + GODWIT)
    line = line_up(asked, [16.0 * LB, 14.0 * LB, 16.0 * LB])
    assert [round(one.weight_g / LB) for one in line] == [16, 14]
    assert all(one.met for one in line)


def test_bounds_of_a_means_that_are_wider_than_the_file_s_go_into_the_files() -> None:
    by = "  by: [{material: foam, from: 0.2, to: 1.6}]\n"
    (one,) = line_up(dunlin("  weights: [13.2 lb]\n" + by))
    assert one.met
    assert 0.2 < one.densities["foam"] < 0.55
    assert b"{density: free, from: 0.2, to: 1.6}" in one.source


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("  by: [{core: [0.9]}]\n", "a material: the first means"),
        ("  by: [{material: clai, from: 1, to: 2}]\n", "did you mean 'clay'?"),
        ("  by: [{material: clay, from: 2, to: 1}]\n", "from less than to"),
        ("  by: [{material: clay}]\n", "{material, from, to} or {core: [sizes]}"),
        ("  weights: [16 lb]\n  share: [[16 lb, 15 lb]]\n", "listed under weights"),
        ("  weights: [16]\n", "it has no unit"),
        ("  by: [{material: foam, from: 0.5, to: 1}, {core: [2]}]\n", "at most 1.5"),
    ],
)
def test_means_that_cannot_be_are_refused(line: str, says: str) -> None:
    with pytest.raises(DesignError) as told_error:
        dunlin(line)
    assert "lineup" in str(told_error.value)
    assert says in str(told_error.value)


def test_a_design_without_any_means_is_told_what_to_do() -> None:
    text = DUNLIN.replace("density: free, from: 0.55, to: 1.60", "density: 0.9")
    with pytest.raises(LineError, match="free a density"):
        line_up(read_design(text))
    with pytest.raises(LineError, match="a second material"):
        line_up(dunlin("  weights: [16 lb, 15 lb]\n  share: [[16 lb, 15 lb]]\n"))


def test_a_core_whose_lengths_have_defaults_cannot_be_resized() -> None:
    text = (
        DUNLIN.split("    shape: turned")[0]
        + "    shape: barrel\n    height: 4.4\n"
        + (
            "  - {name: outer core, material: foam, shape: sphere, diameter: 7.05}\n"
            "  - {name: cover, material: shell, shape: sphere, diameter: 8.55}\n"
        )
    )
    with pytest.raises(ResizeError, match="not all of its lengths stand in the file"):
        resized(read_design(text), 0.95)


@pytest.mark.parametrize("text", ["16,x", "0", "-4", "16;15", "1000"])
def test_weights_that_are_none_are_refused(text: str) -> None:
    with pytest.raises(WeightsError, match="no list of ball weights"):
        parse_weights(text)
