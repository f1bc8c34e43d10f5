"""The areas of section faces, against closed forms and against the page's triangles cut anew."""

from __future__ import annotations

from math import pi, sqrt

import numpy as np
import pytest

from pipeline.design import Design
from shapes.turned import Turned
from tests.browser.conftest import Opener
from tests.browser.designs import design_of
from tests.browser.meshes import mesh_of
from tests.browser.shown import Shown

IN = 25.4
CHORD_MM = 0.15  # how far a chord of the meshes may lie within a curve
COVER_MM, OUTER_MM = 8.55 * IN / 2.0, 7.05 * IN / 2.0
CHOICES = {  # of Dunlin, whose other two axes are undefined
    "square to the low axis": (0, 0, 1),
    "square to X": (1, 0, 0),
    "square to Y": (0, 1, 0),
    "square to Z": (0, 0, 1),
}


@pytest.fixture
def dunlin(opened: Opener) -> Shown:
    return opened("dunlin")


@pytest.fixture(scope="module")
def design() -> Design:
    return design_of("dunlin")


def disc(radius: float, away: float) -> float:
    """Area of a sphere's section at a distance from its centre."""
    return pi * max(radius**2 - away**2, 0.0)


def core_by_half_section(design: Design) -> float:
    """Area of the inner core cut through its axis: twice the integral of r dz (Green 1828)."""
    shape = design.parts[0].shape
    assert isinstance(shape, Turned)
    return 2.0 * sum(float(np.squeeze(curve.flat_sums()[0])) for curve in shape.outline())


def core_by_points(design: Design) -> float:
    """The same by counting points of a fine net in the half-section."""
    shape = design.parts[0].shape
    assert isinstance(shape, Turned)
    step = 0.1
    r, z = np.meshgrid(np.arange(step / 2, 65, step), np.arange(-80, 90, step))
    return 2.0 * step**2 * float(np.count_nonzero(shape.section().contains(r, z)))


def core_across(design: Design, z_mm: float) -> float:
    """Area of the inner core cut square to its axis: of the disc out to its wall."""
    shape = design.parts[0].shape
    assert isinstance(shape, Turned)
    r = np.linspace(0.0, 65.0, 650_001)
    inside = shape.section().contains(r, np.full_like(r, z_mm - 0.4 * IN))  # it was moved up
    return pi * float(r[inside].max()) ** 2 if inside.any() else 0.0


def within(*radii_mm: float) -> float:
    """How far an area may be off for chords that run within its outlines."""
    return sum(2.0 * pi * radius * CHORD_MM for radius in radii_mm)


def test_two_routes_agree_on_the_half_section_of_the_core(design: Design) -> None:
    assert core_by_points(design) == pytest.approx(core_by_half_section(design), rel=5e-4)


def test_the_choices_are_none_the_axes_that_are_defined_x_y_z_and_free(opened: Opener) -> None:
    """Of the drilled Turnstone, all three of whose axes are defined, and of Dunlin."""
    axes = [f"square to the {name} axis" for name in ("low", "intermediate", "high")]
    fixed = ["square to X", "square to Y", "square to Z", "free"]
    drilled = opened("turnstone-drilled").plane.locator("option").all_inner_texts()
    assert drilled == ["none", *axes, *fixed]
    dunlin = opened("dunlin").plane.locator("option").all_inner_texts()
    assert dunlin == ["none", axes[0], *fixed]


def test_at_first_the_ball_is_cut_through_its_middle_square_to_y(dunlin: Shown) -> None:
    section = dunlin.told("section")
    assert (section["normal"], section["offset_mm"]) == ([0, 1, 0], 0)


def test_no_section_has_no_faces(dunlin: Shown) -> None:
    dunlin.cut("none")
    assert dunlin.told("section") is None
    assert not dunlin.box("Position").is_visible()


@pytest.mark.parametrize("choice", ["square to X", "square to Y"])
def test_a_section_through_the_axis_has_the_areas_of_the_exact_shapes(
    dunlin: Shown, design: Design, choice: str
) -> None:
    dunlin.cut(choice, 0)
    found = dunlin.faces
    core = core_by_half_section(design)
    assert found["inner core"] == pytest.approx(core, abs=2.0 * CHORD_MM * sqrt(4.0 * pi * core))
    outer = disc(OUTER_MM, 0.0) - core
    assert found["outer core"] == pytest.approx(outer, abs=within(OUTER_MM, 60.0))
    cover = disc(COVER_MM, 0.0) - disc(OUTER_MM, 0.0)
    assert found["cover"] == pytest.approx(cover, abs=within(COVER_MM, OUTER_MM))


@pytest.mark.parametrize("choice", ["square to Z", "square to the low axis"])
def test_a_section_square_to_the_axis_has_the_areas_of_the_exact_shapes(
    dunlin: Shown, design: Design, choice: str
) -> None:
    for position in (0.0, 1.2, 2.9, 3.2, -1.9, -3.6, 4.0):
        dunlin.cut(choice, position)
        away = position * IN
        found = dunlin.faces
        core = core_across(design, away)
        assert found["inner core"] == pytest.approx(core, abs=within(sqrt(core / pi)) + 0.1)
        outer, cover = disc(OUTER_MM, away), disc(COVER_MM, away)
        # what a chord lacks grows as the secant where the surface leans to the plane
        sure = within(COVER_MM, OUTER_MM) * COVER_MM / sqrt(COVER_MM**2 - away**2)
        assert found["outer core"] == pytest.approx(outer - core, abs=sure), position
        assert found["cover"] == pytest.approx(cover - outer, abs=sure), position


def test_faces_are_where_the_position_says(dunlin: Shown) -> None:
    for position in (-4.0, -1.25, 0.75, 3.3):
        dunlin.cut("square to X", position)
        section = dunlin.told("section")
        assert section["offset_mm"] == pytest.approx(position * IN)
        told = dunlin.page.locator(".sp-slider", has_text="Position").locator("output")
        assert told.inner_text() == f"{position:.2f} in from the centre".replace("-", "\u2212")


def test_beyond_the_ball_there_is_no_face(dunlin: Shown) -> None:
    slider = dunlin.page.get_by_label("Position")
    dunlin.cut("square to X")
    slider.focus()
    dunlin.page.keyboard.press("End")
    assert dunlin.told("section")["offset_mm"] > COVER_MM - 1e-6
    assert sum(dunlin.faces.values()) == pytest.approx(0.0, abs=1.0)


@pytest.mark.parametrize("name", ["turnstone-drilled", "hostile", "twelve"])
def test_every_choice_cuts_what_the_page_s_own_triangles_give(opened: Opener, name: str) -> None:
    """A lean core, holes, small discs and rings: each part's mesh cut anew."""
    shown = opened(name)
    meshes = {part["name"]: mesh_of(part) for part in shown.scene["parts"]}
    ways = {f"square to the {one['name']} axis": one["way"] for one in shown.scene["axes"]}
    ways |= CHOICES if name == "twelve" else {k: v for k, v in CHOICES.items() if k not in ways}
    for choice in shown.plane.locator("option").all_inner_texts():
        if choice in ("none", "free"):
            continue
        for position in (0.0, 0.83, -2.17):
            shown.cut(choice, position)
            section = shown.told("section")
            assert section["normal"] == pytest.approx(ways[choice], abs=1e-7)
            for part, area in shown.faces.items():
                due = meshes[part].section_mm2(section["normal"], section["offset_mm"])
                assert area == pytest.approx(due, rel=1e-5, abs=0.02), (choice, position, part)


def test_a_free_section_goes_the_way_of_its_angles(opened: Opener) -> None:
    shown = opened("turnstone-drilled")
    meshes = {part["name"]: mesh_of(part) for part in shown.scene["parts"]}
    shown.cut("free", 0.4)
    for azimuth, elevation in ((0, 0), (37, 24), (-141, -66), (90, 90)):
        shown.slide("Azimuth", azimuth)
        shown.slide("Elevation", elevation)
        a, e = np.radians([azimuth, elevation])
        due = [np.cos(e) * np.cos(a), np.cos(e) * np.sin(a), np.sin(e)]
        assert shown.told("section")["normal"] == pytest.approx(due, abs=1e-9)
        for part, area in shown.faces.items():
            cut = meshes[part].section_mm2(due, 0.4 * IN)
            assert area == pytest.approx(cut, rel=1e-5, abs=0.02), (azimuth, elevation, part)


def test_the_angles_are_offered_for_a_free_section_only(dunlin: Shown) -> None:
    for choice, due in (("square to Y", False), ("free", True), ("square to Z", False)):
        dunlin.cut(choice)
        assert [dunlin.box(name).is_visible() for name in ("Azimuth", "Elevation")] == [due, due]
