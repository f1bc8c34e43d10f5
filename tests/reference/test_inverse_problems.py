"""Fits against inverse problems with known answers, another optimiser, the shipped designs."""

from __future__ import annotations

from math import pi, sqrt

import nlopt
import numpy as np
import pytest

from pipeline.ball import build_ball
from pipeline.design import Design
from pipeline.fit import fit
from pipeline.load import read_design
from pipeline.rows import figures_of
from pipeline.shipped import shipped
from pipeline.vary import numbers_at, with_numbers
from pipeline.weigh import weigh
from tests.pipeline.searched import FLARED, TWO_PARTS, design

IN = 25.4


def test_the_semi_axes_of_an_ellipsoid_follow_from_two_rgs_and_the_mass() -> None:
    """I = 2/5 m R^2 for the ball and m (b^2 + c^2) / 5 for what the core adds (Beer & Johnston)."""
    a, c, excess = 1.7 * IN, 2.6 * IN, 1.3e-3  # g/mm3 that the core is denser
    radius = 4.275 * IN
    ball = 4.0 / 3.0 * pi * radius**3 * 1e-3
    core = 4.0 / 3.0 * pi * a * a * c * excess
    mass = ball + core
    along = sqrt((0.4 * ball * radius**2 + 0.4 * core * a * a) / mass) / IN
    across = sqrt((0.4 * ball * radius**2 + core * (a * a + c * c) / 5.0) / mass) / IN
    aim = f"""\
  low_rg: {{value: {along!r}, within: 0.00001}}
  high_rg: {{value: {across!r}, within: 0.00001}}
  mass: {{value: {mass!r} g, within: 0.1 g}}
"""
    vary = """\
  - {part: inner core, field: size.x, from: 2.0, to: 5.0, with: size.y}
  - {part: inner core, field: size.z, from: 2.0, to: 6.5}
  - {material: clay, from: 1.2, to: 3.5}
"""
    start = "shape: ellipsoid, size: [4.6, 4.6, 4.7]"  # far from it
    found = fit(read_design(TWO_PARTS.format(clay=1.4, core=start, aim=aim, vary=vary)))
    assert found.best.met
    assert found.best.values == pytest.approx([2.0 * a, 2.0 * c, 2.3], rel=2e-4)


def test_the_density_of_a_ball_in_a_ball_follows_from_its_rg() -> None:
    """K = 5/2 RG^2 and I = 2/5 (sum of density r^5), m = sum of density r^3, solved for one."""
    r, big, rg = 2.0, 4.275, 2.60
    k = 2.5 * rg * rg
    density = ((big**5 - r**5) - k * (big**3 - r**3)) / (k * r**3 - r**5)
    aim = f"  low_rg: {{value: {rg}, within: 0.000001}}\n"
    vary = "  - {material: clay, from: 1.0, to: 3.7}\n"
    core = "shape: sphere, diameter: 4"
    found = fit(read_design(TWO_PARTS.format(clay=1.1, core=core, aim=aim, vary=vary)))
    assert found.best.met
    assert found.best.values[0] == pytest.approx(density, abs=1e-5)


def poor(name: str) -> Design:
    """A shipped design far from its own figures, with those as its aim."""
    text = shipped(name).read_text(encoding="utf-8")
    ball = build_ball(read_design(text))
    figures = figures_of(ball, weigh(ball))
    names = ["low_rg", "total_differential"]
    names += ["intermediate_differential"] if name == "turnstone" else []
    aim = "".join(f"  {n}: {{value: {figures[n] / IN!r}, within: 0.0001}}\n" for n in names)
    vary, old, new = {
        "dunlin": (
            """  - part: inner core
    field: profile[1].r
    from: 1.85
    to: 2.6
    with: profile[2].r
  - {part: inner core, field: "profile[4].spline[0].r", from: 1.9, to: 2.4}
  - {part: inner core, field: "profile[3].r", from: 1.6, to: 1.9}
  - {part: inner core, field: move.z, from: 0.1, to: 0.6}
  - {material: clay, from: 1.6, to: 2.8}
""",
            "clay: {density: 2.3}",
            "clay: {density: 1.65}",
        ),
        "godwit": (
            """  - part: upper disc
    field: diameter
    from: 1.2
    to: 2.6
    with: {part: lower disc, field: diameter}
  - {material: ballast, from: 2.0, to: 3.5}
  - {material: clay, from: 1.5, to: 2.3}
""",
            "ballast: {density: 3.0}",
            "ballast: {density: 2.05}",
        ),
        "turnstone": (
            """  - {part: inner core, field: size.x, from: 3.0, to: 4.2}
  - {part: inner core, field: size.y, from: 3.4, to: 4.6}
  - {part: inner core, field: size.z, from: 4.2, to: 5.4}
  - {material: clay, from: 1.6, to: 2.8}
""",
            "size: [3.55, 4.115, 5.05]",
            "size: [4.1, 3.5, 4.4]",
        ),
    }[name]  # fmt: skip
    assert old in text
    return read_design(f"{text.replace(old, new)}aim:\n{aim}vary:\n{vary}")


@pytest.mark.parametrize("name", ["dunlin", "godwit", "turnstone"])
def test_a_shipped_design_is_found_again_from_a_poor_start(name: str) -> None:
    asked = poor(name)
    found = fit(asked, starts=6)
    assert found.best.met
    assert found.before is not None
    assert not found.before.met(found.target.scales)[0]
    again = build_ball(read_design(found.best.source))
    for aim in asked.wanted.aims:
        assert figures_of(again, weigh(again))[aim.figure] == pytest.approx(
            aim.value, abs=1e-4 * IN
        )


def test_another_optimiser_finds_nothing_better() -> None:
    """The greatest differential at an RG, inside a wall: NLopt's COBYLA (Powell 1994) likewise."""
    asked = design(
        FLARED,
        """part: inner core, field: lower_diameter, from: 3.0, to: 5.0
part: inner core, field: height, from: 3.8, to: 5.4""",
        """aim:
  low_rg: {from: 2.585, to: 2.605}
  total_differential: {seek: greatest}
keep:
  walls: [{part: inner core, inside: outer core, at_least: 0.35}]
""",
    )
    found = fit(asked, starts=6)
    assert found.best.met
    varied = asked.wanted.varied

    def figures(x: np.ndarray) -> tuple[float, float, float]:
        values = [v.low + (v.high - v.low) * s for v, s in zip(varied, x, strict=True)]
        one = with_numbers(asked, numbers_at(varied, values))
        ball = build_ball(one)
        told = figures_of(ball, weigh(ball))
        wall = 3.525 * IN - ball.bodies[0].reach_mm(np.zeros(3)) - 0.35 * IN
        return told["low_rg"], told["total_differential"], wall

    search = nlopt.opt(nlopt.LN_COBYLA, 2)
    search.set_lower_bounds([0.0, 0.0])
    search.set_upper_bounds([1.0, 1.0])
    search.set_max_objective(lambda x, _g: figures(x)[1])
    search.add_inequality_constraint(lambda x, _g: figures(x)[0] - 2.605 * IN, 1e-8)
    search.add_inequality_constraint(lambda x, _g: 2.585 * IN - figures(x)[0], 1e-8)
    search.add_inequality_constraint(lambda x, _g: -figures(x)[2], 1e-8)
    search.set_xtol_rel(1e-9)
    search.set_maxeval(2000)
    other = max(figures(search.optimize([s, s]))[1] for s in (0.3, 0.6))
    assert found.best.figures["total_differential"] == pytest.approx(other, abs=2e-5 * IN)
