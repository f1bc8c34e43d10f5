"""Binary glTF files: by the specification's own words, read from the bytes, and by trimesh."""

from __future__ import annotations

import json
import struct
from pathlib import Path
from typing import Any

import cadquery as cq
import numpy as np
import pytest
import trimesh

from pipeline.glb import write_glb
from pipeline.meshes import MeshPart
from shapes.facets import facets_of, moments_of_facets
from shapes.moments import Array
from shapes.sphere import Sphere

NAMES = ("Brachvögel's core", "核心 \U0001f3b3")


@pytest.fixture(scope="module")
def parts() -> tuple[MeshPart, ...]:
    ball = facets_of(Sphere(20.0).solid())
    block = facets_of(cq.Solid.makeBox(1, 2, 3, cq.Vector(10, 20, 30)))
    return MeshPart(NAMES[0], "#B5482A", ball), MeshPart(NAMES[1], "#1F4E5F", block)


@pytest.fixture(scope="module")
def written(parts: tuple[MeshPart, ...], tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("glb") / "dunlin.glb"
    write_glb(parts, path)
    return path


def chunks(path: Path) -> tuple[dict[str, Any], bytes]:
    """JSON and buffer, by the layout of glTF 2.0, chapter 4 (from memory)."""
    data = path.read_bytes()
    magic, version, size = struct.unpack_from("<4sII", data)
    assert (magic, version, size) == (b"glTF", 2, len(data))
    length, kind = struct.unpack_from("<I4s", data, 12)
    assert (kind, length % 4) == (b"JSON", 0)
    rest = 20 + length
    size, kind = struct.unpack_from("<I4s", data, rest)
    assert (kind, rest + 8 + size) == (b"BIN\0", len(data))
    return json.loads(data[20:rest]), data[rest + 8 :]


def values(path: Path, mesh: int, attribute: str) -> Array:
    tree, buffer = chunks(path)
    accessor = tree["accessors"][tree["meshes"][mesh]["primitives"][0]["attributes"][attribute]]
    view = tree["bufferViews"][accessor["bufferView"]]
    raw = buffer[view["byteOffset"] : view["byteOffset"] + view["byteLength"]]
    return np.frombuffer(raw, "<f4").reshape(-1, 3).astype(float)


def test_nodes_and_meshes_carry_the_names(written: Path) -> None:
    tree, _ = chunks(written)
    assert tuple(node["name"] for node in tree["nodes"]) == NAMES
    assert tuple(mesh["name"] for mesh in tree["meshes"]) == NAMES


def test_plus_z_of_the_ball_is_plus_y_in_metres(written: Path) -> None:
    points = values(written, 1, "POSITION")
    # the block spans x 10 to 11, y 20 to 22, z 30 to 33 mm
    np.testing.assert_allclose(points.min(axis=0), [0.010, 0.030, -0.022], atol=1e-8)
    np.testing.assert_allclose(points.max(axis=0), [0.011, 0.033, -0.020], atol=1e-8)


def test_the_stated_bounds_are_those_of_the_points(written: Path) -> None:
    tree, _ = chunks(written)
    for k in (0, 1):
        position = tree["meshes"][k]["primitives"][0]["attributes"]["POSITION"]
        points = values(written, k, "POSITION")
        assert tree["accessors"][position]["min"] == points.min(axis=0).tolist()
        assert tree["accessors"][position]["max"] == points.max(axis=0).tolist()


def test_normals_have_length_one_and_point_outwards(written: Path) -> None:
    points, normals = values(written, 0, "POSITION"), values(written, 0, "NORMAL")
    assert np.linalg.norm(normals, axis=1) == pytest.approx(np.ones(len(normals)), abs=1e-6)
    # a triangle turns by 0.1 rad at most
    assert np.einsum("ij,ij->i", normals, points / 0.010).min() > np.cos(0.1)


def test_colours_are_linear_light(written: Path) -> None:
    # sRGB transfer function, IEC 61966-2-1: 0xB5 is 0.462077, 0x48 0.064803, 0x2A 0.023153
    tree, _ = chunks(written)
    factor = tree["materials"][0]["pbrMetallicRoughness"]["baseColorFactor"]
    assert factor == pytest.approx([0.462077, 0.064803, 0.023153, 1.0], abs=1e-6)


def test_trimesh_finds_closed_bodies_of_the_same_volume(
    written: Path, parts: tuple[MeshPart, ...]
) -> None:
    scene = trimesh.load_scene(written)
    for part in parts:
        mesh = scene.geometry[part.name]
        mesh.merge_vertices(merge_norm=True, merge_tex=True)
        assert mesh.is_watertight
        assert len(mesh.faces) == len(part.facets.triangles)
        due = moments_of_facets(part.facets).volume_mm3
        assert mesh.volume * 1e9 == pytest.approx(due, rel=1e-5)


def test_the_same_bodies_give_the_same_bytes(
    written: Path, parts: tuple[MeshPart, ...], tmp_path: Path
) -> None:
    write_glb(parts, tmp_path / "again.glb")
    assert (tmp_path / "again.glb").read_bytes() == written.read_bytes()
