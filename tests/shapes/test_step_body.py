"""Bodies from STEP files that no kernel wrote, and from gmsh's writer; each refusal once.

Gmsh's geometry is an earlier release of the kernel that reads here; the files of
`tests.reference.written_step` are written line by line.
"""

from __future__ import annotations

from importlib.metadata import files
from math import pi
from pathlib import Path

import gmsh
import numpy as np
import pytest

from shapes.attachment import Attachment
from shapes.errors import ShapeError
from shapes.moments import rgs_mm
from shapes.step_body import StepBody
from tests.reference.gaps import gaps
from tests.reference.kernel_quadrature import by_gauss_kronrod
from tests.reference.written_step import CUBE_FACES, SCHEMAS, assembly, body

INSIDE_OUT = [face[::-1] for face in CUBE_FACES]
BALL = {
    "Inner core": ((60.0, 50.0, 80.0), (0.0, 0.0, -40.0)),
    "Disc": ((10.0, 20.0, 30.0), (5.0, 6.0, 7.0)),
}


def step(data: bytes, product: str = "", heal: str = "no") -> StepBody:
    return StepBody(Attachment("core.step", data), product, heal)


@pytest.mark.parametrize("protocol", SCHEMAS)
def test_a_block_of_every_protocol_weighs_as_the_handbook_says(protocol: str) -> None:
    found = step(body(protocol=protocol))
    found.prove()
    moments = found.moments()
    assert moments.volume_mm3 == pytest.approx(240_000.0, rel=1e-12)
    assert moments.centroid_mm() == pytest.approx([30.0, 25.0, 40.0])
    due = 240_000.0 * np.array([3600.0, 2500.0, 6400.0]) / 12.0
    assert np.diag(moments.central_second_mm5()) == pytest.approx(due)
    assert not found.exact


@pytest.mark.parametrize(("unit", "mm"), [("in", 25.4), ("cm", 10.0), ("m", 1000.0)])
def test_the_unit_of_the_file_is_honoured(unit: str, mm: float) -> None:
    moments = step(body(size=(1.0, 2.0, 3.0), unit=unit)).moments()
    assert moments.volume_mm3 == pytest.approx(6.0 * mm**3, rel=1e-12)


def test_a_product_of_an_assembly_is_taken_where_it_stands() -> None:
    moments = step(assembly(BALL), "Disc").moments()
    assert moments.volume_mm3 == pytest.approx(6000.0)
    assert moments.centroid_mm() == pytest.approx([10.0, 16.0, 22.0])
    inches = {name: (size, at) for name, (size, at) in BALL.items()}
    moments = step(assembly(inches, unit="in"), "Inner core").moments()
    assert moments.volume_mm3 == pytest.approx(240_000.0 * 25.4**3)


@pytest.mark.parametrize(
    ("data", "product", "field", "says"),
    [
        (assembly(BALL), "", "product", "choose one of the products 'Disc', 'Inner core'"),
        (assembly(BALL), "Innercore", "product", "did you mean 'Inner core'?"),
        (body(faces=CUBE_FACES[:5]), "", "file", "4 edges belong to one face only, the longest of"),
        (body(as_solid=False), "", "file", "holds 6 faces and no solid"),
        (body(faces=INSIDE_OUT), "", "file", "inside out"),
        (b"ISO-10303-21; rubbish", "", "file", "no STEP file that can be read"),
        (b"", "", "file", "no STEP file that can be read"),
        (body()[:2000], "", "file", "no STEP file that can be read"),
        (body(size=(60.0, 50.0, 1e-9)), "", "file", "not valid"),
    ],
)
def test_what_is_not_one_sound_solid_is_refused(
    data: bytes, product: str, field: str, says: str, capfd: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(ShapeError) as told:
        step(data, product).prove()
    assert told.value.field == field
    assert says in str(told.value)
    assert capfd.readouterr() == ("", "")  # the kernel's own messages stay off the terminal


def test_faces_are_sewn_and_solids_turned_only_when_asked_and_said() -> None:
    sewn = step(body(as_solid=False), heal="yes")
    assert sewn.moments().volume_mm3 == pytest.approx(240_000.0)
    assert "6 faces of core.step were sewn into a solid" in sewn.note
    turned = step(body(faces=INSIDE_OUT), heal="yes")
    assert turned.moments().volume_mm3 == pytest.approx(240_000.0)
    assert "turned right side out" in turned.note
    assert step(body(), heal="yes").note == ""


def test_what_stays_open_is_refused_though_mending_was_asked_for() -> None:
    with pytest.raises(ShapeError, match="stay open when sewn"):
        step(body(faces=CUBE_FACES[:5], as_solid=False), heal="yes").prove()


@pytest.fixture(scope="module")
def barbell(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """A cylinder with a ball fused to its end, by gmsh."""
    path = tmp_path_factory.mktemp("gmsh") / "barbell.step"
    gmsh.initialize()
    try:
        gmsh.option.setNumber("General.Terminal", 0)
        bar = gmsh.model.occ.addCylinder(0, 0, -50, 0, 0, 100, 20)
        ball = gmsh.model.occ.addSphere(0, 0, 50, 30)
        gmsh.model.occ.fuse([(3, bar)], [(3, ball)])
        gmsh.model.occ.synchronize()
        gmsh.write(str(path))
    finally:
        gmsh.finalize()
    return Path(path).read_bytes()


def test_a_solid_of_gmsh_weighs_as_the_sum_of_cylinder_and_cap(barbell: bytes) -> None:
    """The bar up to where it enters the ball, and the ball less the cap within the bar."""
    found = step(barbell)
    enters = 50.0 - (30.0**2 - 20.0**2) ** 0.5
    high = 30.0 - (50.0 - enters)
    cap = pi * high**2 * (3 * 30.0 - high) / 3
    due = pi * 20.0**2 * (enters + 50.0) + 4 / 3 * pi * 30.0**3 - cap
    assert found.moments().volume_mm3 == pytest.approx(due, rel=1e-9)
    assert found.rg_error_mm() < 1e-6


def test_a_solid_of_gmsh_by_gauss_kronrod(barbell: bytes) -> None:
    found = step(barbell)
    gap = gaps(found.moments(), by_gauss_kronrod(found.solid()))
    assert gap.rg_in <= 1e-8
    assert gap.volume <= 1e-8


def test_reach_support_and_inside_are_those_of_the_solid(barbell: bytes) -> None:
    found = step(barbell)
    assert found.reach_mm(np.zeros(3)) == pytest.approx(80.0, abs=0.05)
    assert found.reach_mm(np.zeros(3)) >= 80.0
    assert found.support_mm(np.array([1.0, 0.0, 0.0])) == pytest.approx(30.0, abs=0.05)
    points = np.array([[0, 0, 79.9], [0, 0, 80.1], [19.9, 0, 0], [20.1, 0, 0], [29.9, 0, 50.0]])
    assert found.contains(points).tolist() == [True, False, True, False, True]


@pytest.mark.parametrize("turned", range(6))
def test_a_single_face_that_looks_inwards_is_not_mended_unasked(turned: int) -> None:
    faces = [face[::-1] if k == turned else face for k, face in enumerate(CUBE_FACES)]
    with pytest.raises(ShapeError, match="faces that contradict each other"):
        step(body(faces=faces)).prove()
    healed = step(body(faces=faces), heal="yes")
    assert healed.moments().volume_mm3 == pytest.approx(240_000.0)
    assert "contradict" in healed.note


def test_a_comment_does_not_hide_that_a_solid_is_inside_out() -> None:
    data = body(faces=INSIDE_OUT).replace(b"SOLID_BREP(", b"SOLID_BREP /* by hand */ (")
    with pytest.raises(ShapeError, match="inside out"):
        step(data).prove()


def test_an_open_file_of_another_system_weighs_as_the_handbook_says() -> None:
    """An assembly that comes with Gmsh, each half-circle one rational span, no parameter curves.

    Its rod is a cylinder of 10 by 200 mm: k_z = r / sqrt(2), k_x = sqrt(r^2 / 4 + h^2 / 12).
    """
    (file,) = [f for f in files("gmsh") or [] if str(f).endswith("api/as1-tu-203.stp")]
    data = Path(str(file.locate())).read_bytes()
    rod = step(data, "rod").moments()
    assert rod.volume_mm3 == pytest.approx(pi * 25.0 * 200.0, rel=1e-11)
    across = (25.0 / 4.0 + 200.0**2 / 12.0) ** 0.5
    assert rgs_mm(rod) == pytest.approx([5.0 / 2.0**0.5, across, across], abs=1e-8)
    with pytest.raises(ShapeError, match="uses the product 'nut' 8 times"):
        step(data, "nut").prove()
