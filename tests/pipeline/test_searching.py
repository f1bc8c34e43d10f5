"""Aims, what must be kept and what may vary, as they are read and refused."""

from __future__ import annotations

import pytest

from pipeline.errors import DesignError
from pipeline.load import read_design
from pipeline.wanted import Aim, Extent, Tie, Wall
from tests.pipeline.searched import BARREL, ELLIPSOID, design, text

AIMS = """\
aim:
  low_rg: {value: 2.52, within: 0.0005}
  total_differential: {seek: greatest, to: 0.06}
  core_mass: {from: 5 lb, to: 8 lb}
  top_weight: {to: 3 oz}
keep:
  walls: [{part: inner core, inside: outer core, at_least: 0.3}]
  extents: [{part: inner core, along: height, to: 5.6}]
  limits: {margin: 0.002}
"""


def test_aims_become_windows_in_inner_units() -> None:
    wanted = design(ELLIPSOID, more=AIMS).wanted
    low, total, top, core = wanted.aims
    assert (low.figure, low.low, low.high) == (
        "low_rg", pytest.approx(2.5195 * 25.4), pytest.approx(2.5205 * 25.4)
    )  # fmt: skip
    assert total == Aim("total_differential", None, pytest.approx(1.524), None, "greatest", 16)
    assert (core.low, core.high) == pytest.approx((2267.96185, 3628.73896))
    assert (top.low, top.high) == (None, pytest.approx(85.04856938))
    assert low.scale == pytest.approx(0.0127)
    assert low.beyond(low.high + 1.0) == pytest.approx(1.0)  # type: ignore[operator]
    assert low.beyond(2.52 * 25.4) == 0.0


def test_what_must_be_kept() -> None:
    wanted = design(ELLIPSOID, more=AIMS).wanted
    assert wanted.walls == (Wall("inner core", "outer core", pytest.approx(7.62)),)
    assert wanted.extents == (Extent("inner core", "height", None, pytest.approx(142.24)),)
    assert wanted.limits_margin_mm == pytest.approx(0.0508)


def test_what_varies_with_what_follows_it() -> None:
    vary = """part: inner core, field: size.x, from: 70 mm, to: 4.2, with: size.y
part: inner core, field: size.z, from: 3.4, to: 5.6, beside: [{part: outer core, field: diameter}]
material: clay, from: 1.6, to: 2.8"""
    first, second, third = design(ELLIPSOID, vary).wanted.varied
    assert first.name == "inner core size.x"
    assert (first.now, first.low, first.high) == pytest.approx((86.36, 70.0, 106.68))
    assert first.ties == (Tie("parts[0].size.y", "with", 0.0),)
    assert second.ties == (Tie("parts[1].diameter", "beside", pytest.approx(54.61)),)
    assert (third.path, third.unit, third.now) == ("materials.clay.density", "g/cm3", 2.3)


@pytest.mark.parametrize(
    ("vary", "says"),
    [
        ("part: inner cor, field: round, from: 1, to: 2", "did you mean 'inner core'?"),
        ("part: inner core, field: hight, from: 1, to: 2", "did you mean 'height'?"),
        ("part: inner core, field: height, from: 3, to: 2", "vary[0].to: read '2'; allowed: more"),
        ("part: inner core, field: height, from: 1 lb, to: 2", "'lb' is no unit of length"),
        ("part: inner core, field: height, from: -1, to: 2", "vary[0].from"),
        ("part: inner core, from: 1, to: 2", "one of {part, field}, {material}"),
        ("material: clay, ball: weight, from: 1, to: 2", "one of {part, field}, {material}"),
        ("material: foam, from: 1, to: 2", "materials.clay.density"),
        ("material: clay, from: 2, to: 9", "at most 3.80"),
        ("part: inner core, field: spin, from: 1, to: 2", "write its value in the file first"),
        ("part: inner core, field: height, from: 1, to: 2, with: tilt.by", "of the same kind"),
        ("part: inner core, field: height, from: 1, to: 2, with: height", "line 16 varies it"),
        ("material: clay, from: 1, to: 2, with: height", "{part: ..., field: ...}"),
    ],
)
def test_what_cannot_vary_is_refused_with_its_line(vary: str, says: str) -> None:
    with pytest.raises(DesignError) as told:
        design(BARREL, vary)
    assert "design:16: vary[0]" in str(told.value)
    assert says in str(told.value)


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ("aim: {low_rg: {value: 2.5}}", "allowed: {value, within}"),
        ("aim: {low_rg: {value: 2.5, within: 0.1, from: 2}}", "allowed: {value, within}"),
        ("aim: {low_rg: {from: 2.6, to: 2.5}}", "from is more than to"),
        ("aim: {low_rg: {}}", "read nothing; allowed: {value, within}"),
        ("aim: {lowrg: {from: 2.5}}", "did you mean 'low_rg'?"),
        ("aim: {low_rg: {from: 2.5 lb}}", "'lb' is no unit of length"),
        ("aim: {core_mass: {from: 5}}", "it has no unit"),
        ("aim: {low_rg: {seek: most}}", "least, greatest"),
        ("keep: {walls: [{part: core, inside: cover, at_least: 1}]}", "inner core, outer core"),
        ("keep: {limits: {margin: -1}}", "it is less than 0"),
    ],
)
def test_what_cannot_be_aimed_at_is_refused(more: str, says: str) -> None:
    with pytest.raises(DesignError) as told:
        design(ELLIPSOID, more=more)
    assert "design:14" in str(told.value)
    assert says in str(told.value)


def test_a_design_with_all_of_it_says_the_same_when_it_is_read_again() -> None:
    source = text(ELLIPSOID, "material: clay, from: 1, to: 2", AIMS)
    assert read_design(source).wanted == read_design(source.encode()).wanted
