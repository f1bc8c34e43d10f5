"""Binary glTF files read back by the renderer: good ones pass, spoilt ones are seen."""

from __future__ import annotations

import json
import struct
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from pipeline.comparison import Due
from pipeline.errors import KernelFault
from pipeline.glb import write_glb
from pipeline.glb_back import compare_glb, read_glb
from pipeline.meshes import MeshPart
from shapes.cylinder import Cylinder
from shapes.facets import facets_of
from shapes.sphere import Sphere

SHAPES = {"Brachvögel's core": Cylinder(12.0, 18.0), "cover 核": Sphere(30.0)}
COLOURS = ("#B5482A", "#1F4E5F")


@pytest.fixture(scope="module")
def due() -> tuple[Due, ...]:
    return tuple(
        Due(name, colour, shape.moments(), facets_of(shape.solid()))
        for (name, shape), colour in zip(SHAPES.items(), COLOURS, strict=True)
    )


@pytest.fixture
def written(due: tuple[Due, ...], tmp_path: Path) -> Path:
    write_glb([MeshPart(d.name, d.colour, d.facets) for d in due], tmp_path / "d.glb")
    return tmp_path / "d.glb"


def failing(due: tuple[Due, ...], path: Path) -> set[str]:
    rows = compare_glb(path.name, due, read_glb(path), 0.06)
    return {row.quantity for row in rows if not row.passed}


def edited(path: Path, change: Callable[[dict[str, Any]], object]) -> Path:
    """The file with its JSON changed."""
    data = path.read_bytes()
    (length,) = struct.unpack_from("<I", data, 12)
    tree = json.loads(data[20 : 20 + length])
    change(tree)
    text = json.dumps(tree).encode()
    text += b" " * (-len(text) % 4)
    rest = struct.pack("<I4s", len(text), b"JSON") + text + data[20 + length :]
    path.write_bytes(struct.pack("<4sII", b"glTF", 2, 12 + len(rest)) + rest)
    return path


def test_a_good_file_passes(written: Path, due: tuple[Due, ...]) -> None:
    assert failing(due, written) == set()


def test_the_ball_comes_back_upright(written: Path) -> None:
    # the cylinder is 18 mm long along z
    np.testing.assert_allclose(read_glb(written).bodies[0].bounds_mm[:, 2], [-9, 9], atol=1e-6)


@pytest.mark.parametrize(
    ("change", "seen"),
    [
        (lambda tree: tree["nodes"][0].update(scale=[1.01] * 3), {"volume", "bounding box"}),
        (lambda tree: tree["nodes"][0].update(translation=[0, 0.001, 0]), {"centroid"}),
        (lambda tree: tree["nodes"][1].update(name="cover"), {"name"}),
        (lambda tree: tree["scenes"][0].update(nodes=[0]), {"bodies"}),
        (
            lambda tree: tree["materials"][0]["pbrMetallicRoughness"].update(
                baseColorFactor=[0.47, 0.064803, 0.023153, 1.0]
            ),
            {"colour"},
        ),
    ],
    ids=["scaled", "moved", "renamed", "left out", "another colour"],
)
def test_a_changed_file_is_seen(
    change: Callable[[dict[str, Any]], object],
    seen: set[str],
    written: Path,
    due: tuple[Due, ...],
) -> None:
    assert seen <= failing(due, edited(written, change))


def test_a_mesh_coarser_than_stated_is_seen(written: Path, due: tuple[Due, ...]) -> None:
    rows = compare_glb("d.glb", due, read_glb(written), 1e-4)
    assert {row.quantity for row in rows if not row.passed} == {"chord"}


def test_a_file_cut_short_is_refused(written: Path) -> None:
    written.write_bytes(written.read_bytes()[:-400])
    with pytest.raises(KernelFault, match=r"d\.glb cannot be read back"):
        read_glb(written)


def test_what_is_no_glb_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "x.glb").write_text("none")
    with pytest.raises(KernelFault, match=r"x\.glb cannot be read back"):
        read_glb(tmp_path / "x.glb")
