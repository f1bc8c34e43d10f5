"""The tooling package: whole, read by others, held by `verify`, or not there at all."""

from __future__ import annotations

import hashlib
import json
import shutil
from pathlib import Path
from typing import Any

import ezdxf
import gmsh
import lib3mf
import numpy as np
import pypdf
import pytest
import trimesh

from pipeline.ball import Ball
from pipeline.changes import earlier
from pipeline.errors import KernelFault, OutputError, ToolingError
from pipeline.handover import Handed, handover
from pipeline.verify import verify
from tests.pipeline.cast_text import ball

PROFILE = "[[0, -40], [40, -40], [34, 30], [0, 38]]"
ASKED = (
    "shrinkage: {linear: 2 %, source: trial pour 7}",
    "parting: [{pull: [0, 1, 0]}]",
    "upright: 80",
    "rod: {diameter: 8, depth: 20}",
    "gates: [{toward: [1, 0, 0], diameter: 10, taper: 1}]",
    "ejectors: [{at: [0, 0, 10], diameter: 8, piece: 1}]",
)
GROWN = 1.0 / 0.98


def core(*lines: str) -> Ball:
    return ball(f"shape: turned, profile: {PROFILE}, round: 4", *(lines or ASKED))


@pytest.fixture(scope="module")
def handed(tmp_path_factory: pytest.TempPathFactory) -> tuple[Handed, Path]:
    target = tmp_path_factory.mktemp("handover") / "tooling"
    return handover(core(), target), target


@pytest.fixture(scope="module")
def folder(handed: tuple[Handed, Path]) -> Path:
    return handed[1]


@pytest.fixture(scope="module")
def again(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Handed, Path]:
    """The same once more, with what changed."""
    target = tmp_path_factory.mktemp("again") / "tooling"
    return handover(core(), target, since=folder), target


@pytest.fixture(scope="module")
def newer(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Handed, Path]:
    """A taller core with more shrinkage, with what changed."""
    target = tmp_path_factory.mktemp("newer") / "tooling"
    lines = ("shrinkage: {linear: 3 %, source: trial pour 8}", *ASKED[1:])
    made = ball(f"shape: turned, profile: {PROFILE.replace('38', '39')}, round: 4", *lines)
    return handover(made, target, since=folder), target


def volumes_by_gmsh(path: Path) -> dict[str, float]:
    """Volume of every solid of a STEP file, by the product's own name."""
    gmsh.initialize(interruptible=False)
    try:
        gmsh.option.setNumber("General.Terminal", 0)
        gmsh.option.setString("Geometry.OCCTargetUnit", "MM")
        gmsh.model.occ.importShapes(str(path))
        gmsh.model.occ.synchronize()
        found = {}
        for dim, tag in gmsh.model.getEntities(3):
            name = gmsh.model.getEntityName(dim, tag).split("/")[-1]
            found[name] = float(gmsh.model.occ.getMass(dim, tag))
        return found
    finally:
        gmsh.finalize()


def files(folder: Path) -> set[str]:
    return {p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file()}


def test_every_kind_of_file_is_there(folder: Path) -> None:
    due = {
        "README.md", "manifest.json", "design.yaml", "figures.json", "findings.json",
        "finished/dunlin.step", "as-cast/dunlin-as-cast.step", "as-cast/dunlin-as-cast.3mf",
        "as-cast/dunlin-as-cast.glb", "as-cast/core-as-cast_mm.stl", "as-cut/core-as-cut.step",
        "as-cut/core-as-cut_mm.stl", "moulds/core-mould.step", "moulds/core-mould.3mf",
        "moulds/core-mould.glb", "moulds/core-mould-half-1_mm.stl",
        "moulds/core-mould-half-2_mm.stl", "moulds/core-mould-rod_mm.stl",
        "moulds/core-mould-ejector-pin-1_mm.stl", "sections/core-half-section-as-cast.dxf",
        "sections/core-half-section-as-cut.dxf", "sections/core-parting-1.dxf",
        "drawings/core-as-cast.pdf", "drawings/core-as-cast.svg",
        "drawings/core-mould-half-1.pdf", "checks/core-draft.png", "checks/core-walls.png",
    }  # fmt: skip
    assert due <= files(folder)


def test_every_comparison_passed(handed: tuple[Handed, Path]) -> None:
    rows = handed[0].package.comparisons
    assert len(rows) > 100
    assert [row for row in rows if not row.passed] == []


def test_a_mould_by_gmsh_adds_up_to_its_block(folder: Path) -> None:
    found = volumes_by_gmsh(folder / "moulds/core-mould.step")
    text = json.loads((folder / "manifest.json").read_text("utf-8"))["castings"][0]["facts"]
    block = np.prod([float(word) for word in text["block"].split(" mm")[0].split(" \u00d7 ")])
    assert len(found) == 5  # two halves, a rod, a pin, the contents
    assert sum(found.values()) == pytest.approx(block, rel=1e-5)


def test_as_cut_is_as_cast_grown_once_by_another_reader(folder: Path) -> None:
    """1 / (1 - s) cubed, plus the ejector's flat and the rod's hole, which as cut leaves out."""
    cold = volumes_by_gmsh(folder / "finished/dunlin.step")["core"]
    cut = volumes_by_gmsh(folder / "as-cut/core-as-cut.step")["core, as cut"]
    flat = cut - cold * GROWN**3
    assert 0.0 < flat < np.pi * 16.0 * 3.0


def test_stl_files_are_as_large_as_their_names_say(folder: Path) -> None:
    cold = trimesh.load_mesh(folder / "as-cast/core-as-cast_mm.stl")
    cut = trimesh.load_mesh(folder / "as-cut/core-as-cut_mm.stl")
    assert cut.extents[0] / cold.extents[0] == pytest.approx(GROWN, rel=1e-3)


def test_3mf_states_millimetres_and_names(folder: Path) -> None:
    wrapper = lib3mf.get_wrapper()
    model = wrapper.CreateModel()
    model.QueryReader("3mf").ReadFromFile(str(folder / "moulds/core-mould.3mf"))
    assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter
    names, objects = [], model.GetMeshObjects()
    while objects.MoveNext():
        names.append(objects.GetCurrentMeshObject().GetName())
    assert names == [
        "core mould, half 1", "core mould, half 2", "core mould, rod", "core mould, ejector pin 1",
    ]  # fmt: skip


@pytest.mark.parametrize("word", ["half-section-as-cast", "half-section-as-cut", "parting-1"])
def test_ezdxf_audits_the_drawings_for_cutting(folder: Path, word: str) -> None:
    drawing = ezdxf.readfile(folder / f"sections/core-{word}.dxf")
    assert drawing.audit().errors == []
    assert drawing.header["$INSUNITS"] == 4


def test_the_sheet_says_what_rules_and_what_was_assumed(folder: Path) -> None:
    text = pypdf.PdfReader(folder / "drawings/core-as-cast.pdf").pages[0].extract_text()
    for words in (
        "The STEP model rules", "Design estimate", "assumed", "ISO 2768-m", "2 % linear",
        "rod hole", "trial pour 7",
    ):  # fmt: skip
        assert words in text, words


def test_dimensions_on_the_sheet_are_the_geometrys(folder: Path) -> None:
    text = pypdf.PdfReader(folder / "drawings/core-as-cast.pdf").pages[0].extract_text()
    assert "\u00d8 80.00" in text  # the foot, at its theoretical sharp point
    assert "78.00" in text  # from the seat to the tip
    assert "R 4.00" in text


def test_the_letter_lists_every_file_and_every_assumption(folder: Path) -> None:
    text = (folder / "README.md").read_text("utf-8")
    written = {"README.md", "manifest.json", "design.yaml", "figures.json", "findings.json"}
    assert [name for name in files(folder) - written if f"`{name}`" not in text] == []
    assumed = text.split("## Assumed")[1].split("## Frames")[0]
    for what in ("gravity pour", "ISO 2768-m", "block", "draft wanted"):
        assert what in assumed, what
    assert "do not scale" in text


def test_draft_is_told_by_shares_of_the_area(folder: Path) -> None:
    told = json.loads((folder / "findings.json").read_text("utf-8"))["draft"]["core"]
    assert told["undercut"] == "none"
    shares = [float(word.split(" ")[0]) for word in told.values() if word.endswith("%")]
    assert sum(shares) == pytest.approx(100.0, abs=0.3)


def test_the_manifest_has_every_other_file_by_its_hash(folder: Path) -> None:
    manifest = json.loads((folder / "manifest.json").read_text("utf-8"))
    listed = {row["name"]: row["sha256"] for row in manifest["files"]}
    found = {
        name: hashlib.sha256((folder / name).read_bytes()).hexdigest()
        for name in files(folder)
        if name != "manifest.json"
    }
    assert listed == found


def test_the_same_design_gives_the_same_bytes(folder: Path, again: tuple[Handed, Path]) -> None:
    told = {"README.md", "manifest.json"}  # which name the earlier package
    for name in files(folder) - told:
        assert (again[1] / name).read_bytes() == (folder / name).read_bytes(), name


def test_what_came_back_unchanged_is_as_it_was(folder: Path) -> None:
    assert [seen for seen in verify(folder) if not seen.passed] == []


def _rescaled(path: Path) -> None:
    mesh = trimesh.load_mesh(path)
    mesh.apply_scale(1.0 / 25.4)
    mesh.export(path)


def _swapped(path: Path) -> None:
    shutil.copy(path.with_name("core-mould-half-2_mm.stl"), path)


def _changed(path: Path) -> None:
    data = bytearray(path.read_bytes())
    data[-30] ^= 1
    path.write_bytes(bytes(data))


@pytest.mark.parametrize(
    ("name", "spoil"),
    [
        ("as-cut/core-as-cut_mm.stl", _rescaled),
        ("moulds/core-mould-half-1_mm.stl", _swapped),
        ("moulds/core-mould.3mf", _changed),
        ("drawings/core-as-cast.pdf", _changed),
        ("sections/core-parting-1.dxf", Path.unlink),
    ],
    ids=["rescaled", "swapped", "byte", "sheet", "missing"],
)
def test_what_was_done_on_the_way_is_seen(
    folder: Path, tmp_path: Path, name: str, spoil: Any
) -> None:
    back = tmp_path / "back"
    shutil.copytree(folder, back)
    spoil(back / name)
    assert any(name in seen.what for seen in verify(back) if not seen.passed)


def test_changed_figures_and_files_are_told(newer: tuple[Handed, Path]) -> None:
    text = (newer[1] / "CHANGES.md").read_text("utf-8")
    assert "2 % linear; source: trial pour 7 -> 3 % linear; source: trial pour 8" in text
    assert "as-cut/core-as-cut.step | other bytes" in text


def test_changed_faces_are_told(newer: tuple[Handed, Path]) -> None:
    assert newer[0].changes is not None
    faces = [one for one in newer[0].changes if one.kind == "face"]
    assert {one.how for one in faces} == {"gone", "new"}


def test_nothing_changed_is_said(again: tuple[Handed, Path]) -> None:
    assert again[0].changes == ()
    assert "Nothing changed" in (again[1] / "CHANGES.md").read_text("utf-8")


def test_since_must_be_a_tooling_package(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match=r"--since .*nowhere"):
        earlier(tmp_path / "nowhere")


def test_an_undercut_leaves_an_earlier_package_as_it_was(folder: Path, tmp_path: Path) -> None:
    target = tmp_path / "kept"
    shutil.copytree(folder, target)
    before = {name: (target / name).read_bytes() for name in files(target)}
    with pytest.raises(ToolingError, match="undercut"):
        handover(core("parting: [{pull: [0, 0, 1]}]", *ASKED[2:3]), target)
    assert {name: (target / name).read_bytes() for name in files(target)} == before


def test_a_file_that_reads_back_wrong_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from pipeline import body_files

    def spoiled(path: Path) -> Any:
        found = body_files_read(path)
        return type(found)(found.name, found.schema, "inch", found.bodies)

    body_files_read = body_files.read_step
    monkeypatch.setattr(body_files, "read_step", spoiled)
    with pytest.raises(KernelFault, match="unit"):
        handover(core(), tmp_path / "tooling")
    assert list(tmp_path.iterdir()) == []


def test_a_folder_of_others_is_kept(tmp_path: Path) -> None:
    (tmp_path / "theirs").mkdir()
    (tmp_path / "theirs/note.txt").write_text("keep")
    with pytest.raises(OutputError, match="not ours"):
        handover(core(), tmp_path / "theirs")
    assert (tmp_path / "theirs/note.txt").read_text() == "keep"


def test_names_that_windows_reserves_become_files_all_the_same(tmp_path: Path) -> None:
    made = ball(
        "shape: sphere, diameter: 60",
        rest=(
            '  - {name: "CON", material: clay, shape: sphere, diameter: 70}\n'
            '  - {name: "a/b:c*?", material: foam, shape: sphere, diameter: 217}\n'
            "process:\n  castings:\n    core: {mould: none}\n    'a/b:c*?': {mould: none}\n"
        ),
    )
    handover(made, tmp_path / "tooling")
    assert "as-cast/con-as-cast_mm.stl" in files(tmp_path / "tooling")
    assert "drawings/con-part-as-cast.pdf" in files(tmp_path / "tooling")
    assert not any(set(name) & set(':*?"<>|\\') for name in files(tmp_path / "tooling"))
