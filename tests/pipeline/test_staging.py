"""What stands beside every view: figures with the trade's words, and the parts' table."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pipeline.axes import Principal
from pipeline.ball import build_ball
from pipeline.load import read_design
from pipeline.staging import core_parts, darker, figures_of, legend_of, paler
from pipeline.weigh import ErrorBound, MassProperties, from_mass, weigh
from shapes.moments import Moments
from tests.pipeline.sphere_balls import SPHERES, mass_g
from tests.pipeline.uniform_text import UNIFORM

IN = 25.4


def weighed(low_in: float, total_in: float) -> MassProperties:
    """A ball of 15 lb with that low RG and total differential, exactly."""
    rgs = np.array([low_in, low_in + total_in / 2.0, low_in + total_in]) * IN
    x, y, z = np.eye(3)
    principal = Principal(rgs, z, y, x, "asymmetrical")
    plain = from_mass(
        Moments.of_revolution(6804.0, 0.0, 1.0, 2.0), 4.275 * IN, ErrorBound(1e-4, 1e-7)
    )
    return replace(plain, principal=principal)


def row(properties: MassProperties, name: str) -> tuple[str, str]:
    return next((value, word) for n, value, word in figures_of(properties) if n == name)


@pytest.mark.parametrize(
    ("low_in", "printed", "word"),
    [
        (2.4990, "2.499 in", "low"),
        (2.5000, "2.500 in", "low to medium"),
        (2.5004, "2.500 in", "low to medium"),
        (2.4996, "2.500 in", "low to medium"),
        (2.5100, "2.510 in", "medium"),
        (2.5800, "2.580 in", "medium to high"),
        (2.5810, "2.581 in", "high"),
    ],
)
def test_a_low_rg_has_the_word_of_what_is_printed(low_in: float, printed: str, word: str) -> None:
    """On the line between two words, as it is printed, both are said: the lines are 2.50, 2.58."""
    assert row(weighed(low_in, 0.040), "low RG") == (printed, word)


@pytest.mark.parametrize(
    ("total_in", "printed", "word"),
    [
        (0.0291, "0.029 in", "low"),
        (0.0300, "0.030 in", "low to medium"),
        (0.0401, "0.040 in", "medium"),
        (0.0496, "0.050 in", "medium to high"),
        (0.0500, "0.050 in", "medium to high"),
        (0.0504, "0.050 in", "medium to high"),
        (0.0506, "0.051 in", "high"),
    ],
)
def test_a_differential_has_the_word_of_what_is_printed(
    total_in: float, printed: str, word: str
) -> None:
    """The lines are 0.030 and 0.050 in; what prints alike is called alike."""
    assert row(weighed(2.54, total_in), "total differential") == (printed, word)


@pytest.mark.parametrize("name", ["ball weight", "intermediate differential"])
def test_other_figures_have_no_word(name: str) -> None:
    assert row(weighed(2.54, 0.040), name)[1] == ""


def test_a_ball_without_an_axis_has_one_rg() -> None:
    """2/5 m R2: RG = R sqrt(2/5), which for 4.275 in is 2.704 in (any handbook)."""
    found = figures_of(weigh(build_ball(read_design(UNIFORM))))
    assert found[1] == ("RG, any axis", "2.704 in", "high")


def test_the_legend_has_every_part_s_mass() -> None:
    """Of spheres in closed form: the slug, the core without it, and what is round both."""
    ball = build_ball(read_design(SPHERES))
    slug, core = mass_g(3.0, 0.75), mass_g(2.0, 2.0) - mass_g(2.0, 0.75)
    shell = mass_g(1.17, 4.275) - mass_g(1.17, 3.5)
    due = [slug, core, 15.0 * 453.59237 - slug - core - shell, shell]
    found = [entry.mass for entry in legend_of(ball, set())]
    assert found == [f"{mass / 453.59237:.2f}" for mass in due]


def test_the_legend_says_which_parts_are_seen() -> None:
    ball = build_ball(read_design(SPHERES))
    assert [entry.seen for entry in legend_of(ball, {0, 2})] == [True, False, True, False]


def test_what_is_poured_round_the_core_is_no_part_of_it() -> None:
    assert 3 not in core_parts(build_ball(read_design(SPHERES)))


@pytest.mark.parametrize(
    ("colour", "share", "due"), [("#804020", 0.5, "#402010"), ("#FFFFFF", 0.0, "#000000")]
)
def test_a_darker_colour_has_its_light_scaled(colour: str, share: float, due: str) -> None:
    assert darker(colour, share) == due


@pytest.mark.parametrize(("share", "due"), [(0.0, "#1F4E5F"), (1.0, "#F7F4EA")])
def test_a_paler_colour_lies_on_the_way_to_chalk(share: float, due: str) -> None:
    assert paler("#1F4E5F", share) == due
