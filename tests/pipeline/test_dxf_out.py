"""DXF files: read by ezdxf's own tools and by our reader of half-sections, held by closed forms."""

from __future__ import annotations

import os
import subprocess
import sys
from math import pi
from pathlib import Path
from typing import Any

import cadquery as cq
import ezdxf
import numpy as np
import pytest
from ezdxf import recover
from OCP.BRepBuilderAPI import BRepBuilderAPI_NurbsConvert
from scipy.spatial import cKDTree

from pipeline.dxf_out import CONTOUR, PARTING, DxfLayer, half_section, outline, write_dxf
from pipeline.errors import KernelFault
from shapes.curves import Arc, Bezier, Line
from shapes.dxf_profile import steps_in
from shapes.profile import Profile
from shapes.turned import Turned

ORIGIN, X, Y, Z = np.zeros(3), *np.eye(3)
CORE = Profile(
    (
        Line((0.0, -30.0), (20.0, -30.0)),
        Bezier(((20.0, -30.0), (25.0, -20.0), (30.0, -10.0), (20.0, 0.0))),
        Arc((12.0, 0.0), (8.0, 12.0), 0.0, pi / 2.0),  # the longer half axis upright
        Line((12.0, 12.0), (12.0, 20.0)),
        Arc((0.0, 20.0), (12.0, 12.0), 0.0, pi / 2.0),
    )
)
RING = Profile((Arc((30.0, 5.0), (10.0, 4.0), 0.0, 2.0 * pi),))


def drawn(path: Path, *layers: DxfLayer) -> Any:
    write_dxf(path, layers)
    drawing, auditor = recover.readfile(path)
    assert not auditor.errors
    assert not auditor.fixes
    return drawing


def kinds(drawing: Any, layer: str) -> list[str]:
    return [e.dxftype() for e in drawing.modelspace() if e.dxf.layer == layer]


@pytest.fixture(scope="module")
def core(tmp_path_factory: pytest.TempPathFactory) -> Any:
    return drawn(tmp_path_factory.mktemp("dxf") / "core.dxf", *half_section(CORE))


def test_the_file_is_r2010_in_metric_millimetres(core: Any) -> None:
    # DXF reference: AC1024, $INSUNITS 4, $MEASUREMENT 1
    header = core.header
    assert (core.dxfversion, header["$INSUNITS"], header["$MEASUREMENT"]) == ("AC1024", 4, 1)


def test_every_curve_is_of_its_own_kind(core: Any) -> None:
    assert kinds(core, CONTOUR) == ["LINE", "SPLINE", "ELLIPSE", "LINE", "ARC", "LINE"]


def test_the_axis_is_a_centre_line_that_stands_out_of_the_body(core: Any) -> None:
    (axis,) = core.query("LINE[layer=='AXIS']")
    assert core.layers.get("AXIS").dxf.linetype == "CENTER"
    assert (tuple(axis.dxf.start), tuple(axis.dxf.end)) == ((0.0, -35.0, 0.0), (0.0, 37.0, 0.0))


def test_curves_meet_end_to_end(core: Any) -> None:
    ends = []
    for entity in core.query("*[layer=='CONTOUR']"):
        if entity.dxftype() == "LINE":
            points = [entity.dxf.start, entity.dxf.end]
        else:
            points = list(entity.flattening(0.01))
        ends += [(round(p.x, 9) + 0.0, round(p.y, 9) + 0.0) for p in (points[0], points[-1])]
    assert all(ends.count(end) == 2 for end in ends)


def test_a_spline_passes_where_the_curve_does(core: Any) -> None:
    (spline,) = core.query("SPLINE")
    at = np.linspace(0.0, 1.0, 9)
    found = np.array([tuple(p)[:2] for p in spline.construction_tool().points(at)])
    np.testing.assert_allclose(found, np.transpose(CORE.curves[1].at(at)), atol=1e-12)


def test_a_ring_is_one_whole_ellipse(tmp_path: Path) -> None:
    drawing = drawn(tmp_path / "ring.dxf", *half_section(RING))
    (ellipse,) = drawing.query("*[layer=='CONTOUR']")
    assert (ellipse.dxf.start_param, ellipse.dxf.end_param) == (0.0, pytest.approx(2.0 * pi))


def test_our_own_reader_of_half_sections_finds_the_volume(tmp_path: Path) -> None:
    profile = Profile((CORE.curves[0], Line((20.0, -30.0), (20.0, 0.0)),
                       Arc((12.0, 0.0), (8.0, 8.0), 0.0, pi / 2.0), Line((12.0, 8.0), (12.0, 20.0)),
                       CORE.curves[4]))  # fmt: skip
    drawn(tmp_path / "core.dxf", *half_section(profile))
    read = Turned(steps_in((tmp_path / "core.dxf").read_bytes(), CONTOUR))
    due = profile.moments()
    assert read.moments().volume_mm3 == pytest.approx(due.volume_mm3, rel=1e-12)


def test_a_layer_has_the_colour_that_it_is_given(tmp_path: Path) -> None:
    layer = DxfLayer("a", (Line((0.0, 0.0), (1.0, 0.0)),), "#B5482A")
    drawing = drawn(tmp_path / "a.dxf", layer)
    assert tuple(drawing.layers.get("a").rgb) == (0xB5, 0x48, 0x2A)


def test_a_contour_without_a_colour_takes_the_reader_s_ink(core: Any) -> None:
    layer = core.layers.get(CONTOUR)
    assert (layer.rgb, layer.dxf.color) == (None, 7)


def test_the_same_layers_give_the_same_bytes(tmp_path: Path) -> None:
    for name in ("a.dxf", "b.dxf"):
        write_dxf(tmp_path / name, half_section(CORE))
    assert (tmp_path / "a.dxf").read_bytes() == (tmp_path / "b.dxf").read_bytes()


def test_the_library_s_own_setting_is_left_as_it_was(tmp_path: Path) -> None:
    write_dxf(tmp_path / "a.dxf", half_section(CORE))
    assert ezdxf.options.write_fixed_meta_data_for_testing is False


def test_the_drawing_opens_on_what_is_drawn(core: Any) -> None:
    assert core.header["$EXTMIN"][1] == pytest.approx(-35.0)
    assert core.header["$EXTMAX"][1] == pytest.approx(37.0)


def edges_of(solid: Any) -> list[cq.Edge]:
    return list(cq.Workplane(solid).faces(">Z").edges().vals())


def test_a_circle_of_the_kernel_is_a_circle(tmp_path: Path) -> None:
    edges = edges_of(cq.Solid.makeCylinder(7, 3, cq.Vector(1, 2, 0)))
    drawing = drawn(tmp_path / "c.dxf", outline(edges, Z * 3.0, X, Y))
    (circle,) = drawing.query(f"*[layer=='{PARTING}']")
    assert (circle.dxftype(), circle.dxf.radius) == ("CIRCLE", pytest.approx(7.0))
    assert tuple(circle.dxf.center)[:2] == pytest.approx((1.0, 2.0))


@pytest.mark.parametrize(("x", "y"), [(X, Y), (-Y, X), (X, -Y)], ids=["plain", "turned", "mirror"])
def test_a_block_with_round_corners_comes_out_in_the_frame(x: Any, y: Any, tmp_path: Path) -> None:
    solid = cq.Workplane().box(40, 20, 6).edges("|Z").fillet(5).val()
    drawing = drawn(tmp_path / "b.dxf", outline(edges_of(solid), Z * 3.0, x, y))
    assert sorted(kinds(drawing, PARTING)) == ["ARC"] * 4 + ["LINE"] * 4
    for arc in drawing.query("ARC"):
        # every corner bulges away from the middle
        middle = arc.construction_tool().vertices([(arc.dxf.start_angle + 45.0)])
        assert abs(next(iter(middle)).magnitude) > abs(arc.dxf.center.magnitude)


def test_an_ellipse_of_the_kernel_keeps_its_axes(tmp_path: Path) -> None:
    edge = cq.Edge.makeEllipse(9, 4, cq.Vector(1, 2, 3), cq.Vector(0, 0, -1), cq.Vector(1, 1, 0))
    drawing = drawn(tmp_path / "e.dxf", outline([edge], Z * 3.0, X, Y))
    (ellipse,) = drawing.query("ELLIPSE")
    assert ellipse.dxf.ratio == pytest.approx(4.0 / 9.0)
    assert ellipse.dxf.major_axis.magnitude == pytest.approx(9.0)


def test_part_of_an_ellipse_seen_from_below_ends_where_it_should(tmp_path: Path) -> None:
    edge = cq.Edge.makeEllipse(
        9, 4, cq.Vector(1, 2, 3), cq.Vector(0, 0, -1), cq.Vector(1, 1, 0), 20.0, 130.0
    )
    drawing = drawn(tmp_path / "e.dxf", outline([edge], Z * 3.0, X, Y))
    (ellipse,) = drawing.query("ELLIPSE")
    found = sorted((p.x, p.y) for p in (ellipse.start_point, ellipse.end_point))
    due = sorted((p.x, p.y) for p in (edge.startPoint(), edge.endPoint()))
    np.testing.assert_allclose(found, due, atol=1e-9)


def test_a_rational_spline_of_the_kernel_stays_a_circle(tmp_path: Path) -> None:
    circle = cq.Edge.makeCircle(10.0)
    spline = cq.Edge(BRepBuilderAPI_NurbsConvert(circle.wrapped, True).Shape())
    drawing = drawn(tmp_path / "s.dxf", outline([spline], ORIGIN, X, Y))
    (entity,) = drawing.query("SPLINE")
    radii = [p.magnitude for p in entity.flattening(0.01)]
    assert radii == pytest.approx([10.0] * len(radii), abs=1e-12)


def test_an_edge_that_leaves_the_plane_is_refused() -> None:
    edge = cq.Edge.makeLine(cq.Vector(0, 0, 0), cq.Vector(5, 0, 0.01))
    with pytest.raises(KernelFault, match=r"leaves the plane .* by 0\.010000 mm"):
        outline([edge], ORIGIN, X, Y)


def test_another_process_writes_the_same_bytes(tmp_path: Path) -> None:
    """Hashes of words differ from process to process, and so did the order of classes."""
    code = (
        "import sys; from pathlib import Path;"
        "from pipeline.dxf_out import half_section, write_dxf;"
        "from shapes.sphere import Sphere;"
        "write_dxf(Path(sys.argv[1]), half_section(Sphere(diameter=50.0).section()))"
    )
    found = set()
    for seed in ("1", "2", "3"):
        path = tmp_path / f"{seed}.dxf"
        environment = {
            **os.environ,
            "PYTHONHASHSEED": seed,
            "PYTHONPATH": os.pathsep.join(sys.path),
        }
        subprocess.run([sys.executable, "-c", code, str(path)], env=environment, check=True)
        found.add(path.read_bytes())
    assert len(found) == 1


def test_an_edge_of_high_degree_is_drawn_by_lower_ones_within_a_hair(tmp_path: Path) -> None:
    """Readers give up on degrees above nine or so; the kernel goes to 25."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
    from OCP.Geom import Geom_BezierCurve
    from OCP.gp import gp_Pnt
    from OCP.TColgp import TColgp_Array1OfPnt

    poles = TColgp_Array1OfPnt(1, 19)
    for k in range(19):
        poles.SetValue(k + 1, gp_Pnt(4.0 * k, 30.0 * np.sin(0.9 * k), 0.0))
    curve = Geom_BezierCurve(poles)
    edge = cq.Edge(BRepBuilderAPI_MakeEdge(curve).Edge())
    layer = outline([edge], np.zeros(3), np.array([1.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0]))
    write_dxf(tmp_path / "high.dxf", [layer])
    (spline,) = ezdxf.readfile(tmp_path / "high.dxf").modelspace()
    assert spline.dxf.degree <= 9
    drawn = np.array([(p.x, p.y) for p in spline.flattening(1e-4)])
    due = np.array([(p.X(), p.Y()) for p in (curve.Value(t) for t in np.linspace(0, 1, 20001))])
    gaps = cKDTree(due).query(drawn)[0]
    assert gaps.max() < 0.02  # of the points that it is held against, which lie that far apart
