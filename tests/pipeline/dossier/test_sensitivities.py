"""What a step of each number does, held against closed forms and against designs rewritten by hand.

A ball of radius R and density d has the mass 4/3 pi R^3 d and the inertia 2/5 m R^2 about its
centre; a hollow one is a ball less a smaller one (Marks' Handbook, from memory).
"""

from __future__ import annotations

import json
from collections.abc import Callable
from math import pi, sqrt
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from pipeline.ball import build_ball
from pipeline.cli import app
from pipeline.dossier.sensitivities import FIGURES, sensitivities
from pipeline.load import read_design
from tests.pipeline.dossier.told_balls import LEANING, found
from tests.pipeline.sphere_balls import IN, LB, SPHERES, foam, mass_g, rgs_in, swapped
from tests.pipeline.uniform_text import UNIFORM

OZ = LB / 16.0
HEAD = """\
format: corewright 1
name: Dunlin
revision: A
units: in
ball: {diameter: 8.55}
materials: {clay: {density: 2.3}, shell: {density: 1.1}}
parts:
"""
COVER = "  - {name: cover, material: shell, shape: sphere, diameter: 8.55}\n"
BLOCK = HEAD + "  - {name: core, material: clay, shape: box, size: [3.5, 4.1, 5.0]}\n" + COVER
SQUARE = swapped(BLOCK, ("[3.5, 4.1, 5.0]", "[3.5, 3.5, 5.0]"))


def round_core(clay: float = 2.3, shell: float = 1.1, diameter: float = 4.0, up: str = "0") -> str:
    """A ball of clay in a shell, in its middle or off it."""
    text = swapped(HEAD, ("2.3", repr(clay)), ("1.1", repr(shell)))
    core = f"  - {{name: core, material: clay, shape: sphere, diameter: {diameter!r}"
    return f"{text}{core}, move: [0, 0, {up}]}}\n{COVER}"


def told(text: str) -> dict[str, dict[str, Any]]:
    """By the name of the number."""
    rows = sensitivities(build_ball(read_design(text)))
    assert rows is not None
    assert len({row["name"] for row in rows}) == len(rows)
    return {row["name"]: row for row in rows}


def weighed(text: str, folder: Path) -> dict[str, float]:
    """The figures of a design file as `corewright weigh` has them."""
    file = folder / "design.yaml"
    file.write_text(text, encoding="utf-8")
    done = CliRunner().invoke(app, ["weigh", str(file), "--json"])
    assert done.exit_code == 0, done.output
    told_by = json.loads(done.output)
    return {
        "low_rg_in": told_by["rg_in"]["low"],
        **{name: told_by[name] for name in FIGURES if name != "low_rg_in"},
    }


def shell_rg_in(clay: float, shell: float, diameter: float) -> float:
    """RG of a round core in the middle of a shell: root of 2/5 sum d R^5 over sum d R^3."""
    r, whole = diameter / 2.0, 4.275
    mass = clay * r**3 + shell * (whole**3 - r**3)
    inertia = 0.4 * (clay * r**5 + shell * (whole**5 - r**5))
    return sqrt(inertia / mass)


# --- against closed forms


@pytest.mark.parametrize(
    ("name", "rg"),
    [
        ("density of clay", lambda h: shell_rg_in(2.3 + 0.01 * h, 1.1, 4.0)),
        ("density of shell", lambda h: shell_rg_in(2.3, 1.1 + 0.01 * h, 4.0)),
        ("core: diameter", lambda h: shell_rg_in(2.3, 1.1, 4.0 + 0.01 * h)),
    ],
)
def test_a_round_core_in_a_shell_changes_as_the_closed_form_does(
    name: str, rg: Callable[[float], float]
) -> None:
    change = told(round_core())[name]["low_rg_in"]
    assert change == pytest.approx(rg(1.0) - rg(0.0), abs=0.6e-6)
    slope = (rg(1e-3) - rg(-1e-3)) / 2e-3  # a step is short enough to go by the slope
    assert change == pytest.approx(slope, abs=2e-5)


def test_a_density_changes_low_rg_as_its_derivative_by_hand_says() -> None:
    """d(RG)/d(density) = (0.4 r^2 - RG^2) / (2 RG) times the share of mass that it adds."""
    rg, r = shell_rg_in(2.3, 1.1, 4.0), 2.0
    mass = 2.3 * r**3 + 1.1 * (4.275**3 - r**3)
    due = (0.4 * r**2 - rg**2) / (2.0 * rg) * r**3 / mass * 0.01
    assert told(round_core())["density of clay"]["low_rg_in"] == pytest.approx(due, abs=3e-6)


def test_the_static_imbalance_of_a_core_off_the_middle_grows_with_its_height() -> None:
    """First moment over radius: the core's mass over that of the shell it lies in, times height."""
    more = mass_g(2.3 - 1.1, 2.0)
    change = told(round_core(up="0.5"))["core: place along z"]["top_weight_oz"]
    assert change == pytest.approx(more * 0.01 / 4.275 / OZ, abs=0.6e-4)


def test_a_core_off_the_middle_changes_the_total_differential_as_spheres_on_an_axis_do() -> None:
    def differential(height: float) -> float:
        along, across = rgs_in([(1.1, 4.275, 0.0), (1.2, 2.0, height)])
        return across - along

    row = told(round_core(up="0.5"))["core: place along z"]
    due = differential(0.51) - differential(0.5)
    assert row["total_differential_in"] == pytest.approx(due, abs=0.6e-6)
    assert row["intermediate_differential_in"] == 0.0


@pytest.mark.parametrize(
    ("name", "heavy", "clay", "height", "radius"),
    [
        ("density of heavy", 0.01, 0.0, 0.0, 0.0),
        ("density of clay", 0.0, 0.01, 0.0, 0.0),
        ("slug: place along z", 0.0, 0.0, 0.01, 0.0),
        ("slug: diameter", 0.0, 0.0, 0.0, 0.005),
    ],
)
def test_a_free_density_keeps_the_ball_at_its_weight(
    name: str, heavy: float, clay: float, height: float, radius: float
) -> None:
    """Slug in core in outer core in cover: nested spheres, the foam solved for 15 lb by hand."""

    def at(h: float) -> tuple[float, float]:
        dense, own = 3.0 + h * heavy, 2.0 + h * clay
        up, r = 1.0 + h * height, 0.75 + h * radius
        solved = foam(mass_g(own, 2.0) + mass_g(dense - own, r), 2.0)
        spheres = [(1.17, 4.275, 0.0), (solved - 1.17, 3.5, 0.0), (own - solved, 2.0, 0.0)]
        along, across = rgs_in([*spheres, (dense - own, r, up)])
        return along, across - along

    row = told(SPHERES)[name]
    low, differential = (a - b for a, b in zip(at(1.0), at(0.0), strict=True))
    assert row["low_rg_in"] == pytest.approx(low, abs=0.6e-6)
    assert row["total_differential_in"] == pytest.approx(differential, abs=0.6e-6)


def test_a_free_density_is_no_number_of_its_own() -> None:
    assert "density of foam" not in told(SPHERES)


# --- against the same design rewritten by hand


@pytest.mark.parametrize(
    ("name", "step", "before", "more"),
    [
        ("density of clay", "+0.01 g/cm3", "density: 2.3", "density: 2.31"),
        ("inner core: size x", "+0.01 in", "[3.2, 4.2", "[3.21, 4.2"),
        ("inner core: size y", "+0.01 in", "[3.2, 4.2", "[3.2, 4.21"),
        ("inner core: size z", "+0.01 in", "4.9]", "4.91]"),
        ("inner core: place along x", "+0.01 in", "[0.1, -", "[0.11, -"),
        ("inner core: place along y", "+0.01 in", "-0.05", "-0.04"),
        ("inner core: place along z", "+0.01 in", ", 0.2]", ", 0.21]"),
    ],
)
def test_the_difference_to_a_file_rewritten_by_hand_is_told(
    name: str, step: str, before: str, more: str, tmp_path: Path
) -> None:
    row = told(LEANING)[name]
    here, there = (weighed(swapped(LEANING, (before, new)), tmp_path) for new in (before, more))
    assert row["step"] == step
    for figure in FIGURES:
        within = 0.6e-4 if figure.endswith("oz") else 0.6e-6
        assert row[figure] == pytest.approx(there[figure] - here[figure], abs=within), figure


PROFILE = (
    "  - {name: core, material: clay, shape: turned, profile: [[0, -2], [1.5, -2], "
    "{arc: [1.4, 0.5], through: [1.6, -0.8]}, {spline: [[1.2, 1.5], [0, 2.4]]}]}\n"
)


@pytest.mark.parametrize(
    ("name", "before", "more"),
    [
        ("core: profile[0].z", "[0, -2]", "[0, -1.99]"),
        ("core: profile[1].r", "[1.5, -2]", "[1.51, -2]"),
        ("core: profile[2].arc.z", "1.4, 0.5", "1.4, 0.51"),
        ("core: profile[2].through.r", "1.6, -0.8", "1.61, -0.8"),
        ("core: profile[3].spline[0].r", "1.2, 1.5", "1.21, 1.5"),
        ("core: profile[3].spline[1].z", "[0, 2.4]", "[0, 2.41]"),
    ],
)
def test_every_point_of_a_profile_is_a_number_of_the_design(
    name: str, before: str, more: str, tmp_path: Path
) -> None:
    text = HEAD + PROFILE + COVER
    row = told(text)[name]
    here, there = (weighed(swapped(text, (before, new)), tmp_path) for new in (before, more))
    due = {figure: there[figure] - here[figure] for figure in FIGURES}
    assert {f: row[f] for f in FIGURES} == pytest.approx(due, abs=0.6e-4)
    assert row["low_rg_in"] == pytest.approx(due["low_rg_in"], abs=0.6e-6)


def test_rows_stand_in_the_order_of_the_design() -> None:
    names = list(told(HEAD + PROFILE + COVER))
    assert names[:4] == [
        "density of clay", "density of shell", "core: profile[0].z", "core: profile[1].r",
    ]  # fmt: skip
    assert not any(name.startswith("core: profile[0].r") for name in names)  # it is on the axis


# --- numbers at their ends


def test_a_number_that_can_only_grow_is_told_for_that(tmp_path: Path) -> None:
    row = told(BLOCK)["core: round"]
    none, some = (
        weighed(swapped(BLOCK, ("5.0]", f"5.0], round: {r}")), tmp_path) for r in ("0", "0.01")
    )
    assert row["step"] == "+0.01 in"
    assert row["low_rg_in"] == pytest.approx(some["low_rg_in"] - none["low_rg_in"], abs=0.6e-6)


def test_a_number_that_can_only_shrink_is_told_for_that(tmp_path: Path) -> None:
    """A core that all but fills the ball: 0.01 in more, and no cover is left."""
    row = told(round_core(diameter=8.545))["core: diameter"]
    here, less = (weighed(round_core(diameter=d), tmp_path) for d in (8.545, 8.535))
    assert row["step"] == "\u22120.01 in"
    assert row["low_rg_in"] == pytest.approx(less["low_rg_in"] - here["low_rg_in"], abs=0.6e-6)


def test_a_number_without_which_there_is_no_ball_is_left_out() -> None:
    assert "cover: diameter" not in told(round_core())  # parts must fill the ball


def test_the_ball_as_it_is_stands_unchanged_by_what_is_tried() -> None:
    ball = build_ball(read_design(SPHERES))
    before = repr(ball.design)
    assert sensitivities(ball) == sensitivities(ball)
    assert repr(ball.design) == before


# --- what is left out


def tried(text: str, before: str, ways: tuple[str, str], folder: Path) -> dict[str, float]:
    """By figure the greatest change either way that `weigh` has to its last digit but two."""
    here = weighed(text, folder)
    ends = [weighed(swapped(text, (before, new)), folder) for new in ways]
    return {figure: max(abs(end[figure] - here[figure]) for end in ends) for figure in FIGURES}


@pytest.mark.parametrize(
    ("text", "name", "before", "ways"),
    [
        (round_core(), "core: place along z", "[0, 0, 0]", ("[0, 0, 0.01]", "[0, 0, -0.01]")),
        (round_core(), "core: place along x", "[0, 0, 0]", ("[0.01, 0, 0]", "[-0.01, 0, 0]")),
        (SPHERES, "slug: place along x", "[0, 0, 1.0]", ("[0.01, 0, 1.0]", "[-0.01, 0, 1.0]")),
        (LEANING, "inner core: tilt", "by: 12", ("by: 13", "by: 11")),
    ],
)
def test_a_number_that_is_left_out_changes_no_figure_either_way(
    text: str, name: str, before: str, ways: tuple[str, str], tmp_path: Path
) -> None:
    """As the page says below the table; a change that comes to the same both ways is one, too."""
    if any(one.startswith(name) for one in told(text)):
        return
    changes = tried(text, before, ways, tmp_path)
    assert {f: c for f, c in changes.items() if c > (1e-4 if f.endswith("oz") else 1e-6)} == {}


@pytest.mark.parametrize("name", ["core: size x", "core: size y"])
def test_a_square_core_is_told_how_much_intermediate_differential_a_side_makes(
    name: str, tmp_path: Path
) -> None:
    """Both a longer and a shorter side part high from intermediate RG by as much."""
    new = "[3.51, 3.5" if name.endswith("x") else "[3.5, 3.51"
    made = weighed(swapped(SQUARE, ("[3.5, 3.5", new)), tmp_path)["intermediate_differential_in"]
    assert made > 1e-4
    row = told(SQUARE)[name]
    assert abs(row["intermediate_differential_in"]) == pytest.approx(made, rel=0.1)


def test_a_number_that_changes_nothing_is_left_out() -> None:
    """A ball of one material turns the same, whatever that weighs."""
    assert told(UNIFORM) == {}


def test_no_row_is_all_noughts() -> None:
    for text in (SPHERES, LEANING, BLOCK, HEAD + PROFILE + COVER):
        assert all(any(row[figure] for figure in FIGURES) for row in told(text).values())


def test_a_ball_that_only_solids_can_weigh_is_not_told_of() -> None:
    assert found("crossed").data["sensitivities"] is None


def test_no_solid_is_built_for_what_is_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        pytest.fail("a solid was asked for")

    ball = build_ball(read_design(LEANING))
    monkeypatch.setattr("pipeline.solids.claimed_by_solids", refuse)
    assert sensitivities(ball)


def test_lengths_of_a_design_in_mm_are_stepped_by_the_same_hundredth_of_an_inch() -> None:
    inches = told(round_core())["core: diameter"]
    mm = swapped(
        round_core(),
        ("units: in", "units: mm"),
        ("ball: {diameter: 8.55}", "ball: {diameter: 217.17}"),
        ("sphere, diameter: 8.55}", "sphere, diameter: 217.17}"),
        ("diameter: 4.0", f"diameter: {4.0 * IN!r}"),
    )
    assert told(mm)["core: diameter"] == inches


def test_figures_are_told_to_a_millionth_of_an_inch_and_a_ten_thousandth_of_an_ounce() -> None:
    for row in told(LEANING).values():
        for figure in FIGURES:
            places = 4 if figure.endswith("oz") else 6
            assert row[figure] == round(row[figure], places)


def test_the_mass_of_the_ball_by_hand_is_that_of_spheres() -> None:
    """The closed form above and the one of `sphere_balls` are of one ball."""
    assert mass_g(1.1, 4.275) == pytest.approx(1.1 * 4 / 3 * pi * (4.275 * 2.54) ** 3)
    assert shell_rg_in(2.3, 1.1, 4.0) == pytest.approx(
        rgs_in([(1.1, 4.275, 0.0), (1.2, 2.0, 0.0)])[0]
    )
