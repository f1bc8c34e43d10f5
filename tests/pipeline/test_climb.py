"""Slopes against closed forms."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pipeline.climb import Search
from pipeline.fit import fit
from pipeline.load import read_design
from pipeline.pulls import sensitivities
from pipeline.target import Target
from tests.pipeline.searched import TWO_PARTS

IN = 25.4


def test_slopes_are_those_of_the_closed_form() -> None:
    """D RG / d density of a ball in a ball, differentiated by hand, and by complex steps."""
    core = "shape: sphere, diameter: 4"
    aim, vary = "  low_rg: {from: 2.5}\n", "  - {material: clay, from: 1.0, to: 3.0}\n"
    asked = read_design(TWO_PARTS.format(clay=2.0, core=core, aim=aim, vary=vary))

    def rg(density: complex) -> complex:
        r, big = 2.0 * IN, 4.275 * IN
        inertia = 0.4 * (density * r**5 + big**5 - r**5)
        return (inertia / (density * r**3 + big**3 - r**3)) ** 0.5

    exact = rg(2.0 + 1e-30j).imag / 1e-30
    target = Target(asked)
    slope = Search(target).slopes(
        np.array([0.5]), lambda scored: scored.rows.figures["low_rg"][:, None]
    )
    assert slope[0, 0] / 2.0 == pytest.approx(exact, rel=1e-7)
    (told_slope,) = sensitivities(target, replace_values(target, [2.0]))
    assert told_slope.step == 0.01
    assert told_slope.changes["low_rg"] == pytest.approx(exact * 0.01 / IN, rel=1e-7)


def replace_values(target: Target, values: list[float]) -> object:
    found = fit(target.design, starts=1).best
    scored = target.score(np.array([values]))
    figures = {name: float(column[0]) for name, column in scored.rows.figures.items()}
    return replace(found, values=np.array(values), figures=figures)
