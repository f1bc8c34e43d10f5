"""Every figure of the tables of mass properties is that of `weigh --json`, digit for digit.

Two ways to one design: the page as a browser shows it, and the command line in another process.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tests.browser.conftest import Opener
from tests.browser.dossiers import WEIGHED
from tests.browser.shown import Shown

_MINUS = "\u2212"
_TABLE = """(caption) => {
  const found = [...document.querySelectorAll('main table')]
    .filter((one) => one.caption.textContent === caption);
  if (found.length !== 1) return found.length;
  return [...found[0].rows].map((row) => [...row.cells].map((cell) => cell.textContent));
}"""
AXES = ("low", "intermediate", "high")


def written(value: Decimal | None) -> str:
    """A number of the command without a power of ten."""
    return "undefined" if value is None else format(value, "f")


def table(shown: Shown, caption: str) -> dict[str, list[str]]:
    """Rows of the one table of that caption by their names, minus signs as typed."""
    rows = shown.page.evaluate(_TABLE, caption)
    assert isinstance(rows, list), f"{rows} tables: {caption}"
    return {
        first: [cell.replace(_MINUS, "-").removesuffix(" in") for cell in others]
        for first, *others in rows[1:]
    }


@pytest.fixture(params=WEIGHED)
def both(
    request: pytest.FixtureRequest, opened: Opener, pages: Mapping[str, Path]
) -> tuple[Shown, dict[str, Any]]:
    """A page, and what the command printed, every number as it is written there."""
    text = pages[request.param].with_suffix(".json").read_text(encoding="utf-8")
    return opened(request.param), json.loads(text, parse_float=Decimal, parse_int=Decimal)


def test_radii_and_differentials_are_those_of_the_command(
    both: tuple[Shown, dict[str, Any]],
) -> None:
    shown, due = both
    rows = table(shown, "Radii of gyration and differentials, in")
    centre = due["about_ball_centre"]
    assert rows == {
        **{f"{k} RG": [written(one["rg_in"][k]) for one in (due, centre)] for k in AXES},
        **{
            f"{k} differential": [written(one[f"{k}_differential_in"]) for one in (due, centre)]
            for k in ("total", "intermediate")
        },
    }


def test_mass_centre_and_marks_are_those_of_the_command(
    both: tuple[Shown, dict[str, Any]],
) -> None:
    shown, due = both
    rows = table(shown, "Mass, centre of gravity and marks")

    def vector(key: str) -> str:
        return "undefined" if due[key] is None else ", ".join(map(written, due[key]))

    assert rows["mass"] == [f"{written(due['mass_lb'])} lb"]
    assert rows["centre of gravity, x, y, z"] == [vector("centre_of_gravity_in")]
    assert rows["pin: low-RG axis on the surface"] == [vector("pin_in")]
    assert rows["PSA: high-RG axis on the surface"] == [vector("psa_in")]
    assert rows["CG mark"] == [vector("cg_mark_in")]
    assert rows["pin to CG, along the surface"] == [written(due["pin_to_cg_in"])]
    assert rows["static imbalance"] == [f"{written(due['top_weight_oz'])} oz"]
    assert rows["symmetry"] == [due["symmetry"]]
    assert len(rows) == 8


def test_the_tensor_is_that_of_the_command(both: tuple[Shown, dict[str, Any]]) -> None:
    shown, due = both
    rows = table(shown, "Inertia tensor about the centre of gravity, lb in\u00b2")
    tensor = [list(map(written, row)) for row in due["inertia_lb_in2"]]
    assert rows == dict(zip("xyz", tensor, strict=True))


def test_axes_are_those_of_the_command(both: tuple[Shown, dict[str, Any]]) -> None:
    shown, due = both
    rows = table(shown, "Unit vectors in the ball frame, x, y, z")
    for name in AXES:
        way = due["axes"][name]
        direction = "undefined" if way is None else ", ".join(map(written, way))
        assert rows[f"{name}-RG axis"] == [written(due["rg_in"][name]), direction]


def test_numbers_on_the_page_have_true_minus_signs(both: tuple[Shown, dict[str, Any]]) -> None:
    shown, _ = both
    cells = shown.page.locator("main td.number").all_text_contents()
    assert len(cells) > 50
    assert [one for one in cells if "-" in one] == []
    assert any(_MINUS in one for one in cells)
