"""The handover command: its words, its exit status."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from pipeline.errors import OutputError
from pipeline.handed_report import form_of
from pipeline.tool_sheets import Form
from tests.pipeline.cast_text import HEAD
from tests.pipeline.test_cli import corewright

CAST = HEAD + (
    "  - {name: core, material: clay, shape: sphere, diameter: 100}\n"
    "  - {name: cover, material: foam, shape: sphere, diameter: 217}\n"
    "process:\n  castings:\n    cover: {mould: none}\n    core: "
)


def test_papers_and_projections_by_name() -> None:
    assert form_of("A2", "third") == Form("A2", "third")
    assert form_of("ansi-b", "First") == Form("ANSI B", "first")


@pytest.mark.parametrize(
    ("paper", "projection", "words"),
    [("a4", "first", "allowed: a3, a2, ansi-b, ansi-c"), ("a3", "thrid", "did you mean 'third'?")],
)
def test_others_are_refused_with_those_there_are(paper: str, projection: str, words: str) -> None:
    with pytest.raises(OutputError) as error:
        form_of(paper, projection)
    assert words in str(error.value)


def test_a_failing_check_is_told_and_ends_with_one(tmp_path: Path) -> None:
    (tmp_path / "d.yaml").write_text(CAST + "{thickest: 90}\n")
    done = corewright("handover", tmp_path / "d.yaml", "--out", tmp_path / "out")
    assert done.returncode == 1
    assert "\u2717 core: largest ball inside: 100 mm (at most 90 mm), fail" in done.stdout
    assert (tmp_path / "out/manifest.json").is_file()


def test_what_was_handed_over_for_scripts(tmp_path: Path) -> None:
    (tmp_path / "d.yaml").write_text(CAST + "{thickest: 110}\n")
    done = corewright("handover", tmp_path / "d.yaml", "--out", tmp_path / "out", "--json")
    told = json.loads(done.stdout)
    assert done.returncode == 0
    assert {row["verdict"] for row in told["findings"]} == {"pass", "not determined"}
    assert "only the governing body certifies" in told["status"]


@pytest.mark.parametrize(
    ("casting", "words"),
    [
        ("{shrinkage: {linear: 0.5}}", "write '0.5 %'"),
        ("{block: [90, 90, 90]}", "needs 110 x 110 x 110 mm or more"),
        ("{rod: {diameter: 8, depth: 9, at: [70, 0]}}", "misses the part"),
        ("{parting: [{pull: [0, 0, 1], at: 20}]}", "undercut"),
    ],
)
def test_what_cannot_be_cast_ends_with_two_and_writes_nothing(
    tmp_path: Path, casting: str, words: str
) -> None:
    (tmp_path / "d.yaml").write_text(CAST + casting + "\n")
    done = corewright("handover", tmp_path / "d.yaml", "--out", tmp_path / "out")
    assert done.returncode == 2
    assert words in done.stderr
    assert "d.yaml:" in done.stderr
    assert not (tmp_path / "out").exists()
