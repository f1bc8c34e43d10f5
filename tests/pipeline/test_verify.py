"""A package that came back: what was done to it on the way is seen, and nothing else."""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from pipeline.ball import build_ball
from pipeline.comparison import Due
from pipeline.dxf_back import compare_dxf, due_of_section, read_dxf
from pipeline.dxf_out import half_section, write_dxf
from pipeline.figures import figures
from pipeline.folder import MANIFEST, whole_folder
from pipeline.glb import write_glb
from pipeline.glb_back import compare_glb, read_glb
from pipeline.load import read_design
from pipeline.manifest import NotOurs, write_design, write_manifest
from pipeline.meshes import MeshPart
from pipeline.package import write_package
from pipeline.package_files import Package
from pipeline.prove import first_route
from pipeline.threemf import compare_3mf, read_3mf, write_3mf
from pipeline.verify import Seen, verify
from shapes.facets import facets_of
from shapes.sphere import Sphere

DESIGN = """format: corewright 1
name: Plover
revision: A
units: mm
ball: {diameter: 12}
materials: {clay: {density: 2.2}, foam: {density: 0.9}, shell: {density: 1.17}}
parts:
  - {name: inner core, material: clay, shape: ellipsoid, size: [5, 5.6, 7]}
  - {name: outer core, material: foam, shape: sphere, diameter: 10}
  - {name: cover, material: shell, shape: sphere, diameter: 12}
"""


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A package with its design and figures."""
    target = tmp_path_factory.mktemp("verify") / "plover"
    ball = build_ball(read_design(DESIGN))
    route = first_route(ball)
    with whole_folder(target) as work:
        package = write_package(ball, work.path)
        told = figures(ball, route.properties, [route], timed=False)
        (work.path / "figures.json").write_text(json.dumps(told), encoding="utf-8")
        write_design(ball.design, work.path)
        write_manifest(work.path, ball, package, "handover")
    return target


@pytest.fixture
def copy(made: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(made, tmp_path / "came-back"))


def wrong(folder: Path) -> list[Seen]:
    return [seen for seen in verify(folder) if not seen.passed]


def change_manifest(folder: Path, change: Callable[[dict[str, Any]], None]) -> None:
    path = folder / MANIFEST
    manifest = json.loads(path.read_text(encoding="utf-8"))
    change(manifest)
    path.write_text(json.dumps(manifest), encoding="utf-8")


def write_hash_anew(folder: Path, name: str) -> None:
    """As somebody would who covers his tracks."""

    def change(manifest: dict[str, Any]) -> None:
        for row in manifest["files"]:
            if row["name"] == name:
                row["sha256"] = hashlib.sha256((folder / name).read_bytes()).hexdigest()

    change_manifest(folder, change)


def test_a_package_as_it_was_made_is_as_it_should_be(made: Path) -> None:
    seen = verify(made)
    assert all(one.passed for one in seen)
    assert {"plover.step: geometry", "cover_mm.stl: geometry", "figures.json"} <= {
        one.what for one in seen
    }


@pytest.mark.parametrize("name", ["plover.step", "cover_mm.stl", "design.yaml"])
def test_a_changed_byte_is_seen(copy: Path, name: str) -> None:
    path = copy / name
    data = bytearray(path.read_bytes())
    data[len(data) // 2] ^= 1
    path.write_bytes(bytes(data))
    assert Seen(name, False, "its bytes are not those that were written") in wrong(copy)


def test_a_missing_file_is_seen(copy: Path) -> None:
    (copy / "cover_mm.stl").unlink()
    assert wrong(copy) == [Seen("cover_mm.stl", False, "the file is missing")]


def test_a_file_too_many_is_seen(copy: Path) -> None:
    (copy / "cover-2.stl").write_bytes(b"more")
    assert wrong(copy) == [Seen("cover-2.stl", False, "the manifest does not list it")]


def scale_stl(path: Path, factor: float) -> None:
    data = bytearray(path.read_bytes())
    count = int.from_bytes(data[80:84], "little")
    rows = np.frombuffer(bytes(data[84:]), dtype=[("f", "<f4", 12), ("a", "<u2")], count=count)
    rows = rows.copy()
    rows["f"][:, 3:] *= factor
    path.write_bytes(bytes(data[:84]) + rows.tobytes())


def test_a_scaled_stl_is_seen_by_its_volume_whatever_its_hash(copy: Path) -> None:
    scale_stl(copy / "cover_mm.stl", 1.005)
    write_hash_anew(copy, "cover_mm.stl")
    told = wrong(copy)
    assert {one.what for one in told} == {
        "cover_mm.stl: cover: volume",
        "cover_mm.stl: cover: bounding box",
    }
    assert "is allowed" in told[0].note


def test_swapped_parts_are_seen_whatever_their_hashes(copy: Path) -> None:
    one, other = copy / "cover_mm.stl", copy / "outer-core_mm.stl"
    a, b = one.read_bytes(), other.read_bytes()
    one.write_bytes(b)
    other.write_bytes(a)
    for path in (one, other):
        write_hash_anew(copy, path.name)
    assert {one.what.split(":")[0] for one in wrong(copy)} == {"cover_mm.stl", "outer-core_mm.stl"}


def test_a_step_file_in_another_unit_is_seen_whatever_its_hash(copy: Path) -> None:
    path = copy / "plover.step"
    text = path.read_text(encoding="latin-1")
    assert "SI_UNIT(.MILLI.,.METRE.)" in text
    path.write_text(
        text.replace("SI_UNIT(.MILLI.,.METRE.)", "SI_UNIT(.CENTI.,.METRE.)"), encoding="latin-1"
    )
    write_hash_anew(copy, path.name)
    told = {one.what for one in wrong(copy)}
    assert {"plover.step: unit", "plover.step: cover: volume"} <= told


def test_a_step_file_that_cannot_be_read_is_seen(copy: Path) -> None:
    (copy / "plover.step").write_text("no STEP at all", encoding="utf-8")
    write_hash_anew(copy, "plover.step")
    assert [one.what for one in wrong(copy)] == ["plover.step: geometry"]


def test_figures_of_another_design_are_seen_whatever_the_hashes(copy: Path) -> None:
    path = copy / "design.yaml"
    path.write_text(DESIGN.replace("density: 2.2", "density: 2.21"), encoding="utf-8")
    write_hash_anew(copy, "design.yaml")
    (told,) = wrong(copy)
    assert told.what == "figures.json"
    assert "RG by" in told.note


def test_a_design_that_cannot_be_read_is_seen(copy: Path) -> None:
    (copy / "design.yaml").write_text("format: corewright 9", encoding="utf-8")
    write_hash_anew(copy, "design.yaml")
    (told,) = wrong(copy)
    assert "cannot be held against the design" in told.note


@pytest.fixture
def tooling(tmp_path: Path) -> Path:
    """A folder with a file of every kind that is no STEP and no STL file."""
    ball = build_ball(read_design(DESIGN))
    sphere = Sphere(12.0)
    mesh = facets_of(sphere.solid())
    due, part = (
        Due("cover", "#1F4E5F", sphere.moments(), mesh),
        MeshPart("cover", "#1F4E5F", mesh),
    )
    folder = tmp_path / "tooling"
    folder.mkdir()
    write_3mf([part], folder / "a.3mf", "Plover")
    write_glb([part], folder / "a.glb")
    write_dxf(folder / "a.dxf", half_section(sphere.section()))
    rows = [
        *compare_3mf("a.3mf", [due], read_3mf(folder / "a.3mf"), 0.06),
        *compare_glb("a.glb", [due], read_glb(folder / "a.glb"), 0.06),
        *compare_dxf("a.dxf", due_of_section(sphere.section()), read_dxf(folder / "a.dxf")),
    ]
    write_manifest(folder, ball, Package((), tuple(rows)), "handover")
    return folder


def test_files_of_every_kind_are_measured_anew(tooling: Path) -> None:
    assert [(one.what, one.passed) for one in verify(tooling)][-3:] == [
        (f"a.{kind}: geometry", True) for kind in ("3mf", "glb", "dxf")
    ]


def test_other_geometry_in_them_is_seen_whatever_their_hashes(tooling: Path) -> None:
    mesh = facets_of(Sphere(12.3).solid())
    part = MeshPart("cover", "#1F4E5F", mesh)
    write_3mf([part], tooling / "a.3mf", "Plover")
    write_glb([part], tooling / "a.glb")
    write_dxf(tooling / "a.dxf", half_section(Sphere(12.001).section()))
    for kind in ("3mf", "glb", "dxf"):
        write_hash_anew(tooling, f"a.{kind}")
    told = {one.what for one in wrong(tooling)}
    assert {"a.3mf: cover: volume", "a.glb: cover: volume", "a.dxf: CONTOUR: area"} <= told


def test_a_folder_without_a_manifest_is_none_of_ours(tmp_path: Path) -> None:
    with pytest.raises(NotOurs, match=r"holds no manifest\.json"):
        verify(tmp_path)


@pytest.mark.parametrize("text", ["{", "[]", '{"format": "another"}'])
def test_a_manifest_of_another_kind_is_none_of_ours(tmp_path: Path, text: str) -> None:
    (tmp_path / MANIFEST).write_text(text, encoding="utf-8")
    with pytest.raises(NotOurs):
        verify(tmp_path)


@pytest.mark.parametrize("name", ["../outside", "/etc/hostname", "C:\\x", "a\\..\\b"])
def test_a_manifest_that_names_files_elsewhere_is_refused(copy: Path, name: str) -> None:
    change_manifest(copy, lambda m: m["files"][0].update(name=name))
    with pytest.raises(NotOurs, match="lists no files"):
        verify(copy)
