"""Distances between two points that are picked, by the arc cosine or straight; pictures saved."""

from __future__ import annotations

import io
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from tests.browser.colours import changed
from tests.browser.conftest import Opener
from tests.browser.shown import Shown

IN = 25.4
COVER_MM = 8.55 * IN / 2.0


@pytest.fixture
def dunlin(opened: Opener) -> Shown:
    shown = opened("dunlin")
    shown.box("Measure").check()
    return shown


def spot(shown: Shown, right: float, up: float) -> tuple[float, float]:
    """A pixel by shares of the ball's radius from its middle."""
    camera = shown.camera
    reach = COVER_MM / camera.mm_per_px
    x, y = camera.size_px / 2.0
    return round(x + reach * right), round(y - reach * up)


def told_mm(shown: Shown) -> tuple[str, float]:
    """The words before a distance, and the distance in mm as it is written."""
    found = re.search(r"(Along surface|Straight)\s*([\d.]+) in \(([\d.]+) mm\)", shown.reading)
    assert found is not None
    assert float(found[2]) * IN == pytest.approx(float(found[3]), abs=0.18)
    return found[1], float(found[3])


def test_between_points_of_the_surface_the_arc_is_measured(dunlin: Shown) -> None:
    """Radius times the arc cosine of the scalar product of the unit vectors."""
    dunlin.cut("none")
    camera = dunlin.camera
    one, other = spot(dunlin, -0.55, -0.3), spot(dunlin, 0.6, 0.45)
    dunlin.click(*one)
    measured = dunlin.click(*other)
    a, b = (np.array(measured[key]["at_mm"]) for key in ("from", "to"))
    due = COVER_MM * np.arccos(a @ b / COVER_MM**2)
    assert measured["way"] == "arc"
    assert measured["mm"] == pytest.approx(due, abs=1e-6)
    exact = [camera.on_sphere(*place, COVER_MM) for place in (one, other)]
    by_pixels = COVER_MM * np.arccos(exact[0] @ exact[1] / COVER_MM**2)
    assert measured["mm"] == pytest.approx(by_pixels, abs=1.5)
    words, shown_mm = told_mm(dunlin)
    assert words == "Along surface"
    assert shown_mm == pytest.approx(due, abs=0.051)


@pytest.mark.parametrize("second", ["face", "surface"])
def test_where_a_point_lies_on_a_face_the_distance_is_straight(dunlin: Shown, second: str) -> None:
    dunlin.press("Slanting")
    dunlin.click(*spot(dunlin, -0.2, 0.1))
    measured = dunlin.click(*spot(dunlin, *((0.25, -0.35) if second == "face" else (0.93, 0.2))))
    a, b = (np.array(measured[key]["at_mm"]) for key in ("from", "to"))
    assert measured["from"]["face"]
    assert measured["to"]["face"] is (second == "face")
    assert measured["way"] == "straight"
    assert measured["mm"] == pytest.approx(float(np.sqrt(((a - b) ** 2).sum())), abs=1e-9)
    words, shown_mm = told_mm(dunlin)
    assert words == "Straight"
    assert shown_mm == pytest.approx(measured["mm"], abs=0.051)


def test_the_first_point_alone_measures_nothing_and_asks_for_the_other(dunlin: Shown) -> None:
    dunlin.click(*spot(dunlin, 0.1, 0.1))
    assert dunlin.told("reading")["to"] is None
    assert "Click the other of two points." in dunlin.reading


def test_a_third_point_begins_anew(dunlin: Shown) -> None:
    for place in ((0.1, 0.1), (0.3, 0.3), (-0.2, 0.0)):
        dunlin.click(*spot(dunlin, *place))
    assert dunlin.told("reading")["to"] is None


def test_both_points_and_the_line_between_them_are_drawn(dunlin: Shown) -> None:
    dunlin.alone()
    dunlin.cut("none")
    bare = dunlin.picture()
    one, other = spot(dunlin, -0.5, 0.2), spot(dunlin, 0.5, 0.2)
    dunlin.click(*one)
    dunlin.click(*other)
    line = changed(dunlin.picture(), bare, 20)
    columns = np.flatnonzero(line.any(axis=0))
    assert [columns[0], columns[-1]] == pytest.approx([one[0], other[0]], abs=6.0)
    assert len(columns) == columns[-1] - columns[0] + 1  # without a gap
    dots = dunlin.page.evaluate(
        "[...document.querySelectorAll('#space circle.sp-pick')]"
        ".map((one) => [one.cx.baseVal.value, one.cy.baseVal.value])"
    )
    assert len(dots) == 2
    for found, due in zip(sorted(dots), (one, other), strict=True):
        assert found == pytest.approx(due, abs=1.0)


def test_what_a_click_does_is_forgotten_with_its_points(dunlin: Shown) -> None:
    dunlin.click(*spot(dunlin, 0.1, 0.1))
    dunlin.box("Read a point").check()
    assert dunlin.told("reading") is None
    assert dunlin.page.locator("#space circle.sp-pick").count() == 0


# --- the picture that is saved


def saved(shown: Shown, folder: Path) -> tuple[str, Image.Image]:
    with shown.page.expect_download() as waiting:
        shown.press("Save picture")
    file = folder / "saved.png"
    waiting.value.save_as(file)
    return waiting.value.suggested_filename, Image.open(io.BytesIO(file.read_bytes()))


def pixels(image: Image.Image) -> Any:
    return np.array(image.convert("RGB"), dtype=np.int64)


def test_a_picture_is_saved_as_it_is_seen_and_twice_as_fine(opened: Opener, tmp_path: Path) -> None:
    shown = opened("turnstone-drilled")
    name, image = saved(shown, tmp_path)
    assert (name, image.format) == ("ball.png", "PNG")
    seen = shown.picture()
    assert image.size == pytest.approx((2 * seen.shape[1], 2 * seen.shape[0]), abs=1)
    small = pixels(image.resize(seen.shape[1::-1], Image.Resampling.BOX))
    alike = ~changed(small, seen, 40)
    assert alike.mean() > 0.9  # labels and marks are drawn over it
    assert not alike.all()
    assert len(np.unique(pixels(image).reshape(-1, 3), axis=0)) > 500


def test_the_words_of_the_picture_are_in_the_saved_one(opened: Opener, tmp_path: Path) -> None:
    """Where a label lies there is ink, and where it is switched off there is none."""
    shown = opened("dunlin")
    label = shown.page.locator(".sp-label:not(.sp-away)", has_text="RG").first
    box, stage = label.bounding_box(), shown.page.locator(".sp-stage").bounding_box()
    assert box is not None
    assert stage is not None
    left, top = (int(2 * (box[k] - stage[k])) for k in ("x", "y"))
    around = np.s_[top : top + int(2 * box["height"]), left + 80 : left + int(2 * box["width"])]
    named = pixels(saved(shown, tmp_path)[1])[around]
    shown.box("Principal axes").uncheck()
    bare = pixels(saved(shown, tmp_path)[1])[around]
    assert named.min() < 100
    assert bare.min() > 200


def test_the_page_goes_on_after_a_picture_was_saved(dunlin: Shown, tmp_path: Path) -> None:
    before = dunlin.picture()
    saved(dunlin, tmp_path)
    assert np.array_equal(dunlin.picture(), before)
