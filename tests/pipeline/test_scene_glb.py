"""What a scene shows as binary glTF: read by trimesh, and by the words of the specification."""

from __future__ import annotations

import json
import struct
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh

from pipeline.ball import build_ball
from pipeline.load import read_design
from pipeline.picture import scene_by
from pipeline.scene import Pose, Scene, frame_of
from pipeline.scene_glb import nodes_of, write_scene
from pipeline.views import GHOST
from pipeline.wish import AS_IT_SUITS, Wish
from tests.pipeline.filmed import BRICK, brick
from tests.pipeline.plain_scene import plain_scene
from tests.pipeline.sphere_balls import swapped

IN = 0.0254  # m
SHOWN = {
    "exploded": Wish(faces="plain"), "ghost": AS_IT_SUITS, "half": AS_IT_SUITS,
    "rg-sphere": AS_IT_SUITS,
}  # fmt: skip


@pytest.fixture(scope="module")
def scenes() -> dict[str, Scene]:
    return {view: scene_by(brick(), view, wish) for view, wish in SHOWN.items()}


@pytest.fixture(scope="module")
def files(scenes: dict[str, Scene], tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    place = tmp_path_factory.mktemp("glb")
    for view, scene in scenes.items():
        write_scene(scene, place / f"{view}.glb")
    return {view: place / f"{view}.glb" for view in scenes}


def chunks(path: Path) -> tuple[dict[str, Any], bytes]:
    """JSON and buffer, by the layout of glTF 2.0, chapter 4 (from memory)."""
    data = path.read_bytes()
    length = struct.unpack_from("<I", data, 12)[0]
    return json.loads(data[20 : 20 + length]), data[20 + length + 8 :]


def vectors(path: Path, mesh: int, primitive: int, attribute: str) -> np.ndarray:
    tree, buffer = chunks(path)
    number = tree["meshes"][mesh]["primitives"][primitive]["attributes"][attribute]
    accessor = tree["accessors"][number]
    view = tree["bufferViews"][accessor["bufferView"]]
    raw = buffer[view["byteOffset"] : view["byteOffset"] + view["byteLength"]]
    return np.frombuffer(raw, "<f4").reshape(-1, 3).astype(float)


def bodies(path: Path) -> dict[str, trimesh.Trimesh]:
    """By the name of its node each body as trimesh has it, all its materials together."""
    scene = trimesh.load(path, process=False)
    found: dict[str, list[trimesh.Trimesh]] = {}
    names = {node["name"] for node in chunks(path)[0]["nodes"]}
    for node in scene.graph.nodes_geometry:
        place, geometry = scene.graph[node]
        mesh = scene.geometry[geometry].copy()
        mesh.apply_transform(place)
        owner = max((name for name in names if node.startswith(name)), key=len)
        found.setdefault(owner, []).append(mesh)
    return {name: trimesh.util.concatenate(meshes) for name, meshes in found.items()}


def materials(path: Path) -> dict[str, dict[str, Any]]:
    return {one["name"]: one for one in chunks(path)[0]["materials"]}


# Bodies


def test_every_part_is_a_node_by_its_name(files: dict[str, Path]) -> None:
    names = [node["name"] for node in chunks(files["exploded"])[0]["nodes"]]
    assert names == ["inner core", "outer core", "cover"]


@pytest.mark.parametrize(
    ("name", "due_in3"),
    [
        ("inner core", 2.8 * 3.5 * 4.9),
        ("outer core", np.pi / 6.0 * 7.05**3 - 2.8 * 3.5 * 4.9),
        ("cover", np.pi / 6.0 * (8.55**3 - 7.05**3)),
    ],
)
def test_closed_bodies_have_their_volumes(
    files: dict[str, Path], name: str, due_in3: float
) -> None:
    """Drawn apart each keeps all of its surface; chords of a sphere leave out 0.3 % at most."""
    found = bodies(files["exploded"])[name].volume / IN**3
    assert found == pytest.approx(due_in3, rel=3e-3)


def test_lengths_are_metres_with_y_upwards(files: dict[str, Path]) -> None:
    """The core is 2.8 in along X, 3.5 in along Y and 4.9 in high along Z, which becomes Y."""
    found = bodies(files["ghost"])["inner core"].extents
    assert found == pytest.approx([2.8 * IN, 4.9 * IN, 3.5 * IN], abs=1e-8)


def test_it_is_turned_and_not_mirrored(scenes: dict[str, Scene], files: dict[str, Path]) -> None:
    """(x, y, z) mm is (x, z, -y) / 1000, to the seven digits of single numbers."""
    due = np.concatenate([s.points_mm for s in scenes["ghost"].surfaces if s.name == "inner core"])
    found = vectors(files["ghost"], 0, 0, "POSITION")
    assert found == pytest.approx(due[:, [0, 2, 1]] * [1e-3, 1e-3, -1e-3], abs=1e-8)


def test_bodies_stand_where_they_were_drawn_apart(
    scenes: dict[str, Scene], files: dict[str, Path]
) -> None:
    scene = scenes["exploded"]
    due = np.concatenate(
        [s.pose.placed(s.points_mm)[:, 2] for s in scene.surfaces if s.name == "cover"]
    )
    found = bodies(files["exploded"])["cover"].bounds[:, 1]
    assert found == pytest.approx([due.min() / 1000.0, due.max() / 1000.0], abs=1e-7)


def test_bodies_drawn_apart_leave_gaps_between_them(files: dict[str, Path]) -> None:
    """The halves of the cover lie beyond those of the outer core, and these beyond the core."""
    found = bodies(files["exploded"])
    high = {name: np.abs(body.vertices[:, 1]) for name, body in found.items()}
    assert high["inner core"].max() < high["outer core"].min()
    assert high["outer core"].max() < high["cover"].min()


@pytest.mark.parametrize("view", SHOWN)
def test_normals_point_the_way_that_triangles_face(files: dict[str, Path], view: str) -> None:
    """By trimesh from the corners; within 45 degrees, where a mesh is coarse."""
    tree, _ = chunks(files[view])
    scene = trimesh.load(files[view], process=False)
    for geometry in scene.geometry.values():
        facing = geometry.face_normals
        own = geometry.vertex_normals[geometry.faces].mean(axis=1)
        thick = geometry.area_faces > 1e-12
        assert float((facing * own).sum(axis=1)[thick].min()) > 0.7, (view, tree["asset"])


def test_a_turned_body_has_turned_normals() -> None:
    """A square that faces +X, turned a quarter about Z, faces +Y."""
    turn = frame_of(np.array([[0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]]))
    scene = plain_scene()
    turned = replace(scene.surfaces[0], pose=Pose((5.0, 6.0, 7.0), turn))
    (node,) = nodes_of(replace(scene, surfaces=(turned,)))
    assert node.primitives[0].normals == pytest.approx(np.tile([0.0, 1.0, 0.0], (4, 1)))
    assert node.primitives[0].points_mm.mean(axis=0) == pytest.approx([5.0, 6.0, 7.0])


# Materials


def test_materials_are_named_after_part_and_pour(files: dict[str, Path]) -> None:
    assert [*materials(files["ghost"])] == [
        "inner core, solid", "outer core, solid", "cover, solid",
    ]  # fmt: skip


def test_cut_faces_and_their_hatching_have_materials_of_their_own(files: dict[str, Path]) -> None:
    assert {"cover, cut face", "cover, hatching", "inner core, cut face"} <= {
        *materials(files["half"])
    }


def test_colours_are_those_of_the_parts_in_linear_light(
    scenes: dict[str, Scene], files: dict[str, Path]
) -> None:
    """By the curve of IEC 61966-2-1 turned round; the file keeps six digits."""
    (core,) = [s for s in scenes["ghost"].surfaces if s.name == "inner core"]
    share = np.array([*bytes.fromhex(core.colour[1:])]) / 255.0
    due = np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)
    made = materials(files["ghost"])["inner core, solid"]["pbrMetallicRoughness"]
    assert made["baseColorFactor"] == pytest.approx([*due, 1.0], abs=1e-6)


def test_what_one_can_see_through_is_blended(files: dict[str, Path]) -> None:
    cover = materials(files["ghost"])["cover, solid"]
    alpha = cover["pbrMetallicRoughness"]["baseColorFactor"][3]
    assert (cover["alphaMode"], alpha) == ("BLEND", GHOST)


def test_what_hides_what_is_behind_is_opaque(files: dict[str, Path]) -> None:
    """As is usual where nothing else is said: glTF 2.0, material.alphaMode."""
    assert "alphaMode" not in materials(files["ghost"])["inner core, solid"]


def test_a_pour_shines_as_the_picture_has_it() -> None:
    """Pearl is smoother than solid, and named."""
    last = "sphere, diameter: 8.55}"
    made = build_ball(read_design(swapped(BRICK, (last, f"{last[:-1]}, pour: pearl}}"))))
    cover = nodes_of(scene_by(made, "whole"))[-1].primitives[0].material
    solid = nodes_of(scene_by(brick(), "whole"))[-1].primitives[0].material
    assert (cover.name, cover.roughness < solid.roughness) == ("cover, pearl", True)


def test_tints_are_colours_of_the_points(scenes: dict[str, Scene], files: dict[str, Path]) -> None:
    """COLOR_0 is linear (glTF 2.0, 3.9.2); back through the curve it is what the scene has."""
    tree, _ = chunks(files["rg-sphere"])
    places = [
        (m, p)
        for m, mesh in enumerate(tree["meshes"])
        for p, primitive in enumerate(mesh["primitives"])
        if "COLOR_0" in primitive["attributes"]
    ]
    (due,) = [s.tints for s in scenes["rg-sphere"].surfaces if s.tints is not None]
    found = vectors(files["rg-sphere"], *places[0], "COLOR_0")
    seen = np.where(found <= 0.0031308, 12.92 * found, 1.055 * found ** (1 / 2.4) - 0.055)
    assert seen == pytest.approx(due, abs=1e-6)


def test_what_has_no_tints_has_no_colours_of_points(files: dict[str, Path]) -> None:
    attributes = [
        primitive["attributes"]
        for mesh in chunks(files["half"])[0]["meshes"]
        for primitive in mesh["primitives"]
    ]
    assert not any("COLOR_0" in one for one in attributes)


# What is peculiar


def test_a_body_of_no_part_is_called_a_body() -> None:
    scene = plain_scene()
    stray = replace(scene.surfaces[0], part=-1, name="")
    assert [node.name for node in nodes_of(replace(scene, surfaces=(stray,)))] == ["body"]


def test_a_face_too_small_for_a_stroke_is_written(tmp_path: Path) -> None:
    """An insert of 2 mm, cut through its middle, lies between the lines of its hatching."""
    bead = "  - {name: bead, material: clay, shape: sphere, diameter: 0.08, move: [0, 0, 0.1]}\n"
    made = build_ball(read_design(BRICK.replace("parts:\n", "parts:\n" + bead)))
    write_scene(scene_by(made, "half"), tmp_path / "half.glb")
    names = [node["name"] for node in chunks(tmp_path / "half.glb")[0]["nodes"]]
    assert "bead" in names


@pytest.mark.parametrize("view", ["sizes", "before-after"])
def test_bodies_of_several_balls_are_nodes_of_their_own(view: str) -> None:
    """Two balls have two inner cores, though these have one name."""
    other = build_ball(read_design(BRICK.replace("name: Dunlin", "name: Godwit")))
    scene = scene_by(brick(), view, AS_IT_SUITS, [other])
    cores = [node for node in nodes_of(scene) if node.name.startswith("inner core")]
    assert len(cores) == 2


def test_the_core_of_another_ball_keeps_its_name() -> None:
    other = build_ball(read_design(BRICK.replace("name: inner core", "name: block")))
    scene = scene_by(brick(), "sizes", AS_IT_SUITS, [other])
    assert [node.name for node in nodes_of(scene)] == ["inner core", "block"]


def test_a_body_is_called_what_it_says_and_not_what_its_number_says() -> None:
    """Beside a ball of more than ten parts another one's bodies come to have numbers of its own."""
    scene = plain_scene()
    one, other = (replace(scene.surfaces[0], part=10, name=name) for name in ("cover", "block"))
    names = [node.name for node in nodes_of(replace(scene, surfaces=(one, other)))]
    assert names == ["cover", "block"]


def test_the_same_scene_gives_the_same_bytes(
    scenes: dict[str, Scene], files: dict[str, Path], tmp_path: Path
) -> None:
    write_scene(scenes["half"], tmp_path / "again.glb")
    assert (tmp_path / "again.glb").read_bytes() == files["half"].read_bytes()
