"""Files that a design refers to: found beside it, refused elsewhere, carried along."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

import pytest
import trimesh

from pipeline.ball import build_ball
from pipeline.errors import BallError, DesignError, OutputError
from pipeline.figures import figures
from pipeline.load import load, read_design
from pipeline.manifest import write_design
from pipeline.prove import prove
from pipeline.report import weighed
from pipeline.weigh import weigh
from tests.pipeline.test_cli import corewright
from tests.reference.written_step import CUBE_FACES, assembly, body

DESIGN = """\
format: corewright 1
name: Turnstone
revision: A
units: mm
ball: {{diameter: 217.17, weight: 6800 g}}
materials:
  dense: {{density: 2.4}}
  light: {{density: free, from: 0.5, to: 1.6}}
  shell: {{density: 1.17}}
parts:
  - {{name: inner core, material: dense, {core}}}
  - {{name: outer core, material: light, shape: sphere, diameter: 180}}
  - {{name: cover, material: shell, shape: sphere, diameter: 217.17}}
"""
BLOCK = "shape: step, file: core.step, move: [-30, -25, -40]"


def design(folder: Path, core: str = BLOCK) -> Path:
    (folder / "core.step").write_bytes(body())
    path = folder / "turnstone.yaml"
    path.write_text(DESIGN.format(core=core), encoding="utf-8")
    return path


def test_a_step_core_weighs_by_boundary_and_mesh_that_agree(tmp_path: Path) -> None:
    ball = build_ball(load(design(tmp_path)))
    proof = prove(ball)
    assert ball.route == "boundary"
    assert [route.name for route in proof.routes] == ["boundary", "mesh"]
    assert not proof.disagreements
    assert ball.parts[0].claimed.volume_mm3 == pytest.approx(240_000.0, rel=1e-9)


def test_a_mesh_core_weighs_by_three_routes_that_agree(tmp_path: Path) -> None:
    mesh = trimesh.creation.icosphere(2, 45.0)
    (tmp_path / "core.stl").write_bytes(mesh.export(file_type="stl"))
    ball = build_ball(load(design(tmp_path, "shape: mesh, file: core.stl, unit: mm")))
    proof = prove(ball)
    assert [route.name for route in proof.routes] == ["moments", "boundary", "mesh"]
    assert not proof.disagreements
    assert ball.parts[0].claimed.volume_mm3 == pytest.approx(mesh.volume, rel=1e-6)


def test_a_file_may_lie_in_a_folder_below(tmp_path: Path) -> None:
    path = design(tmp_path, BLOCK.replace("core.step", "cad/core.step"))
    (tmp_path / "cad").mkdir()
    (tmp_path / "core.step").rename(tmp_path / "cad" / "core.step")
    (attachment,) = load(path).attachments
    assert attachment.name == "cad/core.step"


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("cores.step", "there is no such file"),
        ("cores.step", "did you mean 'core.step'?"),
        ("/etc/hostname", "no plain relative name"),
        ("../core.step", "leaves the design's folder"),
        ("cad/../../core.step", "leaves the design's folder"),
        ("C:\\core.step", "no plain relative name"),
        ("'.'", "no regular file"),
    ],
)
def test_other_files_are_refused_with_their_line(tmp_path: Path, name: str, says: str) -> None:
    path = design(tmp_path, f"shape: step, file: {name}")
    with pytest.raises(DesignError) as told:
        load(path)
    assert f"{path}:11: parts[0].file" in str(told.value)
    assert says in str(told.value)


def test_a_file_that_is_too_large_is_refused_unread(tmp_path: Path) -> None:
    path = design(tmp_path, "shape: step, file: huge.step")
    with (tmp_path / "huge.step").open("wb") as file:
        file.truncate(65 * 2**20)
    with pytest.raises(DesignError, match="holds 65 MB, more than 64"):
        load(path)


def test_a_link_out_of_the_folder_is_refused(tmp_path: Path) -> None:
    inside = tmp_path / "inside"
    inside.mkdir()
    (tmp_path / "far.step").write_bytes(body())
    path = design(inside, BLOCK.replace("core.step", "near.step"))
    (inside / "near.step").symlink_to(tmp_path / "far.step")
    with pytest.raises(DesignError, match="a link out of the design's folder"):
        load(path)


def test_a_design_without_a_folder_refers_to_no_file() -> None:
    with pytest.raises(DesignError, match="has no folder"):
        read_design(DESIGN.format(core=BLOCK))


def test_a_bad_step_file_is_refused_with_part_and_line(tmp_path: Path) -> None:
    path = design(tmp_path)
    (tmp_path / "core.step").write_bytes(body(faces=CUBE_FACES[:5]))
    with pytest.raises(BallError) as told:
        build_ball(load(path))
    assert f"{path}:11: part 'inner core': file: core.step holds 5 faces" in str(told.value)


def test_a_bad_step_file_inside_a_join_is_refused_by_its_path(tmp_path: Path) -> None:
    joined = "shape: join, bodies: [{shape: barrel}, {shape: step, file: core.step}]"
    path = design(tmp_path, joined)
    (tmp_path / "core.step").write_bytes(body(faces=CUBE_FACES[:5]))
    with pytest.raises(BallError) as told:
        build_ball(load(path))
    assert f"{path}:11: part 'inner core': bodies[1].file: core.step holds 5" in str(told.value)


def test_a_bad_mesh_is_refused_with_its_line(tmp_path: Path) -> None:
    (tmp_path / "core.stl").write_bytes(b"nothing")
    path = design(tmp_path, "shape: mesh, file: core.stl, unit: mm")
    with pytest.raises(DesignError) as told:
        load(path)
    assert f"{path}:11: parts[0].file: read 'core.stl'; its 7 bytes are neither" in str(told.value)


def test_what_was_mended_is_said(tmp_path: Path) -> None:
    path = design(tmp_path, BLOCK + ", heal: yes")
    (tmp_path / "core.step").write_bytes(body(as_solid=False))
    ball = build_ball(load(path))
    properties = weigh(ball)
    assert "note: inner core: 6 faces of core.step were sewn" in weighed(ball, properties)
    (note,) = figures(ball, properties, [])["design"]["notes"]
    assert note.startswith("inner core: 6 faces")


def test_the_product_of_an_assembly_is_named_in_the_design(tmp_path: Path) -> None:
    path = design(tmp_path, "shape: step, file: core.step, product: Inner core")
    parts = {
        "Inner core": ((60.0, 50.0, 80.0), (-30.0, -25.0, -40.0)),
        "Disc": ((9.0, 9.0, 9.0), (0.0, 0.0, 0.0)),
    }
    (tmp_path / "core.step").write_bytes(assembly(parts))
    core = build_ball(load(path)).parts[0]
    assert core.claimed.volume_mm3 == pytest.approx(240_000.0, rel=1e-9)


def test_files_are_hashed_and_carried_along(tmp_path: Path) -> None:
    ball = build_ball(load(design(tmp_path)))
    found = figures(ball, weigh(ball), [])["design"]["files"]
    assert found == {"core.step": hashlib.sha256(body()).hexdigest()}
    (tmp_path / "out").mkdir()
    write_design(ball.design, tmp_path / "out")
    again = build_ball(load(tmp_path / "out" / "design.yaml"))
    assert weigh(again).mass_g == weigh(ball).mass_g
    with pytest.raises(OutputError, match=r"also the name of a file"):
        write_design(ball.design, tmp_path / "out")


def test_made_folder_can_be_made_from_again(tmp_path: Path) -> None:
    path = design(tmp_path)
    done = corewright("make", str(path), "--out", str(tmp_path / "made"))
    assert done.returncode in (0, 1), done.stderr
    listed = json.loads((tmp_path / "made" / "manifest.json").read_text(encoding="utf-8"))["files"]
    assert {"design.yaml", "core.step", "turnstone.step"} <= {row["name"] for row in listed}
    done = corewright("weigh", str(tmp_path / "made" / "design.yaml"), "--json")
    assert json.loads(done.stdout)["parts"][0]["volume_in3"] == pytest.approx(240.0 / 16.387064)


def test_a_drawn_half_section_is_turned(tmp_path: Path) -> None:
    import ezdxf

    document = ezdxf.new(units=4)
    document.modelspace().add_lwpolyline([(0, -50), (40, -50), (30, 50), (0, 50)])
    document.saveas(tmp_path / "core.dxf")
    path = design(tmp_path, "shape: turned, profile: {dxf: core.dxf}")
    core = build_ball(load(path)).parts[0]
    cone = 3.141592653589793 * 100.0 / 3.0 * (40.0**2 + 40.0 * 30.0 + 30.0**2)
    assert core.claimed.volume_mm3 == pytest.approx(cone, rel=1e-12)
    path = design(tmp_path, "shape: turned, profile: {dxf: core.dxf, unit: in}")
    with pytest.raises(DesignError, match=r":11: parts\[0\].profile.unit: read 'in': .* is in mm"):
        load(path)
