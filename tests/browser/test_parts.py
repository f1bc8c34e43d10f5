"""Parts hidden, faded and taken apart, as the picture shows it."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from tests.browser.colours import clay, ground, tide
from tests.browser.conftest import Opener
from tests.browser.meshes import mesh_of
from tests.browser.shown import Shown


@pytest.fixture
def dunlin(opened: Opener) -> Shown:
    shown = opened("dunlin")
    shown.alone()
    return shown


def test_every_part_has_a_row_inside_out(dunlin: Shown) -> None:
    rows = dunlin.page.locator(".sp-part label").all_inner_texts()
    assert rows == [part["name"] for part in dunlin.data["design"]["parts"]]
    assert rows == ["inner core", "outer core", "cover"]


def test_a_part_that_is_hidden_leaves_the_picture_with_its_colour(dunlin: Shown) -> None:
    before = clay(dunlin.picture()).sum()
    dunlin.box("inner core").uncheck()
    hidden = clay(dunlin.picture()).sum()
    dunlin.box("inner core").check()
    assert before > 5000
    assert hidden == 0
    assert clay(dunlin.picture()).sum() == before


def test_without_the_cover_what_lies_inside_is_left(dunlin: Shown) -> None:
    dunlin.cut("none")
    dunlin.press("Front")
    whole = dunlin.picture()
    dunlin.box("cover").uncheck()
    inside = dunlin.picture()
    assert tide(inside).sum() == 0
    ratio = (~ground(inside)).sum() / (~ground(whole)).sum()
    assert ratio == pytest.approx((7.05 / 8.55) ** 2, abs=0.005)  # of the discs that are seen


def test_with_no_part_shown_the_picture_is_paper(dunlin: Shown) -> None:
    for name in ("inner core", "outer core", "cover"):
        dunlin.box(name).uncheck()
    assert ground(dunlin.picture()).all()
    assert dunlin.told("section")["faces"] == []


def test_a_part_that_is_hidden_cannot_be_faded(dunlin: Shown) -> None:
    slider = dunlin.box("Opacity of cover, per cent")
    dunlin.box("cover").uncheck()
    assert slider.is_disabled()
    dunlin.box("cover").check()
    assert slider.is_enabled()


@pytest.mark.parametrize("per_cent", [10, 45, 80])
def test_a_cover_that_is_clear_lets_so_much_of_the_inside_through(
    dunlin: Shown, per_cent: int
) -> None:
    """Over what lies behind by its opacity (Porter and Duff 1984: over), in screen values."""
    dunlin.cut("none")
    whole = dunlin.picture()
    dunlin.box("cover").uncheck()
    inside = dunlin.picture()
    dunlin.box("cover").check()
    dunlin.slide("Opacity of cover, per cent", per_cent)
    mixed = dunlin.picture()
    share = per_cent / 100.0
    middle_y, middle_x = (n // 2 for n in whole.shape[:2])
    places = np.s_[middle_y - 60 : middle_y + 61 : 20, middle_x - 60 : middle_x + 61 : 20]
    due = share * whole[places] + (1.0 - share) * inside[places]
    assert float(np.abs(mixed[places] - due).max()) <= 2.0
    assert "%" in dunlin.page.locator(".sp-part output").last.inner_text()


def test_a_clear_part_shows_its_own_front_only(dunlin: Shown) -> None:
    """Else its far walls would darken it, and triangles would show in the order they lie in."""
    names = ["inner core", "outer core", "cover"]
    dunlin.cut("none")
    for name in names:
        for other in names:
            dunlin.box(other).set_checked(other == name)
        for side in ("Slanting", "Below", "Back"):
            dunlin.press(side)
            dunlin.slide(f"Opacity of {name}, per cent", 100)
            whole = dunlin.picture()
            dunlin.slide(f"Opacity of {name}, per cent", 50)
            away = np.abs(dunlin.picture() - (whole + whole[0, 0]) / 2.0).max(axis=-1)
            assert np.count_nonzero(away > 3.0) == 0, (name, side)


def apart(shown: Shown) -> list[tuple[float, float]]:
    """Where each part begins and ends along the picture's longer side, mm."""
    told = shown.told("apart")
    camera = shown.camera
    wide = camera.size_px[0] >= camera.size_px[1]
    line = camera.right if wide else camera.up
    found = []
    for part, shift in zip(shown.scene["parts"], told["shifts_mm"], strict=True):
        low, high = mesh_of(part).reach(line)
        moved = float(line @ np.array(shift))
        found.append((low + moved, high + moved))
    return found


@pytest.mark.parametrize("name", ["dunlin", "twelve"])
@pytest.mark.parametrize("height", [430, 700])
def test_taken_apart_no_part_lies_before_another(opened: Opener, name: str, height: int) -> None:
    shown = opened(name, height=height)
    for side in ("Slanting", "Above, at the pin", "Left"):
        shown.press(side)
        shown.slide("Take apart", 100)
        spans = sorted(apart(shown))
        assert len(spans) == len(shown.scene["parts"])
        gaps = [b[0] - a[1] for a, b in pairwise(spans)]
        assert min(gaps) > 0.0, side


def test_taken_apart_all_parts_are_in_the_picture(opened: Opener) -> None:
    shown = opened("twelve")
    shown.slide("Take apart", 100)
    camera = shown.camera
    reach = camera.mm_per_px * max(camera.size_px) / 2.0
    spans = apart(shown)
    assert max(high for _, high in spans) < reach
    assert min(low for low, _ in spans) > -reach
    paper = ground(shown.picture())
    assert all(side.all() for side in (paper[0], paper[-1], paper[:, 0], paper[:, -1]))


def test_taken_apart_every_part_is_seen_and_named(dunlin: Shown) -> None:
    dunlin.slide("Take apart", 100)
    assert dunlin.labels == ["cover", "inner core", "outer core"]
    bare = dunlin.picture()
    for name, of_its_own in (("inner core", clay), ("cover", tide)):
        assert of_its_own(bare).sum() > 500, name


def test_half_apart_the_parts_have_gone_half_the_way(dunlin: Shown) -> None:
    dunlin.slide("Take apart", 100)
    whole = np.array(dunlin.told("apart")["shifts_mm"])
    dunlin.slide("Take apart", 50)
    told = dunlin.told("apart")
    assert told["share"] == 0.5
    assert np.array(told["shifts_mm"]) == pytest.approx(whole / 2.0)
    dunlin.slide("Take apart", 0)
    assert np.array(dunlin.told("apart")["shifts_mm"]) == pytest.approx(np.zeros((3, 3)))


def test_a_section_stays_with_the_parts_that_are_apart(dunlin: Shown) -> None:
    together = dunlin.faces
    dunlin.slide("Take apart", 100)
    assert dunlin.faces == together
    picture = dunlin.picture()
    assert min(clay(picture).sum(), tide(picture).sum()) > 500
