"""First of all: what passes, what fails, what is not determined, and the figures in brief."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from pipeline.dossier.document import Block, Cell, Section, Verdict, Words, table
from pipeline.dossier.findings_told import limit_cells
from pipeline.dossier.plain import bound, number

Data = Mapping[str, Any]
Row = Mapping[str, Any]
_VERDICTS: tuple[Verdict, ...] = ("pass", "fail", "not determined")


def verdict_section(data: Data) -> Section:
    """The summary."""
    return Section("verdict", "Verdict", tuple(_blocks(data)))


def _blocks(data: Data) -> Iterator[Block]:
    limits = data["findings"]
    tooling = data.get("tooling", {}).get("findings", [])
    groups = [("limits", limits), *([("castings and moulds", tooling)] if tooling else [])]
    for what, rows in groups:
        if _of(rows, "fail"):
            yield Words(f"{what.capitalize()}: {_names(_of(rows, 'fail'))}.", "fail")
    yield table(
        "Rules and checks",
        ("held against", "verdict", "pass", "fail", "not determined"),
        [_counts(what, rows) for what, rows in groups],
        words=2,
    )
    for sentence in data["routes_disagree"]:
        yield Words(f"The routes to the figures disagree: {sentence}.", "fail")
    open_ = [
        (row, row.get("casting", ""))
        for verdict in ("fail", "not determined")
        for row in _of([*limits, *tooling], verdict)
    ]
    if open_:
        yield table(
            "What does not pass",
            ("rule", "value", "allowed", "margin", "verdict", "why"),
            [_open_row(row, casting) for row, casting in open_],
            words=6,
        )
    yield _brief(data)
    yield Words(
        f"Every verdict here is a {data['note']}. Limits as of {data['limits_as_of']}.", "note"
    )


def _of(rows: Sequence[Row], verdict: str) -> list[Row]:
    return [row for row in rows if row["verdict"] == verdict]


def _counts(what: str, rows: Sequence[Row]) -> list[str | Cell]:
    """How many there are of each verdict; the worst of them is that of all together."""
    counts = [len(_of(rows, verdict)) for verdict in _VERDICTS]
    worst: Verdict = "fail" if counts[1] else "not determined" if counts[2] else "pass"
    return [what, Cell(worst, worst), *(str(count) for count in counts)]


def _names(rows: Sequence[Row]) -> str:
    return ", ".join(
        f"{row['casting']}: {row['rule']}" if "casting" in row else str(row["rule"]) for row in rows
    )


def _open_row(row: Row, casting: str) -> list[str | Cell]:
    cells = limit_cells(row)
    return [f"{casting}: {row['rule']}" if casting else str(row["rule"]), *cells, str(row["note"])]


def _brief(data: Data) -> Block:
    """The figures that a ball is known by."""
    figures = data["figures"]
    rg, sure = figures["rg_in"], figures["error_bound"]
    within = bound(sure["rg_in"], "in")
    rows = [
        ("mass", number(figures["mass_lb"], "lb"), bound(sure["mass_lb"], "lb")),
        ("low RG", number(rg["low"], "in"), within),
        ("total differential", number(figures["total_differential_in"], "in"), within),
        (
            "intermediate differential",
            number(figures["intermediate_differential_in"], "in"),
            within,
        ),
        ("symmetry", figures["symmetry"], ""),
    ]
    which = "The ball as drilled" if "drilling" in figures else "The ball"
    return table(f"{which}, in brief", ("figure", "value", "within"), rows)
