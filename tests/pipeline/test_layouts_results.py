"""What a map of layouts is handed over as: the table, the charts, the letter, plain values."""

from __future__ import annotations

import csv
import io
import json
from itertools import combinations
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from pipeline.crew import Crew
from pipeline.layouts import FIGURES, OPEN, Field, Mapped, field_of, mapped, within_in
from pipeline.layouts_results import as_figures, write_layouts
from tests.pipeline.drilled_text import BARE, ball

STEPS = (4, 5)
CHARTS = ["differentials.png", "static-weights.png", "flare-index.png"]


@pytest.fixture(scope="module")
def grid() -> tuple[Field, Mapped, float]:
    field = field_of(ball(BARE), (1.0, 5.5), (0.0, 4.0), STEPS)
    found = mapped(field, Crew())
    return field, found, within_in(field, found)


@pytest.fixture(scope="module")
def folder(
    grid: tuple[Field, Mapped, float], tmp_path_factory: pytest.TempPathFactory
) -> dict[str, bytes]:
    target = tmp_path_factory.mktemp("layouts") / "map"
    write_layouts(*grid, target)
    return contents(target)


@pytest.fixture(scope="module")
def rows(folder: dict[str, bytes]) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(folder["layouts.csv"].decode())))


@pytest.fixture(scope="module")
def values(grid: tuple[Field, Mapped, float]) -> dict[str, Any]:
    return as_figures(*grid)


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


def test_every_file_is_there(folder: dict[str, bytes]) -> None:
    assert set(folder) == {"README.md", "design.yaml", "layouts.csv", "manifest.json", *CHARTS}


def test_the_table_says_what_its_columns_are(folder: dict[str, bytes]) -> None:
    head = next(csv.reader(io.StringIO(folder["layouts.csv"].decode())))
    assert head == [
        "pin to axis point [in]", "pin to vertical axis line [in]", "mass [lb]", "low RG [in]",
        "intermediate RG [in]", "high RG [in]", "total differential [in]",
        "intermediate differential [in]", "top weight [oz]", "side weight [oz]",
        "finger weight [oz]", "flare index [in]", "why",
    ]  # fmt: skip


def test_every_layout_is_a_row(rows: list[dict[str, str]]) -> None:
    found = [(float(r[pin]), float(r[val])) for r in rows for pin, val in [list(r)[:2]]]
    due = [(p, v) for p in np.linspace(1.0, 5.5, 4) for v in np.linspace(0.0, 4.0, 5)]
    assert np.array(found) == pytest.approx(np.array(due), abs=5e-6)


def test_the_table_says_why_there_is_no_layout(
    rows: list[dict[str, str]], grid: tuple[Field, Mapped, float]
) -> None:
    assert [r["why"] for r in rows] == ["" if c else OPEN for c in grid[1].closes]


@pytest.mark.parametrize("name", FIGURES)
def test_the_table_holds_the_figures_and_leaves_out_what_there_is_not(
    rows: list[dict[str, str]], grid: tuple[Field, Mapped, float], name: str
) -> None:
    found = [float(r[name]) if r[name] else np.nan for r in rows]
    assert found == pytest.approx(list(grid[1].figures[name]), abs=5e-4, nan_ok=True)


@pytest.mark.parametrize("name", FIGURES)
def test_plain_values_are_null_exactly_where_there_is_no_layout(
    values: dict[str, Any], grid: tuple[Field, Mapped, float], name: str
) -> None:
    found = [[v is not None for v in row] for row in values["figures"][name]]
    assert found == grid[1].closes.reshape(STEPS).tolist()


def test_plain_values_stand_in_rows_of_one_pin_to_axis_point(
    values: dict[str, Any], grid: tuple[Field, Mapped, float]
) -> None:
    due = grid[1].figures["low RG [in]"][3 * 5 + 2]
    assert values["figures"]["low RG [in]"][3][2] == pytest.approx(due, abs=5e-6)


def test_plain_values_name_both_distances(values: dict[str, Any]) -> None:
    assert values["pin_to_axis_point_in"] == [1.0, 2.5, 4.0, 5.5]
    assert values["pin_to_val_in"] == [0.0, 1.0, 2.0, 3.0, 4.0]


def test_plain_values_are_json(values: dict[str, Any]) -> None:
    assert json.loads(json.dumps(values, allow_nan=False)) == values


def test_plain_values_name_the_design(
    values: dict[str, Any], grid: tuple[Field, Mapped, float]
) -> None:
    due = grid[0].ball.design
    assert values["design"] == {"name": "Dunlin", "revision": "A", "sha256": due.sha256}


@pytest.mark.parametrize("name", CHARTS)
def test_a_chart_is_no_blank_picture(folder: dict[str, bytes], name: str) -> None:
    image = Image.open(io.BytesIO(folder[name]))
    assert image.format == "PNG"
    assert np.asarray(image.convert("L")).std() > 4.0


@pytest.mark.parametrize(("one", "other"), list(combinations(CHARTS, 2)))
def test_charts_differ(folder: dict[str, bytes], one: str, other: str) -> None:
    assert folder[one] != folder[other]


def test_the_letter_counts_layouts(
    folder: dict[str, bytes], grid: tuple[Field, Mapped, float]
) -> None:
    letter = folder["README.md"].decode()
    assert "a map of 20 layouts" in letter
    assert f"\n{int(grid[1].closes.sum())} of them are layouts" in letter


@pytest.mark.parametrize("name", ["layouts.csv", "design.yaml", *CHARTS])
def test_the_letter_names_every_file(folder: dict[str, bytes], name: str) -> None:
    assert f"| {name} |" in folder["README.md"].decode()


def test_the_manifest_lists_every_other_file(folder: dict[str, bytes]) -> None:
    manifest = json.loads(folder["manifest.json"])
    assert {row["name"] for row in manifest["files"]} == set(folder) - {"manifest.json"}


def test_the_same_map_gives_the_same_bytes(
    grid: tuple[Field, Mapped, float], folder: dict[str, bytes], tmp_path: Path
) -> None:
    write_layouts(*grid, tmp_path / "again")
    assert contents(tmp_path / "again") == folder


@pytest.mark.parametrize("steps", [(2, 2), (2, 3), (3, 2)])
def test_a_coarse_map_has_its_charts(steps: tuple[int, int], tmp_path: Path) -> None:
    """Of two pins the first has one layout, or two: lines of equal value may not be there."""
    field = field_of(ball(BARE), (1.0, 6.5), (0.0, 4.0), steps)
    write_layouts(field, mapped(field, Crew()), 0.0, tmp_path / "coarse")
    assert set(CHARTS) <= set(contents(tmp_path / "coarse"))


def test_a_map_without_a_layout_has_its_charts(tmp_path: Path) -> None:
    field = field_of(ball(BARE), (0.5, 1.0), (3.0, 4.0), (3, 3))
    write_layouts(field, mapped(field, Crew()), 0.0, tmp_path / "none")
    assert set(CHARTS) <= set(contents(tmp_path / "none"))
