"""Geometry in a folder: complete, verified, the same bytes again, or not there at all."""

from __future__ import annotations

import hashlib
import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import trimesh

import pipeline.package
from pipeline.ball import Ball, build_ball
from pipeline.dates import stamp
from pipeline.errors import KernelFault, OutputError
from pipeline.folder import whole_folder
from pipeline.load import read_design
from pipeline.manifest import write_manifest
from pipeline.package import geometry, write_package
from pipeline.package_files import Package
from pipeline.stl import CHORD_MM, StlFile, read_stl

# the slab cuts the core in two; two names have one spelling in plain letters
DESIGN = """
format: corewright 1
name: "Brachvögel"
revision: B
date: 2026-11-25
units: mm
ball: {diameter: 40}
materials: {a: {density: 2.0}, b: {density: 1.0}}
parts:
  - {name: "a/b", material: a, shape: cylinder, diameter: 34, height: 6}
  - {name: "a\\\\b", material: b, shape: sphere, diameter: 30}
  - {name: "核心 | cover", material: b, shape: sphere, diameter: 40}
"""
FILES = [
    "README.md", "a-b-2_mm.stl", "a-b_mm.stl", "brachvogel.step", "manifest.json",
    "u6838-u5fc3-cover_mm.stl",
]  # fmt: skip


@pytest.fixture(scope="module")
def ball() -> Ball:
    return build_ball(read_design(DESIGN))


def packed(ball: Ball, target: Path) -> Package:
    """A folder of geometry with the words that go with it, and its manifest."""
    with whole_folder(target, "make") as work:
        package = write_package(ball, work.path)
        (work.path / "README.md").write_text(geometry(package), "utf-8", newline="\n")
        write_manifest(work.path, ball, package, "make")
    return package


@pytest.fixture(scope="module")
def made(ball: Ball, tmp_path_factory: pytest.TempPathFactory) -> tuple[Package, Path]:
    target = tmp_path_factory.mktemp("package") / "tooling"
    return packed(ball, target), target


@pytest.fixture(scope="module")
def manifest(made: tuple[Package, Path]) -> dict[str, Any]:
    found = json.loads((made[1] / "manifest.json").read_text("utf-8"))
    assert isinstance(found, dict)
    return found


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


def test_every_file_is_there(made: tuple[Package, Path]) -> None:
    assert sorted(contents(made[1])) == FILES


def test_the_package_lists_the_geometry(made: tuple[Package, Path]) -> None:
    names = [file.name for file in made[0].files]
    assert names == [
        "brachvogel.step", "a-b_mm.stl", "a-b-2_mm.stl", "u6838-u5fc3-cover_mm.stl",
    ]  # fmt: skip


def test_the_manifest_has_size_and_hash_of_every_other_file(
    made: tuple[Package, Path], manifest: dict[str, Any]
) -> None:
    listed = {row["name"]: (row["size_bytes"], row["sha256"]) for row in manifest["files"]}
    found = {
        name: (len(data), hashlib.sha256(data).hexdigest())
        for name, data in contents(made[1]).items()
        if name != "manifest.json"
    }
    assert listed == found


def test_the_manifest_names_the_design(manifest: dict[str, Any]) -> None:
    assert manifest["design"] == {
        "name": "Brachvögel",
        "revision": "B",
        "date": "2026-11-25",
        "sha256": hashlib.sha256(DESIGN.encode()).hexdigest(),
    }


def test_the_manifest_names_what_wrote_and_read(manifest: dict[str, Any]) -> None:
    assert set(manifest["versions"]) == {
        "corewright", "cadquery", "cadquery-ocp", "numpy", "numpy-stl", "trimesh",
    }  # fmt: skip


def test_every_comparison_of_the_manifest_passed(manifest: dict[str, Any]) -> None:
    assert [row for row in manifest["comparisons"] if not row["passed"]] == []


def test_every_file_is_compared_by_volume_centroid_box_and_closure(
    made: tuple[Package, Path],
) -> None:
    due = {"volume", "centroid", "bounding box", "closed"}
    for file in made[0].files:
        rows = [row for row in made[0].comparisons if row.file == file.name]
        assert due <= {row.quantity for row in rows}, file.name


def test_each_lump_is_compared_by_itself(made: tuple[Package, Path]) -> None:
    bodies = {row.body for row in made[0].comparisons if row.file == "brachvogel.step"}
    assert bodies == {"", "a/b", "a\\b (1)", "a\\b (2)", "核心 | cover"}


def test_stl_volumes_by_trimesh_are_the_parts_own(made: tuple[Package, Path], ball: Ball) -> None:
    # within the sag over a body's whole surface: at 20 mm radius 3/r x 0.02 mm is 0.3 percent, and
    # the slab's and the core's faces are flat or as round
    found = [trimesh.load_mesh(made[1] / file.name).volume for file in made[0].files[1:]]
    assert found == pytest.approx([part.claimed.volume_mm3 for part in ball.parts], rel=3e-3)


def test_stl_headers_state_unit_and_chord(made: tuple[Package, Path]) -> None:
    headers = {read_stl(made[1] / file.name).header for file in made[0].files[1:]}
    assert headers == {f"mm; chord <= {CHORD_MM:g} mm"}


def test_the_mesh_keeps_the_stated_chord(made: tuple[Package, Path]) -> None:
    assert max(file.sag_mm or 0.0 for file in made[0].files) <= CHORD_MM


def test_the_readme_names_every_file_of_geometry(made: tuple[Package, Path]) -> None:
    text = (made[1] / "README.md").read_text("utf-8")
    assert [f.name for f in made[0].files if f"`{f.name}`" not in text] == []


def test_the_manifest_says_that_no_shrinkage_is_applied(manifest: dict[str, Any]) -> None:
    assert "no shrinkage" in manifest["size"]


def test_the_same_design_gives_the_same_bytes_over_the_old_ones(ball: Ball, tmp_path: Path) -> None:
    packed(ball, tmp_path / "tooling")
    first = contents(tmp_path / "tooling")
    packed(ball, tmp_path / "tooling")
    assert contents(tmp_path / "tooling") == first


def test_the_same_bytes_elsewhere(made: tuple[Package, Path], ball: Ball, tmp_path: Path) -> None:
    packed(ball, tmp_path / "other")
    assert contents(tmp_path / "other") == contents(made[1])


def test_meshes_that_are_there_are_used(
    ball: Ball, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from pipeline.solids import solids_of
    from shapes.facets import facets_of

    meshes = [[facets_of(lump) for lump in one.lumps] for one in solids_of(ball)]
    monkeypatch.setattr("pipeline.package._meshes", lambda _: pytest.fail("meshed again"))
    assert len(write_package(ball, tmp_path, meshes).files) == 4


def spoiled(path: Path) -> StlFile:
    return replace(read_stl(path), triangles=1)


def test_a_file_that_reads_back_wrong_is_named(
    ball: Ball, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pipeline.package, "read_stl", spoiled)
    with pytest.raises(KernelFault, match=r"a-b_mm\.stl: triangles of a/b: read back 1, due"):
        packed(ball, tmp_path / "tooling")


def test_a_file_that_reads_back_wrong_leaves_nothing(
    ball: Ball, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pipeline.package, "read_stl", spoiled)
    with pytest.raises(KernelFault):
        packed(ball, tmp_path / "tooling")
    assert list(tmp_path.iterdir()) == []


def test_a_designs_own_day_is_its_time(ball: Ball, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "0")
    assert stamp(ball.design) == "2026-11-25T00:00:00"


def test_without_a_day_the_environment_decides(ball: Ball, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1000000000")  # 2001-09-09, 01:46:40 UTC
    assert stamp(replace(ball.design, date=None)) == "2001-09-09T01:46:40"


def test_without_either_it_is_1970(ball: Ball, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    assert stamp(replace(ball.design, date=None)) == "1970-01-01T00:00:00"


@pytest.mark.parametrize("value", ["yesterday", "1e9", "9" * 30])
def test_an_environment_that_is_no_time_is_said(
    value: str, ball: Ball, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", value)
    with pytest.raises(OutputError, match="SOURCE_DATE_EPOCH"):
        stamp(replace(ball.design, date=None))
