"""Mass properties on the page: digit for digit those of the data, each in its place."""

from __future__ import annotations

from decimal import Decimal

import pytest

from pipeline.dossier.mass_section import mass_section
from tests.pipeline.dossier.block_texts import cells, said, table_of
from tests.pipeline.dossier.told_balls import Data, data

BALLS = ("spheres", "leaning", "gripped", "bored", "crossed", "uniform")
NAMES = ("low", "intermediate", "high")
DIFFERENTIALS = ("total_differential_in", "intermediate_differential_in")
UNDEFINED = "undefined"


def numbers(text: str, unit: str = "") -> list[Decimal]:
    """The numbers that a reader reads, with all of their digits."""
    assert text.endswith(unit)
    assert "-" not in text
    words = text.removesuffix(unit).strip().split(", ")
    return [Decimal(word.replace("\N{MINUS SIGN}", "-")) for word in words]


def exact(value: float | list[float]) -> list[Decimal]:
    """A value of the JSON, with its digits there and no other."""
    return [Decimal(repr(one)) for one in (value if isinstance(value, list) else [value])]


def due(value: float | list[float] | None, text: str, unit: str) -> bool:
    if value is None:
        return text == UNDEFINED
    return text != UNDEFINED and numbers(text, unit) == exact(value)


@pytest.fixture(params=BALLS)
def told(request: pytest.FixtureRequest) -> Data:
    return data(request.param)


def test_rgs_and_differentials_stand_about_both_centres(told: Data) -> None:
    rows = cells(table_of(mass_section(told), "Radii of gyration"))
    own, centre = told["figures"], told["figures"]["about_ball_centre"]
    pairs = [(f"{n} RG", own["rg_in"][n], centre["rg_in"][n]) for n in NAMES]
    pairs += [(k.removesuffix("_in").replace("_", " "), own[k], centre[k]) for k in DIFFERENTIALS]
    assert list(rows) == [name for name, _, _ in pairs]
    for name, one, other in pairs:
        assert [numbers(text) for text in rows[name]] == [exact(one), exact(other)], name


def test_mass_centre_and_marks_are_those_of_the_json(told: Data) -> None:
    figures = told["figures"]
    rows = cells(table_of(mass_section(told), "Mass, centre of gravity"))
    for start, key, unit in (
        ("mass", "mass_lb", "lb"),
        ("centre of gravity", "centre_of_gravity_in", "in"),
        ("pin:", "pin_in", "in"),
        ("PSA", "psa_in", "in"),
        ("CG mark", "cg_mark_in", "in"),
        ("pin to CG", "pin_to_cg_in", "in"),
        ("static imbalance", "top_weight_oz", "oz"),
    ):
        (text,) = next(row for name, row in rows.items() if name.startswith(start))
        assert due(figures[key], text, unit), f"{key}: {text}"
    assert rows["symmetry"] == [figures["symmetry"]]


def test_both_tensors_are_those_of_the_json(told: Data) -> None:
    section = mass_section(told)
    for caption, rows in (
        ("Inertia tensor about the centre of gravity", told["figures"]["inertia_lb_in2"]),
        ("Inertia tensor about the ball's centre", told["about_ball_centre_lb_in2"]),
    ):
        table = table_of(section, caption)
        assert [column.name for column in table.columns] == ["", "x", "y", "z"]
        found = {name: [numbers(text) for text in row] for name, row in cells(table).items()}
        assert found == {
            axis: [exact(one) for one in row] for axis, row in zip("xyz", rows, strict=True)
        }


def test_the_bounds_are_told_first(told: Data) -> None:
    sure = told["figures"]["error_bound"]
    text = said(mass_section(told)).replace("\N{MINUS SIGN}", "-")
    bounds = [float(word) for word in text.split() if word[:1].isdigit() and "e-" in word]
    shown = [sure[key] for key in ("mass_lb", "rg_in") if sure[key] < 1e-4]
    assert bounds[: len(shown)] == shown


def test_a_drilled_balls_figures_are_said_to_be_after_drilling() -> None:
    sentence = "These are the figures of the ball as drilled"
    found = {name: sentence in said(mass_section(data(name))) for name in ("gripped", "leaning")}
    assert found == {"gripped": True, "leaning": False}


def test_small_figures_are_written_without_a_power_of_ten() -> None:
    told = data("leaning")
    told["figures"]["intermediate_differential_in"] = 2.5e-06
    row = cells(table_of(mass_section(told), "Radii"))["intermediate differential"]
    assert row[0] == "0.0000025"
