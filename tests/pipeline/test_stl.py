"""STL files: held against numpy-stl's own integrals, and read back by trimesh."""

from __future__ import annotations

import struct
from pathlib import Path

import numpy as np
import pytest
from stl.mesh import Mesh

from pipeline.meshes import left_out
from pipeline.stl import joined, read_stl, write_stl
from shapes.facets import Facets, facets_of
from shapes.sphere import Sphere

HEADER = "mm; chord <= 0.05 mm"
RADIUS = 20.0


@pytest.fixture(scope="module")
def ball() -> Facets:
    return facets_of(Sphere(2.0 * RADIUS).solid())


@pytest.fixture(scope="module")
def written(ball: Facets, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("stl") / "ball_mm.stl"
    write_stl(ball, path, HEADER)
    return path


def moved(facets: Facets, by: float) -> Facets:
    return Facets(facets.corners_mm + by, facets.triangles, facets.sags_mm)


def test_the_file_is_as_long_as_its_count_says(written: Path, ball: Facets) -> None:
    assert written.stat().st_size == 84 + 50 * len(ball.triangles)


def test_the_header_is_ours_alone(written: Path) -> None:
    assert written.read_bytes()[:80] == HEADER.encode().ljust(80)


def test_the_same_mesh_gives_the_same_bytes(written: Path, ball: Facets, tmp_path: Path) -> None:
    write_stl(ball, tmp_path / "again.stl", HEADER)
    assert (tmp_path / "again.stl").read_bytes() == written.read_bytes()


def test_its_volume_by_numpy_stl_is_that_of_a_ball(written: Path, ball: Facets) -> None:
    volume, _, _ = Mesh.from_file(str(written)).get_mass_properties()
    # an inscribed mesh lacks less than a shell as thick as its sag
    shell = 4.0 * np.pi * RADIUS**2 * ball.sag_mm
    assert 0.0 < 4.0 / 3.0 * np.pi * RADIUS**3 - volume < shell


def test_normals_have_length_one_and_point_outwards(written: Path) -> None:
    mesh = Mesh.from_file(str(written), calculate_normals=False)
    out = mesh.vectors.mean(axis=1) / RADIUS
    assert np.einsum("ij,ij->i", mesh.normals, out).min() > 0.98


@pytest.mark.parametrize("header", ["solid ball", "x" * 81, "Ø"])
def test_a_header_that_readers_would_misread_is_refused(
    header: str, ball: Facets, tmp_path: Path
) -> None:
    with pytest.raises(ValueError, match="no header"):
        write_stl(ball, tmp_path / "a.stl", header)


def test_what_is_read_back_is_closed(written: Path) -> None:
    assert read_stl(written).closed


def test_what_is_read_back_has_the_volume_that_numpy_stl_finds(written: Path) -> None:
    volume, _, _ = Mesh.from_file(str(written)).get_mass_properties()
    assert read_stl(written).moments.volume_mm3 == pytest.approx(volume, rel=1e-6)


def test_a_file_cut_short_is_not_whole(written: Path, tmp_path: Path) -> None:
    short = tmp_path / "short.stl"
    short.write_bytes(written.read_bytes()[:-5000])
    assert read_stl(short).moments.volume_mm3 == 0.0


@pytest.mark.parametrize("size", [0, 10, 83, 84])
def test_a_file_of_almost_nothing_is_not_closed(size: int, tmp_path: Path) -> None:
    path = tmp_path / "stub.stl"
    path.write_bytes(bytes(size))
    assert not read_stl(path).closed


def test_a_missing_triangle_is_seen(written: Path, tmp_path: Path) -> None:
    data = written.read_bytes()
    count = struct.unpack_from("<I", data, 80)[0] - 1
    holed = tmp_path / "holed.stl"
    holed.write_bytes(data[:80] + struct.pack("<I", count) + data[84:-50])
    assert not read_stl(holed).closed


def test_two_lumps_are_one_closed_file(ball: Facets, tmp_path: Path) -> None:
    write_stl(joined([ball, moved(ball, 50.0)]), tmp_path / "two.stl", HEADER)
    assert read_stl(tmp_path / "two.stl").closed


def test_two_lumps_weigh_twice_one(ball: Facets, tmp_path: Path, written: Path) -> None:
    write_stl(joined([ball, moved(ball, 50.0)]), tmp_path / "two.stl", HEADER)
    one, two = read_stl(written), read_stl(tmp_path / "two.stl")
    assert two.moments.volume_mm3 == pytest.approx(2.0 * one.moments.volume_mm3, rel=1e-5)


def test_what_triangles_leave_out_is_bounded(ball: Facets, written: Path) -> None:
    missing = 4.0 / 3.0 * np.pi * RADIUS**3 - read_stl(written).moments.volume_mm3
    assert missing < left_out(ball, np.zeros(3))[0] < 3.0 * missing
