"""What a usual grip takes out of a ball: common practice, no source."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import pytest

from pipeline.ball import build_ball
from pipeline.drilled import Drilled, drill
from pipeline.load import read_design
from pipeline.shipped import NAMES, shipped
from tests.reference.laid_balls import MARK

USUAL = """
drilling:
  hand: right
  grip:
    middle:
      {span: 4 3/8, diameter: 25/32, depth: 2.5, insert: {bore: 31/32, depth: 1.25, density: 1.1}}
    ring:
      {span: 4 5/16, diameter: 3/4, depth: 2.5, insert: {bore: 31/32, depth: 1.25, density: 1.1}}
    bridge: 0.25
    thumb: {diameter: 1, depth: 2.75, bottom: {point: 118}, reverse: 1/8}
  axis_point: {over: 5, up: 1/2}
  layout: {pin_to_axis_point: 4, pin_to_val: 2, pin: above%s}
"""


@lru_cache
def usual(name: str) -> Drilled:
    text = shipped(name).read_text(encoding="utf-8")
    asymmetrical = "asymmetrical" in text
    found = drill(build_ball(read_design(text + USUAL % (MARK if asymmetrical else ""))))
    assert found is not None
    return found


@pytest.mark.parametrize("name", NAMES)
def test_a_usual_grip_takes_a_few_ounces(name: str) -> None:
    """About 2.5 oz (common practice, second-hand): 2 to 4.5 oz, by what the holes go into."""
    found = usual(name)
    ounces = (found.undrilled.mass_g - found.properties.mass_g) / 28.349523125
    assert 2.0 <= ounces <= 4.5


@pytest.mark.parametrize("name", NAMES)
def test_a_usual_grip_changes_radii_of_gyration_little(name: str) -> None:
    """By less than five per cent (common practice; no source), but not by nothing."""
    found = usual(name)
    change = np.abs(found.properties.principal.rg_mm / found.undrilled.principal.rg_mm - 1)
    assert change.max() < 0.05
    assert change.max() > 1e-4
