"""Many parts, and many triangles: all of it works, in a time that one can wait."""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np
import pytest

from tests.browser.conftest import Opener
from tests.browser.dossiers import FINE_RADII_MM
from tests.browser.meshes import mesh_of
from tests.browser.shown import Shown

IN = 25.4


@pytest.fixture
def twelve(opened: Opener) -> Shown:
    return opened("twelve")


def test_twelve_parts_have_twelve_rows_in_order(twelve: Shown) -> None:
    rows = twelve.page.locator(".sp-part label").all_inner_texts()
    assert rows == [part["name"] for part in twelve.data["design"]["parts"]]
    assert len(rows) == 12


def test_each_of_twelve_parts_can_be_hidden_and_faded(twelve: Shown) -> None:
    """The section tells which are there; opacity is told beside each."""
    twelve.cut("square to Y", 0)
    names = list(twelve.faces)
    assert len(names) == 12
    for name in names:
        twelve.box(name).uncheck()
        assert list(twelve.faces) == [one for one in names if one != name]
        twelve.box(name).check()
        twelve.slide(f"Opacity of {name}, per cent", 55)
        row = twelve.page.locator(".sp-part").nth(names.index(name))
        assert row.locator("output").inner_text() == "55 %"


def test_small_parts_show_when_those_round_them_are_hidden(twelve: Shown) -> None:
    """Nine discs and rings stand alone, each where its middle lies."""
    twelve.alone()
    twelve.cut("none")
    for name in ("inner core", "outer core", "cover"):
        twelve.box(name).uncheck()
    twelve.press("Front")
    picture, camera = twelve.picture(), twelve.camera
    for part in twelve.scene["parts"][:9]:
        corners = mesh_of(part).corners
        nearest = corners[(corners @ camera.toward).argmax()]
        x, y = (int(n) for n in camera.seen(0.98 * nearest + 0.02 * corners.mean(axis=0)))
        around = picture[y - 2 : y + 3, x - 2 : x + 3]
        assert (np.abs(around - picture[0, 0]).max(axis=-1) > 20).any(), part["name"]


def test_parts_that_are_apart_are_all_named(twelve: Shown) -> None:
    twelve.page.set_viewport_size({"width": 1280, "height": 800})
    twelve.slide("Take apart", 100)
    twelve.page.wait_for_timeout(100)
    assert len(twelve.labels) >= 10  # some may find no room


def test_a_small_part_is_read_by_its_name(twelve: Shown) -> None:
    twelve.box("Read a point").check()
    twelve.press("Above, at the pin")
    twelve.cut("square to Z", 0.8)
    read = twelve.click(*twelve.camera.seen([0.9 * IN, 0.0, 0.8 * IN]))
    assert (read["part"], read["face"]) == ("puck 1", True)


# --- 300 000 triangles


@pytest.fixture
def fine(opened: Opener) -> tuple[Shown, float]:
    """The page, and how long it took to be ready, s."""
    start = time.monotonic()
    shown = opened("fine", fresh=True)
    return shown, time.monotonic() - start


def test_a_page_of_300_000_triangles_is_ready_soon(
    fine: tuple[Shown, float], measured: Callable[[str, str], None]
) -> None:
    shown, seconds = fine
    assert sum(part["triangles"] for part in shown.scene["parts"]) > 300_000
    measured("300 000 triangles, ready", f"{seconds:.2f} s")
    assert seconds < 15.0


def test_its_section_moves_and_has_the_areas_of_the_spheres(
    fine: tuple[Shown, float], measured: Callable[[str, str], None]
) -> None:
    shown, _ = fine
    core, outer, cover = FINE_RADII_MM
    names = [part["name"] for part in shown.scene["parts"]]
    shown.cut("square to X")
    slowest = 0.0
    for position in (-1.5, 0.0, 0.6, 1.9):
        start = time.monotonic()
        shown.slide("Position", position)
        found = shown.faces
        slowest = max(slowest, time.monotonic() - start)
        discs = np.pi * (np.square([core, outer, cover]) - (position * IN) ** 2)
        due = [discs[0], discs[1] - discs[0], discs[2] - discs[1]]
        assert [found[name] for name in names] == pytest.approx(due, rel=3e-3)  # chords
    measured("300 000 triangles, a section moved and drawn", f"{slowest:.2f} s")
    assert slowest < 5.0


def test_a_point_of_it_is_read(
    fine: tuple[Shown, float], measured: Callable[[str, str], None]
) -> None:
    shown, _ = fine
    shown.box("Read a point").check()
    shown.cut("none")
    camera = shown.camera
    x, y = (float(round(n)) for n in camera.size_px * [0.6, 0.4])
    start = time.monotonic()
    read = shown.click(x, y)
    measured("300 000 triangles, a point read", f"{time.monotonic() - start:.2f} s")
    assert read["part"] == "cover"
    due = camera.on_sphere(x, y, FINE_RADII_MM[-1])
    assert np.array(read["at_mm"]) == pytest.approx(due, abs=0.6)
