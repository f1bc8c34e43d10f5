"""3MF files: read by lib3mf, the reference implementation, and measured there."""

from __future__ import annotations

import zipfile
from dataclasses import replace
from pathlib import Path
from typing import Any

import lib3mf
import numpy as np
import pytest

from pipeline.comparison import Due
from pipeline.errors import KernelFault
from pipeline.meshes import MeshPart
from pipeline.threemf import compare_3mf, read_3mf, write_3mf
from shapes.facets import Facets, facets_of, moments_of_facets
from shapes.mesh_files import meshes_in_3mf
from shapes.moments import Array, Moments
from shapes.sphere import Sphere

NAMES = ("Brachvögel's <core>", 'the "核心" & \U0001f3b3')
COLOURS = ("#B5482A", "#1F4E5F")
CHORD_MM = 0.06


@pytest.fixture(scope="module")
def parts() -> tuple[MeshPart, ...]:
    meshes = (facets_of(Sphere(20.0).solid()), facets_of(Sphere(30.0).solid()))
    lifted = Facets(meshes[1].corners_mm + 7.0 / 3.0, meshes[1].triangles, meshes[1].sags_mm)
    return tuple(
        MeshPart(name, colour, mesh)
        for name, colour, mesh in zip(NAMES, COLOURS, (meshes[0], lifted), strict=True)
    )


@pytest.fixture(scope="module")
def written(parts: tuple[MeshPart, ...], tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("threemf") / "dunlin.3mf"
    write_3mf(parts, path, "Dunlin & more")
    return path


@pytest.fixture(scope="module")
def due(parts: tuple[MeshPart, ...]) -> tuple[Due, ...]:
    ball = 4.0 / 3.0 * np.pi
    moments = (
        Moments(ball * 10.0**3, np.zeros(3), np.eye(3) * ball * 10.0**5 / 5.0),
        Moments(ball * 15.0**3, np.zeros(3), np.eye(3) * ball * 15.0**5 / 5.0).moved(
            np.full(3, 7.0 / 3.0)
        ),
    )
    return tuple(
        Due(part.name, part.colour, one, part.facets)
        for part, one in zip(parts, moments, strict=True)
    )


@pytest.fixture(scope="module")
def model(written: Path) -> Any:
    """The file as lib3mf has it, which refuses in strict mode what the specification forbids."""
    found = lib3mf.get_wrapper().CreateModel()
    reader = found.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(str(written))
    assert reader.GetWarningCount() == 0
    return found


def objects(model: Any) -> list[Any]:
    """The mesh objects in the order of the build."""
    items = model.GetBuildItems()
    found = []
    while items.MoveNext():
        found.append(model.GetMeshObjectByID(items.GetCurrent().GetObjectResourceID()))
    return found


def corners_and_triangles(mesh: Any) -> tuple[Array, Any]:
    corners = np.array([tuple(v.Coordinates) for v in mesh.GetVertices()], dtype=float)
    return corners, np.array([tuple(t.Indices) for t in mesh.GetTriangleIndices()], dtype=np.int64)


def test_lib3mf_finds_millimetres(model: Any) -> None:
    assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter


def test_lib3mf_finds_the_names_in_the_order_of_the_build(model: Any) -> None:
    assert tuple(mesh.GetName() for mesh in objects(model)) == NAMES


def test_lib3mf_finds_the_title(model: Any) -> None:
    data = model.GetMetaDataGroup()
    found = {data.GetMetaData(k).GetName(): data.GetMetaData(k).GetValue() for k in (0, 1)}
    assert found == {"Title": "Dunlin & more", "Application": "corewright"}


def test_lib3mf_finds_the_colours(model: Any) -> None:
    found = []
    for mesh in objects(model):
        group, index, given = mesh.GetObjectLevelProperty()
        assert given
        colour = model.GetBaseMaterialGroupByID(group).GetDisplayColor(index)
        found.append(f"#{colour.Red:02X}{colour.Green:02X}{colour.Blue:02X}")
    assert tuple(found) == COLOURS


def test_lib3mf_finds_the_triangles_closed(model: Any, parts: tuple[MeshPart, ...]) -> None:
    for mesh, part in zip(objects(model), parts, strict=True):
        assert mesh.IsManifoldAndOriented()
        assert mesh.GetTriangleCount() == len(part.facets.triangles)


def test_lib3mf_finds_the_volume(model: Any, parts: tuple[MeshPart, ...]) -> None:
    for mesh, part in zip(objects(model), parts, strict=True):
        corners, triangles = corners_and_triangles(mesh)
        a, b, c = (corners[triangles[:, k]] for k in range(3))
        volume = float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6.0)
        # lib3mf keeps coordinates in single precision
        due = moments_of_facets(part.facets).volume_mm3
        assert volume == pytest.approx(due, rel=1e-6)


def test_every_corner_is_where_it_was_to_a_millionth(
    written: Path, parts: tuple[MeshPart, ...]
) -> None:
    for mesh, part in zip(meshes_in_3mf(written.read_bytes())[0], parts, strict=True):
        np.testing.assert_allclose(mesh.corners_mm, part.facets.corners_mm, atol=0.51e-6, rtol=0)


def test_the_same_bodies_give_the_same_bytes(
    written: Path, parts: tuple[MeshPart, ...], tmp_path: Path
) -> None:
    write_3mf(parts, tmp_path / "again.3mf", "Dunlin & more")
    assert (tmp_path / "again.3mf").read_bytes() == written.read_bytes()


def failing(due: tuple[Due, ...], path: Path) -> set[str]:
    rows = compare_3mf(path.name, due, read_3mf(path), CHORD_MM)
    return {row.quantity for row in rows if not row.passed}


def edited(path: Path, to: Path, old: str, new: str) -> Path:
    """The same package with its model changed."""
    with zipfile.ZipFile(path) as package, zipfile.ZipFile(to, "w") as other:
        for name in package.namelist():
            text = package.read(name).decode()
            if name.endswith(".model"):
                assert old in text
                text = text.replace(old, new, 1)
            other.writestr(name, text)
    return to


def test_a_good_file_passes(written: Path, due: tuple[Due, ...]) -> None:
    assert failing(due, written) == set()


@pytest.mark.parametrize(
    ("old", "new", "seen"),
    [
        ('unit="millimeter"', 'unit="inch"', {"unit", "volume", "centroid", "bounding box"}),
        ('displaycolor="#B5482A"', 'displaycolor="#B5482B"', {"colour"}),
        ('type="model" name="Brach', 'type="model" name="Brech', {"name"}),
        ('<item objectid="2"/>', "", {"bodies"}),
        ('<triangle v1="0"', '<triangle v1="1"', {"closed"}),
    ],
)
def test_a_changed_file_is_seen(
    old: str, new: str, seen: set[str], written: Path, due: tuple[Due, ...], tmp_path: Path
) -> None:
    assert seen <= failing(due, edited(written, tmp_path / "x.3mf", old, new))


def test_a_mesh_coarser_than_stated_is_seen(written: Path, due: tuple[Due, ...]) -> None:
    rows = compare_3mf("x.3mf", due, read_3mf(written), 1e-4)
    assert {row.quantity for row in rows if not row.passed} == {"chord"}


def test_what_is_no_3mf_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "x.3mf").write_text("none")
    with pytest.raises(KernelFault, match=r"x\.3mf cannot be read back"):
        read_3mf(tmp_path / "x.3mf")


def test_a_colour_in_small_letters_is_written_in_capitals(
    parts: tuple[MeshPart, ...], tmp_path: Path
) -> None:
    write_3mf([replace(parts[0], colour="#b5482a")], tmp_path / "x.3mf", "x")
    assert read_3mf(tmp_path / "x.3mf").bodies[0].colour == "#B5482A"
