"""DXF files read back: areas by closed forms, and each way to spoil a file is seen."""

from __future__ import annotations

from math import pi
from pathlib import Path

import cadquery as cq
import numpy as np
import pytest

from pipeline.dxf_back import DxfDue, compare_dxf, due_of_section, read_dxf
from pipeline.dxf_out import DxfLayer, half_section, outline, write_dxf
from pipeline.errors import KernelFault
from shapes.curves import Arc, Line
from shapes.profile import Profile

BALL = Profile((Arc((0.0, 3.0), (20.0, 20.0), -pi / 2.0, pi),))
RING = Profile((Arc((30.0, 5.0), (10.0, 4.0), 0.0, 2.0 * pi),))
X, Y, Z = np.eye(3)


@pytest.fixture
def ball(tmp_path: Path) -> Path:
    write_dxf(tmp_path / "ball.dxf", half_section(BALL))
    return tmp_path / "ball.dxf"


def failing(path: Path, profile: Profile = BALL) -> set[str]:
    rows = compare_dxf(path.name, due_of_section(profile), read_dxf(path))
    return {row.quantity for row in rows if not row.passed}


def edited(path: Path, old: str, new: str) -> Path:
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new), "utf-8")
    return path


def test_a_half_section_has_the_area_of_a_half_disc(ball: Path) -> None:
    (axis, contour) = sorted(read_dxf(ball).layers, key=lambda one: one.layer)
    assert axis.layer == "AXIS"
    assert contour.area_mm2 == pytest.approx(200.0 * pi, rel=1e-6)


def test_a_good_file_passes(ball: Path) -> None:
    assert failing(ball) == set()


def test_a_ring_passes(tmp_path: Path) -> None:
    write_dxf(tmp_path / "ring.dxf", half_section(RING))
    assert failing(tmp_path / "ring.dxf", RING) == set()


def test_the_area_that_is_due_to_a_ring_is_that_of_its_ellipse() -> None:
    assert due_of_section(RING)[0].area_mm2 == pytest.approx(40.0 * pi)


def test_inches_are_seen(ball: Path) -> None:
    assert failing(edited(ball, "$INSUNITS\n 70\n4\n", "$INSUNITS\n 70\n1\n")) == {"unit"}


def test_another_radius_is_seen(ball: Path) -> None:
    text = ball.read_text("utf-8")
    assert "\n 40\n20.0\n" in text
    assert {"area", "closed"} & failing(edited(ball, "\n 40\n20.0\n", "\n 40\n20.01\n"))


def test_a_renamed_layer_is_seen(ball: Path) -> None:
    assert failing(edited(ball, "\nCONTOUR\n", "\nOUTLINE\n")) == {"layers"}


def test_an_open_contour_is_seen(tmp_path: Path) -> None:
    contour, axis = half_section(BALL)
    short = DxfLayer(contour.name, contour.curves[:1])
    write_dxf(tmp_path / "open.dxf", [short, axis])
    assert failing(tmp_path / "open.dxf") == {"closed", "area"}


def test_a_hole_is_taken_off(tmp_path: Path) -> None:
    solid = cq.Workplane().box(40, 20, 6).edges("|Z").fillet(5).faces(">Z").hole(8).val()
    layer = outline(cq.Workplane(solid).faces(">Z").edges().vals(), 3.0 * Z, X, Y)
    write_dxf(tmp_path / "plate.dxf", [layer])
    # a rectangle less its corners, (4 - pi) r^2, less the hole
    area = 40.0 * 20.0 - (4.0 - pi) * 25.0 - 16.0 * pi
    due = DxfDue(layer, np.array([[-20.0, -10.0], [20.0, 10.0]]), area)
    rows = compare_dxf("plate.dxf", [due], read_dxf(tmp_path / "plate.dxf"))
    assert all(row.passed for row in rows)


def test_an_island_in_a_hole_counts_again(tmp_path: Path) -> None:
    circles = tuple(
        curve
        for radius in (3.0, 30.0, 10.0)
        for curve in half_section(Profile((Arc((50.0, 0.0), (radius, radius), 0.0, 2.0 * pi),)))[
            0
        ].curves
    )
    write_dxf(tmp_path / "rings.dxf", [DxfLayer("a", circles)])
    (found,) = read_dxf(tmp_path / "rings.dxf").layers
    assert found.area_mm2 == pytest.approx((900.0 - 100.0 + 9.0) * pi, rel=1e-6)


def test_a_line_by_itself_has_bounds_and_no_area(tmp_path: Path) -> None:
    write_dxf(tmp_path / "a.dxf", [DxfLayer("a", (Line((1.0, 2.0), (4.0, 8.0)),))])
    (found,) = read_dxf(tmp_path / "a.dxf").layers
    assert (found.closed, found.area_mm2) == (False, 0.0)
    np.testing.assert_array_equal(found.bounds_mm, [[1.0, 2.0], [4.0, 8.0]])


def test_what_is_no_dxf_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "x.dxf").write_text("none")
    with pytest.raises(KernelFault, match=r"x\.dxf cannot be read back"):
        read_dxf(tmp_path / "x.dxf")


def test_a_file_cut_short_is_refused(ball: Path) -> None:
    ball.write_text(ball.read_text("utf-8")[:9000], "utf-8")
    with pytest.raises(KernelFault, match="cannot be read back"):
        read_dxf(ball)
