"""What parameters do, against the same balls worked out by hand."""

from __future__ import annotations

from dataclasses import replace
from math import pi, sqrt

import numpy as np
import pytest

from pipeline.ball import build_ball
from pipeline.effects import Effect, has_trial, plain_design, trial
from pipeline.weigh import weigh
from shapes.cylinder import Cylinder
from shapes.inserts import Disc
from shapes.registry import FAMILIES

IN = 25.4
WEIGHT_G = 15 * 453.59237


def figures(rho_core: float, volume: float, rr: float, zz: float) -> np.ndarray:
    """Low RG and total differential, in, of a plain ball round a centred round core.

    A ball of radius R has V = 4/3 pi R^3 and about any axis 8/15 pi R^5; the core 2 rr and rr + zz,
    with rr and zz the integrals of x^2 and z^2 over it (Beer & Johnston, Vector Mechanics; from
    memory).  The density of the outer core follows from the weight.
    """
    outer, ball, cover = 7.05 * IN / 2, 8.55 * IN / 2, 1.17e-3
    shell = 4 / 3 * pi * (ball**3 - outer**3)
    light = (WEIGHT_G - rho_core * volume - cover * shell) / (4 / 3 * pi * outer**3 - volume)
    round_about = 8 / 15 * pi * (cover * (ball**5 - outer**5) + light * outer**5)
    along = round_about + (rho_core - light) * 2 * rr
    across = round_about + (rho_core - light) * (rr + zz)
    low, high = sorted((sqrt(along / WEIGHT_G), sqrt(across / WEIGHT_G)))
    return np.array([low, high - low]) / IN


def by_hand(diameter: float, height: float) -> np.ndarray:
    """With a cylinder: V = pi r^2 h, int x^2 = V r^2 / 4, int z^2 = V h^2 / 12."""
    r = diameter / 2
    volume = pi * r * r * height
    return figures(2.3e-3, volume, volume * r * r / 4, volume * height**2 / 12)


def effect(word: str, parameter: str) -> Effect:
    (found,) = (e for e in trial(word).effects if e.parameter == parameter)
    return found


@pytest.mark.parametrize("parameter", ["diameter", "height"])
def test_the_effects_of_a_cylinder_are_those_worked_out_by_hand(parameter: str) -> None:
    typical = Cylinder.typical()
    at = {"diameter": typical.diameter, "height": typical.height}
    step = 0.005 * IN
    up, down = (by_hand(**{**at, parameter: at[parameter] + s}) for s in (step, -step))
    due = (up - down) * 10  # from a hundredth of an inch to a tenth
    found = effect("cylinder", parameter)
    assert found.step == "0.1 in"
    assert [found.low_rg_in, found.total_in] == pytest.approx(due, abs=2e-7)
    assert found.intermediate_in == pytest.approx(0.0, abs=1e-9)


def test_the_figures_of_the_typical_body_are_those_worked_out_by_hand() -> None:
    typical = Cylinder.typical()
    principal = trial("cylinder").properties.principal
    found = [principal.rg_mm[0] / IN, principal.total_differential_mm / IN]
    assert found == pytest.approx(by_hand(typical.diameter, typical.height), abs=1e-9)


def test_a_count_moves_by_one() -> None:
    three = effect("scallops", "count")
    shape = FAMILIES["scallops"].typical()
    rgs = []
    for count in (2, 4):
        design = plain_design(replace(shape, count=count), "inner core")
        rgs.append(weigh(build_ball(design)).principal.rg_mm[0] / IN)
    assert three.low_rg_in == pytest.approx((rgs[1] - rgs[0]) / 2, abs=1e-9)


def test_a_step_that_is_refused_is_told_as_one_way() -> None:
    assert effect("flared", "upper_diameter").one_way  # it may not be narrower than the cylinder
    assert not effect("flared", "lower_diameter").one_way


def test_small_bodies_are_tried_as_inserts_and_large_ones_as_outer_cores() -> None:
    assert trial("disc").place == "insert"
    assert trial("recessed").place == "outer core"
    assert trial("flared").place == "inner core"
    names = [part.name for part in plain_design(Disc(), "insert").parts]
    assert names == ["body", "core", "outer core", "cover"]


@pytest.mark.parametrize("word", [w for w in FAMILIES if has_trial(w)])
def test_every_typical_body_makes_a_believable_ball(word: str) -> None:
    """Low RG from 2.46 in, the least that is allowed, to 2.66; differentials up to 0.06 in."""
    found = trial(word)
    principal = found.properties.principal
    assert 2.46 <= principal.rg_mm[0] / IN <= 2.66
    assert principal.total_differential_mm / IN <= 0.06
    light = [p.density_g_cm3 for p in found.ball.parts if p.material == "light"]
    assert 0.6 <= light[0] <= 1.4


def test_what_is_no_number_is_told_as_still() -> None:
    assert trial("turned").still == ("profile",)
    assert trial("join").still == ("bodies",)
