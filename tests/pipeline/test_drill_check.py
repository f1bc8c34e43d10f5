"""The rules on a drilled ball: each at its limit, just inside and just outside, by weight class."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pipeline import drill_check
from pipeline.check import Finding
from pipeline.drill_check import check_drilled
from pipeline.drilled import Drilled
from pipeline.statics import Static
from pipeline.units import G_PER_LB, G_PER_OZ
from tests.pipeline.drilled_text import BARE, GRIP, PLAIN, drilled, holes, swapped

NAMES = ["top", "side", "finger"]
LIMITS = {  # oz, by the weight of the drilled ball in lb
    16.0: (3.0, 3.0, 3.0),
    10.001: (3.0, 3.0, 3.0),
    10.0: (2.0, 0.75, 0.75),
    9.0: (2.0, 0.75, 0.75),
    8.0: (2.0, 0.75, 0.75),
    7.999: (0.75, 0.75, 0.75),
    6.0: (0.75, 0.75, 0.75),
}
CASES = [(w, n, most) for w, row in LIMITS.items() for n, most in zip(NAMES, row, strict=True)]


def hole(number: int, use: str, diameter: float = 0.3) -> str:
    """One of many, apart from one another round the ball."""
    return (
        f"name: {use} {number}, use: {use}, at: {{arc: 6, azimuth: {30 * number}}}, "
        f"diameter: {diameter}, depth: 0.4"
    )


def with_holes(fingers: int = 0, thumbs: int = 0, vents: int = 0, wide: float = 0.2) -> Drilled:
    uses = ["finger"] * fingers + ["thumb"] * thumbs + ["vent"] * vents
    each = [hole(k, use, wide if use == "vent" else 0.3) for k, use in enumerate(uses)]
    return drilled(holes(*each), PLAIN)


def verdicts(found: Drilled) -> dict[str, str]:
    return {one.rule: one.verdict for one in check_drilled(found)}


def rule(found: Drilled, name: str) -> Finding:
    (one,) = (one for one in check_drilled(found) if one.rule == name)
    return one


@pytest.fixture(scope="module")
def gripped() -> Drilled:
    return drilled(BARE, PLAIN)


@pytest.fixture(scope="module")
def house() -> Drilled:
    return drilled(BARE + "  house_ball: yes\n", PLAIN)


def weighing(found: Drilled, pounds: float) -> Drilled:
    """The ball as if it weighed so much once it is drilled."""
    return replace(found, properties=replace(found.properties, mass_g=pounds * G_PER_LB))


def static_of(
    patch: pytest.MonkeyPatch,
    found: Drilled,
    name: str,
    moment: float,
    halves: float | None = None,
) -> Finding:
    """The finding on a static weight of so many ounces, told both ways."""
    both = moment, moment if halves is None else halves
    made = tuple(
        Static(each, "here", *(v * G_PER_OZ if each == name else 0.0 for v in both))
        for each in NAMES
    )
    patch.setattr(drill_check, "statics", lambda _: made)
    return rule(found, f"{name} weight")


@pytest.mark.parametrize(("pounds", "name", "most"), CASES)
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_a_static_weight_on_its_limit_passes(
    monkeypatch: pytest.MonkeyPatch,
    gripped: Drilled,
    pounds: float,
    name: str,
    most: float,
    sign: float,
) -> None:
    found = static_of(monkeypatch, weighing(gripped, pounds), name, sign * most)
    assert (found.verdict, found.limit) == ("pass", f"at most {most:g} oz")


@pytest.mark.parametrize(("pounds", "name", "most"), CASES)
@pytest.mark.parametrize(("beyond", "verdict"), [(-0.011, "pass"), (0.011, "fail")])
def test_a_static_weight_beside_its_limit(
    monkeypatch: pytest.MonkeyPatch,
    gripped: Drilled,
    pounds: float,
    name: str,
    most: float,
    beyond: float,
    verdict: str,
) -> None:
    found = static_of(monkeypatch, weighing(gripped, pounds), name, -most - beyond)
    assert found.verdict == verdict


@pytest.mark.parametrize("beyond", [-0.009, 0.009])
def test_a_static_weight_nearer_to_its_limit_than_it_is_known_is_not_determined(
    monkeypatch: pytest.MonkeyPatch, gripped: Drilled, beyond: float
) -> None:
    found = static_of(monkeypatch, weighing(gripped, 15.0), "top", 3.0 + beyond)
    assert found.verdict == "not determined"


@pytest.mark.parametrize(("moment", "halves"), [(2.5, 3.5), (3.5, 2.5), (-2.5, -3.5), (2.9, 3.005)])
def test_where_the_two_ways_part_at_the_limit_nothing_is_determined(
    monkeypatch: pytest.MonkeyPatch, gripped: Drilled, moment: float, halves: float
) -> None:
    found = static_of(monkeypatch, weighing(gripped, 15.0), "top", moment, halves)
    assert found.verdict == "not determined"


def test_where_they_part_both_are_told(monkeypatch: pytest.MonkeyPatch, gripped: Drilled) -> None:
    found = static_of(monkeypatch, weighing(gripped, 15.0), "side", -2.5, -3.5)
    assert found.note == (
        "towards here -2.50 oz by moment, -3.50 oz by halves: the two ways to tell it part at the "
        "limit"
    )


def test_where_they_agree_the_worse_is_told(
    monkeypatch: pytest.MonkeyPatch, gripped: Drilled
) -> None:
    found = static_of(monkeypatch, weighing(gripped, 15.0), "top", 1.0, -2.0)
    assert (found.verdict, found.value) == ("pass", pytest.approx(2.0))


def test_the_class_is_that_of_the_weight_after_drilling(
    monkeypatch: pytest.MonkeyPatch, gripped: Drilled
) -> None:
    light = weighing(gripped, 7.9)
    heavy = replace(light, undrilled=replace(light.undrilled, mass_g=8.1 * G_PER_LB))
    assert static_of(monkeypatch, heavy, "top", 1.0).verdict == "fail"


def test_the_weights_of_a_real_ball_are_held(gripped: Drilled) -> None:
    found = rule(gripped, "top weight")
    assert found.value is not None
    assert 2.0 < found.value < 4.0


@pytest.mark.parametrize("name", NAMES)
def test_without_a_grip_static_weights_are_not_determined(name: str) -> None:
    found = rule(with_holes(fingers=2), f"{name} weight")
    assert (found.verdict, found.value) == ("not determined", None)
    assert found.note.startswith("no grip tells which way is up")


@pytest.mark.parametrize(
    ("fingers", "thumbs", "name", "value", "verdict"),
    [
        (4, 1, "gripping holes", 5.0, "pass"),
        (5, 1, "gripping holes", 6.0, "fail"),
        (4, 2, "gripping holes", 6.0, "fail"),
        (2, 1, "thumb holes", 1.0, "pass"),
        (2, 0, "thumb holes", 0.0, "pass"),
        (2, 2, "thumb holes", 2.0, "fail"),
        (4, 1, "finger holes", 4.0, "pass"),
        (5, 0, "finger holes", 5.0, "fail"),
    ],
)
def test_how_many_holes_there_may_be(
    fingers: int, thumbs: int, name: str, value: float, verdict: str
) -> None:
    found = rule(with_holes(fingers, thumbs), name)
    assert (found.value, found.verdict) == (value, verdict)


def test_vents_are_no_gripping_holes() -> None:
    assert rule(with_holes(fingers=3, thumbs=1, vents=4), "gripping holes").value == 4.0


def test_no_hole_is_a_balance_hole() -> None:
    found = rule(with_holes(fingers=2, vents=1), "balance holes")
    assert (found.value, found.verdict) == (0.0, "pass")


@pytest.mark.parametrize(("vents", "verdict"), [(1, "pass"), (2, "pass"), (3, "fail")])
def test_there_may_be_one_vent_for_each_gripping_hole(vents: int, verdict: str) -> None:
    found = rule(with_holes(fingers=1, thumbs=1, vents=vents), "vents")
    assert (found.verdict, found.note) == (verdict, f"{vents} for 2 gripping holes")


@pytest.mark.parametrize(("wide", "verdict"), [(0.249, "pass"), (0.25, "pass"), (0.251, "fail")])
def test_how_wide_a_vent_may_be(wide: float, verdict: str) -> None:
    assert rule(with_holes(fingers=1, vents=1, wide=wide), "vent diameter").verdict == verdict


def test_the_widest_vent_is_told() -> None:
    found = rule(
        drilled(holes(hole(1, "finger"), hole(2, "vent", 0.2), hole(3, "vent", 0.3)), PLAIN),
        "vent diameter",
    )
    assert (found.value, found.note) == (pytest.approx(0.3), "widest: vent 3")


def test_a_ball_without_vents_is_held_to_no_rule_on_vents() -> None:
    assert not {"vents", "vent diameter"} & set(verdicts(with_holes(fingers=2)))


@pytest.mark.parametrize(("fingers", "thumbs"), [(2, 1), (2, 0)])
def test_a_design_cannot_show_that_holes_are_used(fingers: int, thumbs: int) -> None:
    found = rule(with_holes(fingers, thumbs), "use of holes")
    assert (found.verdict, found.value) == ("not determined", None)


def test_without_a_thumb_the_palm_is_marked() -> None:
    assert "marked with a plus" in rule(with_holes(fingers=2), "use of holes").note


def test_with_a_thumb_nothing_is_marked() -> None:
    assert "marked" not in rule(with_holes(fingers=2, thumbs=1), "use of holes").note


@pytest.mark.parametrize("name", ["house ball differential", "house ball"])
def test_rules_on_house_balls_are_for_house_balls(gripped: Drilled, name: str) -> None:
    assert name not in verdicts(gripped)


def test_a_design_cannot_show_what_a_house_ball_is_lent_for(house: Drilled) -> None:
    assert rule(house, "house ball").verdict == "not determined"


@pytest.mark.parametrize(("inches", "verdict"), [(0.0249, "pass"), (0.0251, "fail")])
def test_a_house_ball_has_little_differential(house: Drilled, inches: float, verdict: str) -> None:
    axes = replace(house.undrilled.principal, rg_mm=25.4 * np.array([2.5, 2.5, 2.5 + inches]))
    found = replace(house, undrilled=replace(house.undrilled, principal=axes))
    assert rule(found, "house ball differential").verdict == verdict


def test_the_differential_of_a_house_ball_is_that_before_drilling(house: Drilled) -> None:
    found = rule(house, "house ball differential")
    assert (found.value, found.note) == (0.0, "of the ball before it is drilled")


def test_every_finding_tells_its_source_and_how_sure_it_is() -> None:
    for found in check_drilled(drilled(GRIP + "  house_ball: yes\n")):
        assert found.source
        assert found.confidence in ("G", "S", "M", "C")


def test_a_rule_is_told_once() -> None:
    names = [found.rule for found in check_drilled(drilled(GRIP))]
    assert len(names) == len(set(names)) == 12


def test_a_grip_without_thumb_has_static_weights() -> None:
    text = swapped(BARE, ("thumb: {diameter: 1, depth: 2}", "thumb: none"))
    assert rule(drilled(text, PLAIN), "top weight").value is not None
