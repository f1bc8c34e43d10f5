"""The main job: one whole folder, the same bytes again, or nothing changed."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

import pytest

from pipeline.errors import CorewrightError, DesignError, RoutesDisagree
from pipeline.make import Made, make
from pipeline.shipped import shipped


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Made, Path]:
    target = tmp_path_factory.mktemp("make") / "dunlin"
    return make(shipped("dunlin"), target), target


def hashes(folder: Path) -> dict[str, str]:
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_everything_is_there(made: tuple[Made, Path]) -> None:
    names = set(hashes(made[1]))
    assert {
        "README.md", "cutaway.png", "design.yaml", "figures.json", "findings.json", "manifest.json",
        "dunlin.step",
    } <= names  # fmt: skip
    assert sum(name.endswith("_mm.stl") for name in names) == 3


def test_the_manifest_names_every_other_file_with_its_hash(made: tuple[Made, Path]) -> None:
    folder = made[1]
    manifest = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
    listed = {row["name"]: row["sha256"] for row in manifest["files"]}
    found = hashes(folder)
    found.pop("manifest.json")
    assert listed == found
    assert manifest["design"]["sha256"] == found["design.yaml"]


def test_every_read_back_comparison_passed(made: tuple[Made, Path]) -> None:
    manifest = json.loads((made[1] / "manifest.json").read_text(encoding="utf-8"))
    assert len(manifest["comparisons"]) > 20
    assert all(row["passed"] for row in manifest["comparisons"])


def test_the_same_design_gives_the_same_bytes(made: tuple[Made, Path], tmp_path: Path) -> None:
    make(shipped("dunlin"), tmp_path / "again")
    assert hashes(tmp_path / "again") == hashes(made[1])


def test_a_bad_design_leaves_the_old_folder(tmp_path: Path) -> None:
    target = tmp_path / "out"
    target.mkdir()
    (target / "manifest.json").write_text("{}", encoding="utf-8")
    bad = tmp_path / "bad.yaml"
    bad.write_text("format: corewright 1", encoding="utf-8")
    with pytest.raises(DesignError):
        make(bad, target)
    assert [p.name for p in target.iterdir()] == ["manifest.json"]
    assert sorted(p.name for p in tmp_path.iterdir()) == ["bad.yaml", "out"]


def test_a_file_in_the_way_is_refused_before_any_work(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "out"
    target.write_text("mine", encoding="utf-8")
    monkeypatch.setattr("pipeline.make.prove", lambda _: pytest.fail("worked for nothing"))
    with pytest.raises(CorewrightError, match="is a file"):
        make(shipped("dunlin"), target)
    assert target.read_text(encoding="utf-8") == "mine"


def test_routes_that_part_write_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    class Parted:
        disagreements = ("moments and boundary differ",)

    monkeypatch.setattr("pipeline.make.prove", lambda _: Parted())
    with pytest.raises(RoutesDisagree, match="differ"):
        make(shipped("dunlin"), tmp_path / "out")
    assert list(tmp_path.iterdir()) == []
