"""The process section: what is read, and what is refused with which words."""

from __future__ import annotations

from math import sqrt

import pytest

from pipeline.errors import DesignError
from pipeline.load import read_design
from pipeline.process import NOTHING_ASKED, Shrinkage, SplitAsked

BALL = """\
format: corewright 1
name: Dunlin
revision: A
units: in
ball: {diameter: 8.55, weight: 15 lb}
materials:
  clay: {density: 2.3}
  foam: {density: free, from: 0.55, to: 1.6}
parts:
  - {name: inner core, material: clay, shape: cylinder, diameter: 4, height: 4.5}
  - {name: cover, material: foam, shape: sphere, diameter: 8.55}
"""


def process(casting: str, more: str = "") -> str:
    return f"{BALL}process:\n  castings:\n    inner core: {casting}\n{more}"


def refusal(text: str) -> str:
    with pytest.raises(DesignError) as error:
        read_design(text)
    return str(error.value)


def test_without_the_section_nothing_is_asked() -> None:
    assert read_design(BALL).process == NOTHING_ASKED


def test_what_is_said_of_a_casting_is_read_in_millimetres_and_unit_vectors() -> None:
    asked = read_design(
        process(
            "{shrinkage: {linear: 0.5 %, source: trial pour 7}, draft: 1.5, stock: 0.5 mm, "
            "parting: [{pull: [0, 3, 4], at: 1}], rod: {diameter: 12 mm, depth: 1.0}, "
            "gates: [{toward: [0, 0, 2], diameter: 0.5}]}"
        )
    ).process.casting("inner core")
    assert asked.shrinkage == Shrinkage(0.005, 0.005, "trial pour 7")
    assert (asked.draft_deg, asked.stock_mm, asked.mould) == (1.5, 0.5, None)
    assert asked.splits == (SplitAsked((0.0, 0.6, 0.8), 25.4),)
    assert asked.rod is not None
    assert (asked.rod.diameter_mm, asked.rod.depth_mm, asked.rod.side) == (12.0, 25.4, "pin")
    assert asked.gates[0].toward == (0.0, 0.0, 1.0)


def test_a_part_that_is_not_named_is_asked_nothing() -> None:
    assert read_design(process("{draft: 2}")).process.casting("cover").draft_deg is None


def test_shrinkage_may_differ_along_and_across() -> None:
    design = read_design(process("{shrinkage: {along: 0.6 %, across: 0.004 in/in}}"))
    assert design.process.casting("inner core").shrinkage == Shrinkage(0.006, 0.004)


@pytest.mark.parametrize(
    ("written", "readings"),
    [("0.5", ("50 %", "0.5 %")), ("0.005", ("0.5 %", "0.005 %")), ("2", ("200 %", "2 %"))],
)
def test_a_bare_shrinkage_is_refused_with_both_readings(
    written: str, readings: tuple[str, str]
) -> None:
    said = refusal(process(f"{{shrinkage: {{linear: {written}}}}}"))
    assert "process.castings.inner core.shrinkage.linear" in said
    assert all(f"it is {readings[0]} if" in said and f"'{r}'" in said for r in readings[1:])


@pytest.mark.parametrize(
    ("casting", "words"),
    [
        ("{shrinkage: {linear: 16 %}}", "at most 15 %"),
        ("{shrinkage: {linear: -1 %}}", "at least 0"),
        ("{shrinkage: {along: 1 %}}", "along and across together"),
        ("{draft: 0}", "greater than 0"),
        ("{draft: -1 deg}", "greater than 0"),
        ("{draft: 45}", "at most 30"),
        ("{parting: somewhere}", "best, or a list"),
        ("{parting: []}", "a list of 1 or more"),
        ("{parting: [{pull: [0, 0, 0]}]}", "not all zero"),
        ("{pieces: 4}", "at most 3"),
        ("{pieces: 3, parting: [{pull: [0, 0, 1]}]}", "leave it out"),
        ("{mould: none, draft: 1}", "nothing about a mould"),
        ("{ejectors: [{at: [0, 0, 0], diameter: 0.3, piece: 3}]}", "a piece from 1 to 2"),
        ("{keys: {diameter: 8 mm, height: 9 mm}}", "at most the diameter"),
        ("{stock: -1 mm}", "at least 0"),
        ("{rod: {depth: 1}}", "rod.diameter"),
        ("{colour: red}", "allowed: keys mould"),
    ],
)
def test_what_cannot_be_is_refused_with_what_is_allowed(casting: str, words: str) -> None:
    said = refusal(process(casting))
    assert words in said
    assert "design:14" in said


def test_a_casting_of_no_part_is_refused_with_the_nearest_name() -> None:
    said = refusal(process("{draft: 1}", "    inner cor: {draft: 1}\n"))
    assert "did you mean 'inner core'?" in said


def test_a_direction_has_length_one() -> None:
    design = read_design(process("{parting: [{pull: [1, 1, 1]}]}"))
    splits = design.process.casting("inner core").splits
    assert splits is not None
    assert splits[0].pull == pytest.approx([1.0 / sqrt(3.0)] * 3)
