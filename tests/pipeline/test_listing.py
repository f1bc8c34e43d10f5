"""The list of a folder's files, and that a folder is known by it."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

import pytest

from pipeline.errors import OutputError
from pipeline.folder import FORMAT, MANIFEST, check_target
from pipeline.listing import list_files


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    place = tmp_path / "film"
    (place / "clip").mkdir(parents=True)
    (place / "b.png").write_bytes(b"b")
    (place / "a.txt").write_bytes(b"alpha")
    (place / "clip" / "frame-0001.png").write_bytes(b"frame")
    return place


def listed(folder: Path) -> dict[str, object]:
    found: dict[str, object] = json.loads((folder / MANIFEST).read_text(encoding="utf-8"))
    return found


def test_every_file_is_listed_with_size_and_hash(folder: Path) -> None:
    list_files(folder, "storyboard", {})
    assert listed(folder)["files"] == [
        {"name": name, "size_bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()}
        for name, data in (("a.txt", b"alpha"), ("b.png", b"b"), ("clip/frame-0001.png", b"frame"))
    ]


def test_it_says_who_made_the_folder_and_what_else_is_known(folder: Path) -> None:
    list_files(folder, "storyboard", {"view": "core"})
    found = listed(folder)
    assert (found["format"], found["made_by"], found["view"]) == (FORMAT, "storyboard", "core")


def test_nobody_is_not_named(folder: Path) -> None:
    list_files(folder, "", {})
    assert "made_by" not in listed(folder)


def test_the_folder_is_known_as_ours_and_may_be_replaced(folder: Path) -> None:
    with pytest.raises(OutputError, match="not ours"):
        check_target(folder, "storyboard")
    list_files(folder, "storyboard", {})
    assert check_target(folder, "storyboard") is None


def test_a_folder_that_another_command_made_is_not_replaced(folder: Path) -> None:
    list_files(folder, "film", {})
    with pytest.raises(OutputError, match="made by `corewright film`"):
        check_target(folder, "storyboard")


def test_it_has_the_same_bytes_each_time(folder: Path) -> None:
    list_files(folder, "film", {"n": 1})
    first = (folder / MANIFEST).read_bytes()
    (folder / MANIFEST).unlink()
    list_files(folder, "film", {"n": 1})
    assert (folder / MANIFEST).read_bytes() == first
