"""What a fit finds, tells and refuses."""

from __future__ import annotations

import numpy as np
import pytest

from pipeline.climb import shares_at, values_at
from pipeline.crew import Crew
from pipeline.errors import BallError
from pipeline.fit import FitError, fit
from pipeline.fit_report import as_figures, told
from pipeline.load import read_design
from pipeline.pulls import binding
from pipeline.samples import Scatter
from pipeline.wanted import AIMED
from tests.pipeline.searched import BOX, ELLIPSOID, FLARED, THREE, UNMET, design

IN = 25.4


def test_aims_that_cannot_be_met_say_what_binds_and_what_pulls_apart() -> None:
    """A low RG here wants a tall core, and that a high differential; a grid shows it is nearest."""
    asked = design(FLARED, THREE, UNMET)
    found = fit(asked, starts=6)
    target = found.target
    assert not found.best.met
    side = np.linspace(0.0, 1.0, 12)
    grid = np.stack(np.meshgrid(side, side, side), axis=-1).reshape(-1, 3)
    assert found.best.cost <= target.score(values_at(target, grid)).cost.min() * (1.0 + 1e-9)
    bound = binding(target, found.best)
    assert "inner core height at its greatest, 5.4 in" in bound
    assert as_figures(found)["met"] is False
    assert "the aims cannot all be met; this is the nearest" in told(found)


def test_distinct_solutions_are_few_and_well_apart() -> None:
    asked = design(FLARED, THREE, "aim: {low_rg: {value: 2.6, within: 0.0005}}")
    found = fit(asked)
    assert 2 <= len(found.solutions) <= 4
    assert all(s.met for s in found.solutions)
    shares = [shares_at(found.target, s.values) for s in found.solutions]
    for k, one in enumerate(shares):
        for other in shares[:k]:
            assert np.abs(one - other).max() > 0.1


def test_the_first_of_many_changes_the_design_least() -> None:
    two = "\n".join(THREE.splitlines()[:2])
    asked = design(FLARED, two, "aim: {low_rg: {from: 2.5, to: 2.7}}")
    found = fit(asked, starts=4)
    assert found.best.source == asked.source  # it meets its aim as it is


def test_a_seed_gives_the_same_bytes_whoever_does_the_work() -> None:
    vary = "part: inner core, field: size.z, from: 4, to: 5.2\nmaterial: clay, from: 1.6, to: 2.8"
    asked = design(BOX, vary, "aim: {low_rg: {value: 2.55, within: 0.0005}}")
    one, same = fit(asked, starts=3), fit(asked, starts=3, crew=Crew(workers=1))
    assert [s.source for s in one.solutions] == [s.source for s in same.solutions]
    assert as_figures(one) == as_figures(same)


LIGHT = """aim: {low_rg: {seek: least}, total_differential: {seek: greatest, to: 0.06}}
keep: {walls: [{part: inner core, inside: outer core, at_least: 0.2}]}
"""
BLOCK = """part: inner core, field: size.x, from: 2, to: 5
part: inner core, field: size.y, from: 2, to: 5
part: inner core, field: size.z, from: 2, to: 8
material: clay, from: 0.8, to: 2.6"""


def test_what_is_sought_does_not_depend_on_the_seed_and_no_strewn_ball_is_better() -> None:
    """At 10 lb the outer core's density stands at its least: a bound that no number shows."""
    source = design(BOX, BLOCK, LIGHT, "10 lb").source.decode()
    asked = read_design(source.replace("from: 0.55", "from: 0.3"))
    one, other = fit(asked, starts=4), fit(asked, starts=4, seed=2)
    target = one.target
    assert one.best.met
    figures = np.array([[s.best.figures[n] for n in AIMED] for s in (one, other)])
    assert figures[0] == pytest.approx(figures[1], rel=2e-3, abs=0.02, nan_ok=True)
    strewn = target.score(values_at(target, Scatter(3000, 4).shares(0, 3000)))
    met = strewn.met(target.scales)
    assert met.sum() > 5
    best = target.sought(strewn.rows)[met].min()
    mine = target.score(one.best.values[None, :])
    assert target.sought(mine.rows)[0] <= best
    assert "density of foam, 0.3 to 1.6 g/cm3" in binding(target, one.best)


def test_what_must_be_kept_is_kept_even_where_aims_are_not_met() -> None:
    more = UNMET + "keep: {walls: [{part: inner core, inside: outer core, at_least: 0.5}]}"
    found = fit(design(FLARED, THREE, more), starts=3)
    assert not found.best.met
    assert (found.best.margins[found.target.hard] >= 0.0).all()


def test_a_figure_that_is_never_defined_is_named() -> None:
    asked = design(ELLIPSOID, "material: clay, from: 1.6, to: 2.8", "aim: {pin_to_cg: {to: 3}}")
    with pytest.raises(FitError, match="pin to CG is undefined in every ball that was tried"):
        fit(asked)


def test_a_design_out_of_reach_of_its_weight_has_nothing_before() -> None:
    asked = design(
        ELLIPSOID, "material: clay, from: 1.6, to: 3.5", "aim: {low_rg: {to: 2.9}}", "11 lb"
    )
    found = fit(asked, starts=2)
    assert found.before is None
    assert found.best.met
    assert as_figures(found)["before"] is None


def test_limits_with_a_margin_are_kept() -> None:
    asked = design(
        FLARED, THREE, "aim: {total_differential: {seek: greatest}}\nkeep: {limits: {margin: 0.02}}"
    )
    found = fit(asked, starts=4)
    assert found.best.met
    assert found.best.figures["total_differential"] / IN == pytest.approx(0.040, abs=1e-4)
    assert "limit on total differential" in binding(found.target, found.best)


def test_the_json_has_the_contract() -> None:
    asked = design(FLARED, THREE, "aim: {low_rg: {value: 2.6, within: 0.0005}}")
    found = as_figures(fit(asked, starts=2))
    keys = {"met", "figures", "values", "binding", "starts", "evaluations", "alternatives"}
    assert keys <= set(found)
    assert found["values"][0]["part"] == "inner core"
    assert found["values"][0]["field"] == "lower_diameter"
    assert set(found["values"][0]["sensitivity"]) > {"low_rg", "total_differential", "step"}


@pytest.mark.parametrize(
    ("vary", "more", "says"),
    [
        ("", "aim: {low_rg: {from: 2.5}}", "write a vary section"),
        (THREE, "", "write an aim section"),
        (
            "part: inner core, field: move.z, from: 2.9, to: 3.1",
            "aim: {low_rg: {from: 2.5}}",
            "no ball was found at all",
        ),
    ],
)
def test_what_cannot_be_fitted_is_told(vary: str, more: str, says: str) -> None:
    with pytest.raises(FitError, match=says):
        fit(design(f"{FLARED}, move: [0, 0, 0]", vary, more))


def test_a_wall_up_to_what_is_no_sphere_is_refused() -> None:
    more = (
        "aim: {low_rg: {from: 2}}\nkeep: {walls: [{part: cover, inside: inner core, at_least: 1}]}"
    )
    with pytest.raises(BallError, match="is no sphere"):
        fit(design(FLARED, THREE, more))
