"""The summary: counts and names by hand-edited verdicts, and the figures in brief."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.dossier.document import Table, Words
from pipeline.dossier.verdict_section import verdict_section
from tests.pipeline.dossier.block_texts import cells, said, table_of
from tests.pipeline.dossier.told_balls import Data, data, found

VERDICTS = ("pass", "fail", "not determined")


@pytest.fixture(scope="module", autouse=True)
def _worked_out() -> None:
    """The first example of a test is not to wait for it."""
    found("spheres")


def with_verdicts(told: Data, verdicts: list[str]) -> Data:
    """As many limits as there are verdicts, each with its own."""
    rows = [dict(told["findings"][k % len(told["findings"])]) for k in range(len(verdicts))]
    for k, (row, verdict) in enumerate(zip(rows, verdicts, strict=True)):
        row["rule"], row["verdict"] = f"rule {k}", verdict
    told["findings"] = rows
    return told


def counted(told: Data) -> dict[str, list[str]]:
    """Worst verdict and how many there are of each, by what was held."""
    return cells(table_of(verdict_section(told), "Rules and checks"))


def failures(told: Data) -> list[str]:
    """The sentences that tell of a failure."""
    blocks = verdict_section(told).blocks
    return [b.text for b in blocks if isinstance(b, Words) and b.manner == "fail"]


@given(st.lists(st.sampled_from(VERDICTS), min_size=1, max_size=12))
def test_the_summary_counts_every_verdict(verdicts: list[str]) -> None:
    rows = counted(with_verdicts(data("spheres"), verdicts))
    assert list(rows) == ["limits"]
    assert rows["limits"][1:] == [str(verdicts.count(verdict)) for verdict in VERDICTS]


@given(st.lists(st.sampled_from(VERDICTS), min_size=1, max_size=12))
def test_the_worst_verdict_is_that_of_all_together(verdicts: list[str]) -> None:
    order = ("fail", "not determined", "pass")
    due = next(verdict for verdict in order if verdict in verdicts)
    table = table_of(verdict_section(with_verdicts(data("spheres"), verdicts)), "Rules and checks")
    assert (table.rows[0][1].text, table.rows[0][1].verdict) == (due, due)


@given(st.lists(st.sampled_from(VERDICTS), min_size=1, max_size=12))
def test_what_does_not_pass_is_listed_fails_first_and_nothing_else(verdicts: list[str]) -> None:
    section = verdict_section(with_verdicts(data("spheres"), verdicts))
    tables = [
        b for b in section.blocks if isinstance(b, Table) and b.caption == "What does not pass"
    ]
    listed = [[row[0].text, row[4].verdict] for table in tables for row in table.rows]
    assert listed == [
        [f"rule {k}", verdict]
        for wanted in ("fail", "not determined")
        for k, verdict in enumerate(verdicts)
        if verdict == wanted
    ]
    assert len(tables) == (1 if listed else 0)


@pytest.mark.parametrize("verdict", VERDICTS)
def test_only_a_failure_is_told_of_as_one(verdict: str) -> None:
    found = failures(with_verdicts(data("spheres"), ["pass", verdict]))
    assert bool(found) == (verdict == "fail")


def test_every_failure_is_named_first_of_all() -> None:
    told = with_verdicts(data("spheres"), ["fail", "pass", "fail"])
    first = verdict_section(told).blocks[0]
    assert isinstance(first, Words)
    assert first.text == "Limits: rule 0, rule 2."


def test_tooling_is_counted_apart_and_its_failures_name_their_casting() -> None:
    told = data("cast")
    rows = told["tooling"]["findings"]
    for row in rows:
        row["verdict"] = "pass"
    rows[0]["verdict"] = "fail"
    name = f"{rows[0]['casting']}: {rows[0]['rule']}"
    found = counted(told)
    assert found["castings and moulds"] == ["fail", str(len(rows) - 1), "1", "0"]
    assert sum(int(n) for n in found["limits"][1:]) == len(told["findings"])
    assert failures(told) == [f"Castings and moulds: {name}."]
    assert name in cells(table_of(verdict_section(told), "What does not pass"))


def test_without_castings_nothing_is_said_of_them() -> None:
    assert list(counted(data("spheres"))) == ["limits"]


def test_routes_that_disagree_are_told_of_as_a_failure() -> None:
    told = data("spheres")
    told["routes_disagree"] = ["moments and mesh differ by 1 in of RG"]
    found = [
        b for b in verdict_section(told).blocks if isinstance(b, Words) and "disagree" in b.text
    ]
    assert [(b.manner, "moments and mesh differ by 1 in of RG" in b.text) for b in found] == [
        ("fail", True)
    ]


@pytest.mark.parametrize("name", ["spheres", "leaning", "gripped"])
def test_the_figures_in_brief_are_those_of_the_ball_that_is_told_of(name: str) -> None:
    told = data(name)
    figures = told["figures"]
    section = verdict_section(told)
    brief = next(
        b for b in section.blocks if isinstance(b, Table) and b.caption.endswith("in brief")
    )
    assert brief.caption.startswith("The ball as drilled") == ("drilling" in figures)
    rows = cells(brief)
    assert float(rows["mass"][0].removesuffix(" lb")) == figures["mass_lb"]
    assert float(rows["low RG"][0].removesuffix(" in")) == figures["rg_in"]["low"]
    for key in ("total_differential_in", "intermediate_differential_in"):
        word = key.removesuffix("_in").replace("_", " ")
        assert float(rows[word][0].removesuffix(" in")) == figures[key]
    assert rows["symmetry"][0] == figures["symmetry"]


def test_every_verdict_is_said_to_be_an_estimate() -> None:
    text = said(verdict_section(data("spheres")))
    assert "design estimate; only the governing body certifies a ball" in text
