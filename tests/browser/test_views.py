"""From where the ball is looked at: buttons, mouse and wheel."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from tests.browser.conftest import Opener
from tests.browser.shown import Shown

_VIEWS = {  # azimuth and elevation of the viewer, deg
    "Slanting": (-58, 20),
    "Front": (-90, 0),
    "Right": (0, 0),
    "Back": (90, 0),
    "Left": (180, 0),
    "Above, at the pin": (-90, 90),
    "Below": (-90, -90),
}


def view(shown: Shown) -> tuple[float, float]:
    told = shown.told("view")
    return told["azimuth_deg"], told["elevation_deg"]


@pytest.fixture
def dunlin(opened: Opener) -> Shown:
    return opened("dunlin")


def test_every_button_looks_from_where_it_says(dunlin: Shown) -> None:
    for name, due in reversed(_VIEWS.items()):
        dunlin.press(name)
        assert view(dunlin) == pytest.approx(due), name


def test_the_ball_is_shown_whole_from_every_side(dunlin: Shown) -> None:
    for name in _VIEWS:
        dunlin.press(name)
        camera = dunlin.camera
        across = dunlin.scene["radius_mm"] / camera.mm_per_px
        assert across < 0.5 * min(camera.size_px), name
        assert across > 0.3 * min(camera.size_px), name
        assert camera.middle_mm == pytest.approx([0.0, 0.0])


def test_a_button_for_each_axis_looks_along_it(opened: Opener) -> None:
    shown = opened("turnstone-drilled")
    axes = shown.data["figures"]["axes"]
    assert None not in axes.values()
    for name, way in axes.items():
        shown.press(f"{name.capitalize()} axis")
        assert shown.camera.toward == pytest.approx(way, abs=1e-6), name


def test_an_axis_that_is_undefined_has_no_button(dunlin: Shown) -> None:
    buttons = dunlin.page.locator("#space").get_by_role("button")
    names = [name for name in buttons.all_inner_texts() if name.endswith("axis")]
    assert names == ["Low axis"]


def test_the_picture_changes_with_the_view(dunlin: Shown) -> None:
    """The section across Y is seen from the front; from the back there is cover only."""
    dunlin.alone()
    dunlin.press("Front")
    front = dunlin.picture()
    dunlin.press("Back")
    back = dunlin.picture()
    middle = tuple(n // 2 for n in front.shape[:2])
    red, _, blue = front[middle]
    assert red - blue > 50  # clay
    red, _, blue = back[middle]
    assert blue - red > 20  # the cover


def test_dragging_turns_the_ball_with_the_hand(dunlin: Shown) -> None:
    before = dunlin.camera
    x, y = before.size_px / 2.0
    near = before.on_sphere(x, y, dunlin.scene["radius_mm"])
    dunlin.drag(60, 0)
    (x, _), (width, _) = dunlin.camera.seen(near), before.size_px
    assert x > width / 2.0 + 20  # what was in the middle went along
    dunlin.drag(0, 40)
    assert dunlin.told("view")["elevation_deg"] > 20


def test_dragging_never_goes_over_the_top(dunlin: Shown) -> None:
    dunlin.drag(0, 250)
    dunlin.drag(0, 250)
    assert dunlin.told("view")["elevation_deg"] == 90
    for _ in range(2):
        dunlin.drag(0, -250)
        dunlin.drag(0, -250)
    assert dunlin.told("view")["elevation_deg"] == -90


def test_dragging_with_shift_moves_the_ball_by_as_much(dunlin: Shown) -> None:
    before = dunlin.camera
    dunlin.drag(48, -32, shift=True)
    after = dunlin.camera
    moved = np.subtract(after.seen([0, 0, 0]), before.seen([0, 0, 0]))
    assert moved == pytest.approx([48, -32], abs=0.5)
    assert view(dunlin) == (-58, 20)


def test_the_wheel_zooms_about_where_the_pointer_is(dunlin: Shown) -> None:
    before = dunlin.camera
    dunlin.canvas.hover(position={"x": 300, "y": 150})
    dunlin.page.mouse.wheel(0, -300)
    dunlin.page.wait_for_function(
        "(before) => JSON.parse(document.querySelector('#space').dataset.view).mm_per_px < before",
        arg=0.9 * before.mm_per_px,
    )
    after = dunlin.camera
    assert after.across(300, 150) == pytest.approx(before.across(300, 150), abs=0.25)


def test_closer_and_farther_undo_one_another(dunlin: Shown) -> None:
    first = dunlin.told("view")["mm_per_px"]
    dunlin.press("Closer")
    assert dunlin.told("view")["mm_per_px"] == pytest.approx(first / 1.25)
    dunlin.press("Farther")
    dunlin.press("Farther")
    assert dunlin.told("view")["mm_per_px"] == pytest.approx(first * 1.25)


def test_the_scale_is_as_long_as_it_says(dunlin: Shown) -> None:
    for press in ("Closer", "Closer", "Closer", "Farther", "Farther", "Farther", "Farther"):
        dunlin.press(press)
        camera = dunlin.camera
        box = dunlin.page.locator(".sp-bar").bounding_box()
        assert box is not None
        inches, unit = dunlin.page.locator(".sp-scale").inner_text().split()
        assert unit == "in"
        assert box["width"] * camera.mm_per_px == pytest.approx(float(inches) * 25.4, rel=0.02)


def settings(shown: Shown) -> list[Any]:
    """Whatever a reader can set, as it stands."""
    found: list[Any] = shown.page.evaluate(
        "[...document.querySelectorAll('#space input, #space select')]"
        ".map((one) => [one.type, one.value, one.checked ?? null, one.disabled])"
    )
    return found


def test_reset_brings_back_all_that_was_there_at_first(opened: Opener) -> None:
    shown = opened("turnstone-drilled", fresh=True)
    first = settings(shown), {k: shown.told(k) for k in ("view", "section", "apart", "reading")}
    picture = shown.picture()
    shown.press("Left")
    shown.press("Closer")
    shown.drag(30, 20)
    shown.box("cover").uncheck()
    shown.slide("Opacity of outer core, per cent", 40)
    shown.cut("free", 0.5)
    shown.slide("Azimuth", 20)
    shown.press("Swap sides")
    shown.slide("Take apart", 50)
    for name in ("Principal axes", "Marks", "Holes"):
        shown.box(name).uncheck()
    shown.box("Inertia ellipsoid").check()
    shown.box("Read a point").check()
    middle = shown.camera.size_px / 2.0
    shown.click(*middle)
    assert settings(shown) != first[0]
    shown.press("Reset")
    again = settings(shown), {k: shown.told(k) for k in ("view", "section", "apart", "reading")}
    assert again == first
    assert float(np.abs(shown.picture() - picture).max()) <= 1
