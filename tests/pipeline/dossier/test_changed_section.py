"""Changes since an earlier dossier as a page tells them."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from pipeline.dossier.changed import changed, earlier_of
from pipeline.dossier.changed_section import changed_section
from tests.pipeline.dossier.block_texts import cells, said, table_of
from tests.pipeline.dossier.told_balls import Data, data

MINUS = "\N{MINUS SIGN}"
BEFORE = {"name": "Dunlin", "revision": "A", "date": "2026-11-25", "sha256": "ab" * 32}


def told_of(*rows: dict[str, Any]) -> Data:
    return {"changed": {"design": BEFORE, "told": {}, "rows": list(rows)}}


def row(before: object, after: object, state: str = "changed") -> dict[str, Any]:
    return {"kind": "figure", "what": "low RG, in", "state": state, "before": before,
            "after": after}  # fmt: skip


def shown(before: object, after: object, state: str = "changed") -> list[str]:
    """Before, now and change, as the table has them."""
    section = changed_section(told_of(row(before, after, state)))
    assert section is not None
    return cells(table_of(section, "Changes"))["low RG, in"]


def read(text: str) -> Decimal:
    assert "-" not in text
    return Decimal(text.replace(MINUS, "-"))


def test_without_an_earlier_dossier_there_is_no_such_section() -> None:
    assert changed_section(data("spheres")) is None


def test_where_nothing_changed_the_page_says_so() -> None:
    told = data("bored")
    told["changed"] = changed(earlier_of(told), told)
    section = changed_section(told)
    assert section is not None
    assert "Nothing changed" in said(section)


def test_the_earlier_design_is_named_down_to_its_hash() -> None:
    section = changed_section(told_of())
    assert section is not None
    text = said(section)
    assert all(word in text for word in BEFORE.values())


def test_a_number_is_told_before_and_after_with_its_change() -> None:
    assert shown(2.5449, 2.5411) == ["2.5449", "2.5411", f"{MINUS}0.0038"]


def test_a_number_that_grew_has_a_plus() -> None:
    assert shown(2.5411, 2.5449)[2] == "+0.0038"


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (0.0, 0.0216677),  # symmetrical before
        (15.0, 14.8162868),
        (2.5, 2.54499381),
        (1e-05, 0.0216677),
        (0.0216677, 2.5e-06),
        (1.0, 2.0),
    ],
)
def test_a_change_is_that_of_the_figures_beside_it(before: float, after: float) -> None:
    """A nought at the end that JSON leaves out is a digit all the same."""
    change = shown(before, after)[2]
    assert change[0] in f"+{MINUS}"
    assert float(read(change)) == pytest.approx(after - before, rel=0.02)


@pytest.mark.parametrize(
    ("before", "after", "due"),
    [
        (None, 1.5, ["undefined", "1.5", "changed"]),
        (1.5, None, ["1.5", "undefined", "changed"]),
        ("pass", "fail", ["pass", "fail", "changed"]),
        ("symmetrical", "asymmetrical", ["symmetrical", "asymmetrical", "changed"]),
    ],
)
def test_what_is_no_number_both_times_is_told_in_words(
    before: object, after: object, due: list[str]
) -> None:
    assert shown(before, after) == due


def test_what_is_new_has_nothing_before_and_what_is_gone_nothing_now() -> None:
    assert shown(None, 1.5, "new") == ["", "1.5", "new"]
    assert shown(1.5, None, "gone") == ["1.5", "", "gone"]


@pytest.mark.parametrize("count", [1, 2])
def test_changes_are_counted(count: int) -> None:
    rows = [row(1.0, 1.5) | {"what": f"figure {k}"} for k in range(count)]
    section = changed_section(told_of(*rows))
    assert section is not None
    assert said(section).split("\n")[1].startswith(f"{count} figure{'s' if count > 1 else ''} ")
    assert len(table_of(section, "Changes").rows) == count
