"""Bodies from STL and 3MF files, the good and the bad, written by others than the reader."""

from __future__ import annotations

import io
import zipfile

import numpy as np
import pytest
import trimesh
from stl import Mode
from stl.mesh import Mesh

from shapes.attachment import Attachment
from shapes.boundary import moments_of_solid
from shapes.errors import ShapeError, SolidError
from shapes.mesh_body import MeshBody
from tests.reference.gaps import gaps

BALL = trimesh.creation.icosphere(3, 40.0)
ONE_UNIT = "its unit is 25.4 mm"


def body(data: bytes, unit: str = "mm") -> MeshBody:
    return MeshBody(Attachment("core.stl", data), unit)


def binary(mesh: trimesh.Trimesh) -> bytes:
    return bytes(mesh.export(file_type="stl"))


def three_mf(
    mesh: trimesh.Trimesh, *, unit: str = "millimeter", builds: int = 1, transform: str = ""
) -> bytes:
    """A package written by hand after the 3MF core specification."""
    points = "".join(f'<vertex x="{x}" y="{y}" z="{z}"/>' for x, y, z in mesh.vertices)
    faces = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in mesh.faces)
    core = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
    moved = f' transform="{transform}"' if transform else ""
    items = f'<item objectid="2"{moved}/>' * builds
    model = (
        f'<?xml version="1.0"?><model unit="{unit}" xmlns="{core}"><resources>'
        f'<object id="1" type="model" name="core"><mesh><vertices>{points}</vertices>'
        f"<triangles>{faces}</triangles></mesh></object>"
        '<object id="2" type="model"><components><component objectid="1" '
        'transform="0 1 0 -1 0 0 0 0 1 0 0 0"/></components></object>'
        f"</resources><build>{items}</build></model>"
    )
    links = (
        '<?xml version="1.0"?><Relationships '
        'xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
        '<Relationship Target="/3D/3dmodel.model" Id="r0" '
        'Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>'
    )
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as package:
        package.writestr("_rels/.rels", links)
        package.writestr("3D/3dmodel.model", model)
    return packed.getvalue()


def test_binary_and_ascii_stl_weigh_as_trimesh_says() -> None:
    for data in (binary(BALL), str(BALL.export(file_type="stl_ascii")).encode()):
        moments = body(data).moments()
        assert moments.volume_mm3 == pytest.approx(BALL.volume, rel=1e-6)  # floats of 4 bytes
        size = float(np.abs(BALL.moment_inertia).max())
        assert moments.inertia_mm5() == pytest.approx(BALL.moment_inertia, abs=1e-6 * size)


def test_a_binary_file_that_calls_itself_solid_is_still_binary() -> None:
    mesh = Mesh(np.zeros(len(BALL.faces), dtype=Mesh.dtype))
    mesh.vectors[:] = BALL.triangles
    written = io.BytesIO()
    mesh.save("solid core", fh=written, mode=Mode.BINARY)
    assert body(written.getvalue()).moments().volume_mm3 == pytest.approx(BALL.volume, rel=1e-6)


@pytest.mark.parametrize(("unit", "mm"), [("mm", 1.0), ("cm", 10.0), ("in", 25.4), ("m", 1000.0)])
def test_the_unit_is_taken_as_given(unit: str, mm: float) -> None:
    moments = body(binary(BALL), unit).moments()
    assert moments.volume_mm3 == pytest.approx(BALL.volume * mm**3, rel=1e-6)


def test_3mf_with_a_component_and_transforms() -> None:
    block = trimesh.creation.box((10.0, 20.0, 30.0))
    data = three_mf(block, transform="1 0 0 0 1 0 0 0 1 5 6 7")
    moments = body(data).moments()
    assert moments.volume_mm3 == pytest.approx(6000.0, rel=1e-12)
    assert moments.centroid_mm() == pytest.approx([5.0, 6.0, 7.0])
    # turned by a quarter about Z, so that x and y have changed places
    assert np.diag(moments.central_second_mm5()) == pytest.approx(
        6000.0 * np.array([400.0, 100.0, 900.0]) / 12.0
    )


def test_3mf_in_inches_must_be_asked_for_in_inches() -> None:
    data = three_mf(trimesh.creation.box((1.0, 2.0, 3.0)), unit="inch")
    assert body(data, "in").moments().volume_mm3 == pytest.approx(6.0 * 25.4**3)
    with pytest.raises(ShapeError, match=ONE_UNIT) as told:
        body(data, "mm")
    assert told.value.field == "unit"


def test_its_solid_weighs_the_same_by_the_boundary_route() -> None:
    one = body(binary(trimesh.creation.icosphere(2, 40.0)))
    gap = gaps(moments_of_solid(one.solid()), one.moments())
    assert gap.rg_in < 1e-12
    assert gap.volume < 1e-12


def test_a_mesh_too_fine_for_a_solid_still_weighs() -> None:
    one = body(binary(trimesh.creation.icosphere(6, 40.0)))
    assert one.moments().volume_mm3 > 0.0
    with pytest.raises(SolidError, match="too fine"):
        one.solid()


def altered(change: str) -> bytes:
    """The ball with something wrong."""
    corners = BALL.triangles.copy()
    if change == "a triangle is missing":
        corners = corners[1:]
    elif change == "a triangle is turned":
        corners[7] = corners[7][::-1]
    elif change == "inside out":
        corners = corners[:, ::-1]
    elif change == "two bodies":
        corners = np.concatenate([corners, corners * 0.5 + (100.0, 0.0, 0.0)])
    elif change == "a hollow":
        corners = np.concatenate([corners, corners[:, ::-1] * 0.5])
    elif change == "twice":
        corners = np.concatenate([corners, corners])
    elif change == "a sliver":
        corners[5, 2] = corners[5, 1]
    elif change == "not a number":
        corners[5, 2, 1] = np.nan
    elif change == "flat":
        corners = corners * (1.0, 1.0, 0.0)
    mesh = Mesh(np.zeros(len(corners), dtype=Mesh.dtype))
    mesh.vectors[:] = corners
    written = io.BytesIO()
    mesh.save("core", fh=written, mode=Mode.BINARY, update_normals=False)
    return written.getvalue()


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ("a triangle is missing", "is open: 3 edges belong to one triangle only, the first at ("),
        ("a triangle is turned", "across 3 edges two triangles face opposite ways"),
        ("inside out", "is inside out: its triangles run clockwise"),
        ("two bodies", "holds 2 separate closed surfaces, not one (2"),
        ("a hollow", "holds 2 separate closed surfaces"),
        ("twice", "belong to more than two triangles"),
        ("a sliver", "holds 1 triangles without area"),
        ("not a number", "no finite numbers"),
        ("flat", "without area"),
    ],
)
def test_what_is_not_one_closed_body_is_refused_and_not_mended(change: str, says: str) -> None:
    with pytest.raises(ShapeError) as told:
        body(altered(change))
    assert told.value.field == "file"
    assert says in str(told.value)


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "0 bytes are neither STL nor 3MF"),
        (binary(BALL)[:-30], "it may be cut off"),
        (str(BALL.export(file_type="stl_ascii")).encode()[:-400], "are whole: it is cut off"),
        (b"PK\x03\x04 and then nothing", "packed like a 3MF file but is none"),
        (three_mf(BALL, builds=2), "builds 2 meshes, not one"),
        (three_mf(BALL, builds=0), "builds 0 meshes"),
        (three_mf(BALL, unit="furlong"), "unknown unit 'furlong'"),
        (three_mf(BALL, transform="1 2 3"), "the transform '1 2 3'; twelve numbers"),
        (b"x" * 200, "neither ASCII STL nor 3MF"),
    ],
)
def test_what_is_no_mesh_file_is_told(data: bytes, says: str) -> None:
    with pytest.raises(ShapeError) as told:
        body(data)
    assert says in str(told.value)


def test_3mf_entities_are_not_followed() -> None:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as package:
        package.writestr("_rels/.rels", '<!DOCTYPE a [<!ENTITY b "c">]><a>&b;</a>')
    with pytest.raises(ShapeError, match="document type"):
        body(packed.getvalue())


def packed(model: bytes, find: bytes, put: bytes) -> bytes:
    """A package with its model part changed."""
    found = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(model)) as old,
        zipfile.ZipFile(found, "w") as new,
    ):
        for name in old.namelist():
            new.writestr(name, old.read(name).replace(find, put, 1))
    return found.getvalue()


@pytest.mark.parametrize(
    ("find", "put", "says"),
    [
        (b"<model ", b'<model requiredextensions="b" ', "asks for extensions"),
        (b'type="model" name', b'type="support" name', "type 'support'"),
        (b'"0 1 0 -1 0 0 0 0 1 0 0 0"', b'"0 1 x"', "twelve numbers"),
    ],
)
def test_what_a_3mf_file_asks_beyond_a_mesh_is_refused(find: bytes, put: bytes, says: str) -> None:
    with pytest.raises(ShapeError, match=says):
        body(packed(three_mf(BALL), find, put))


@pytest.mark.parametrize(("offset", "value"), [((6, 8), 1), ((8, 10), 99)])
def test_an_encrypted_or_strangely_packed_3mf_file_is_refused(
    offset: tuple[int, int], value: int
) -> None:
    data = bytearray(three_mf(BALL))
    for mark, shift in zip((b"PK\x03\x04", b"PK\x01\x02"), offset, strict=True):
        at = data.find(mark)
        while at >= 0:
            data[at + shift] = value
            at = data.find(mark, at + 4)
    with pytest.raises(ShapeError, match="packed like a 3MF file but is none"):
        body(bytes(data))
