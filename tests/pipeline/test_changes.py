"""What changed between two packages: figures, faces, files."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from pipeline.changes import Change, changes, earlier, told
from pipeline.errors import OutputError
from pipeline.folder import FORMAT

FACE = {"kind": "plane", "area_mm2": 100.0, "centre_mm": [0.0, 0.0, 1.0]}


def manifest(**more: Any) -> dict[str, Any]:
    return {
        "design": {"name": "Dunlin", "revision": "A", "date": None, "sha256": "ab" * 32},
        "castings": [{"name": "core", "facts": {"shrinkage": "1 %"}}],
        "findings": [
            {"casting": "core", "rule": "least wall", "value": 4.0, "unit": "mm",
             "verdict": "pass", "limit": "at least 3 mm"},
        ],
        "faces": {"core": [FACE]},
        "files": [{"name": "a.step", "sha256": "1"}, {"name": "README.md", "sha256": "2"}],
        **more,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("after", "change"),
    [
        (
            {"castings": [{"name": "core", "facts": {"shrinkage": "2 %"}}]},
            Change("casting", "core: shrinkage", "1 % -> 2 %"),
        ),
        ({"castings": []}, Change("casting", "core: shrinkage", "1 % -> gone")),
        ({"files": [{"name": "a.step", "sha256": "3"}]}, Change("file", "a.step", "other bytes")),
        ({"files": []}, Change("file", "a.step", "gone")),
        (
            {"faces": {"core": []}},
            Change("face", "core: plane of 100 mm2 about [0, 0, 1] mm", "gone"),
        ),
    ],
    ids=["fact", "casting", "bytes", "file", "face"],
)
def test_each_change_is_told_by_its_kind(after: dict[str, Any], change: Change) -> None:
    assert changes(manifest(), manifest(**after)) == (change,)


def test_a_face_that_moved_is_gone_and_new() -> None:
    moved = {**FACE, "centre_mm": [0.0, 0.0, 1.1]}
    found = changes(manifest(), manifest(faces={"core": [moved]}))
    assert [one.how for one in found] == ["gone", "new"]


def test_a_face_within_rounding_is_the_same() -> None:
    near = {**FACE, "area_mm2": 100.001}
    assert changes(manifest(), manifest(faces={"core": [near]})) == ()


def test_two_equal_faces_of_which_one_goes() -> None:
    found = changes(manifest(faces={"core": [FACE, FACE]}), manifest())
    assert [one.how for one in found] == ["gone"]


def test_a_page_of_many_changes_is_cut_and_says_so() -> None:
    many = [Change("file", f"{k}.step", "new") for k in range(300)]
    text = told(many, "old")
    assert "## file: 300" in text
    assert "and 100 more" in text


@pytest.mark.parametrize(
    "lacking",
    [
        {"files": None}, {"design": None}, {"castings": [{"name": "core"}]},
        {"faces": {"core": [{"kind": "plane"}]}}, {"findings": [{"casting": "core"}]},
    ],
    ids=["files", "design", "facts", "centre", "value"],
)  # fmt: skip
def test_an_earlier_manifest_that_tells_too_little_is_refused(
    tmp_path: Path, lacking: dict[str, Any]
) -> None:
    data = {"format": FORMAT, **manifest(**lacking)}
    (tmp_path / "manifest.json").write_text(json.dumps(data))
    with pytest.raises(OutputError, match="--since"):
        earlier(tmp_path)
