"""The searching commands as a stranger runs them, from the pages of the documentation."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from tests.pipeline.test_cli import ROOT, corewright

DOCS = (ROOT / "docs" / "searching.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def plover(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The starter with all that the page says to add."""
    folder = tmp_path_factory.mktemp("plover")
    assert corewright("new", "Plover", cwd=folder).returncode == 0
    added = re.findall(r"```yaml\n(.*?)```", DOCS, re.DOTALL)
    assert len(added) == 2
    file = folder / "plover.yaml"
    file.write_text(file.read_text(encoding="utf-8") + "\n" + "".join(added), encoding="utf-8")
    return file


def test_fit_meets_the_aims_of_the_page_and_weigh_agrees(plover: Path) -> None:
    done = corewright("fit", "plover.yaml", "--out", "found.yaml", "--json", cwd=plover.parent)
    assert (done.returncode, done.stderr) == (0, "")
    found = json.loads(done.stdout)
    assert found["met"] is True
    weighed = json.loads(corewright("weigh", "found.yaml", "--json", cwd=plover.parent).stdout)
    assert weighed["rg_in"]["low"] == pytest.approx(2.54, abs=5e-4)
    assert weighed["total_differential_in"] == pytest.approx(0.038, abs=5e-4)
    assert found["figures"]["low_rg_in"] == pytest.approx(weighed["rg_in"]["low"], abs=1e-7)


def test_fit_writes_its_report_with_pictures(plover: Path) -> None:
    words = ["fit", "plover.yaml", "--out", "again.yaml", "--report", "report", "--starts", "1"]
    done = corewright(*words, cwd=plover.parent)
    assert done.returncode == 0
    assert "all aims are met" in done.stdout
    folder = plover.parent / "report"
    names = {path.name for path in folder.iterdir()}
    assert {"README.md", "map.png", "solution-1.yaml", "solution-1.png", "design.yaml"} <= names
    assert (folder / "solution-1.yaml").read_bytes() == (plover.parent / "again.yaml").read_bytes()


def test_lineup_does_as_the_page_says(plover: Path) -> None:
    done = corewright("lineup", "plover.yaml", "--out", "line", "--json", cwd=plover.parent)
    line = json.loads(done.stdout)["weights"]
    assert [one["weight_lb"] for one in line] == [16, 15, 14, 13]
    assert done.returncode == (0 if all(one["met"] for one in line) else 1)
    light = {one["weight_lb"]: one["densities"]["light"] for one in line}
    assert light[14] == pytest.approx(light[13], abs=2e-5)
    assert (plover.parent / "line" / "plover-16-lb.yaml").is_file()


def test_sweep_pick_and_compare_go_together(plover: Path) -> None:
    done = corewright("sweep", "plover.yaml", "--samples", "500", "--out", "map", cwd=plover.parent)
    assert (done.returncode, done.stderr) == (0, "")
    assert "weighed 500 balls" in done.stdout
    rows = (plover.parent / "map" / "sweep.csv").read_text().splitlines()
    row = next(line.split(",")[0] for line in rows[1:] if line.endswith('""'))
    done = corewright("pick", "map", "--row", row, "--out", "picked.yaml", cwd=plover.parent)
    assert done.returncode == 0
    done = corewright("compare", "plover.yaml", "picked.yaml", cwd=plover.parent)
    assert done.returncode == 0
    assert "another core than in Plover A (plover)" in done.stdout


def test_aims_that_cannot_be_met_exit_1_and_leave_the_nearest(plover: Path) -> None:
    file = plover.parent / "far.yaml"
    file.write_text(plover.read_text(encoding="utf-8").replace("value: 2.54", "value: 2.30"))
    done = corewright("fit", "far.yaml", "--out", "near.yaml", "--starts", "2", cwd=plover.parent)
    assert done.returncode == 1
    assert "the aims cannot all be met; this is the nearest" in done.stdout
    assert (plover.parent / "near.yaml").is_file()


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["fit", "dunlin.yaml", "--out", "x.yaml"], "write a vary section"),
        (["fit", "absent.yaml", "--out", "x.yaml"], "there is no such file"),
        (["fit", "plover.yaml", "--out", "no/x.yaml"], "there is no folder"),
        (["fit", "plover.yaml", "--out", "x.yaml", "--starts", "0"], "at least 1"),
        (["fit", "plover.yaml", "--out", "x.yaml", "--seed", "-1"], "at least 0"),
        (["fit", "plover.yaml", "--out", "plover.yaml"], "is the design itself"),
        (["fit", "plover.yaml", "--out", "dunlin.yaml"], "is no design of that ball"),
        (["fit", "plover.yaml", "--out", "x.yaml", "--workers", "-1"], "at least 1"),
        (["sweep", "plover.yaml", "--out", "x"], "say one of"),
        (["sweep", "plover.yaml", "--out", "x", "--steps", "9x9"], "where 3 numbers vary"),
        (["sweep", "plover.yaml", "--out", "no/x", "--samples", "5"], "there is no folder"),
        (["lineup", "plover.yaml", "--out", "x", "--weights", "heavy"], "no list of ball weights"),
        (["compare", "plover.yaml"], "at least two"),
        (["pick", ".", "--row", "1", "--out", "x.yaml"], "the folder of a sweep"),
    ],
)
def test_what_cannot_be_used_exits_2_with_a_sentence(
    plover: Path, words: list[str], says: str
) -> None:
    corewright("new", "dunlin", cwd=plover.parent)
    done = corewright(*words, cwd=plover.parent)
    assert done.returncode == 2, done.stderr
    assert says in done.stderr
    assert not (plover.parent / "x.yaml").exists()
    assert not (plover.parent / "x").exists()


def test_help_answers_without_numpy() -> None:
    done = corewright("--help", env={"PYTHONPROFILEIMPORTTIME": "1"})
    assert done.returncode == 0
    assert "numpy" not in done.stderr
