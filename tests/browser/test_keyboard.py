"""Everything by keyboard alone: what is reached, what keys do, and that one sees where one is."""

from __future__ import annotations

import io
from typing import Any

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import FloatRect

from tests.browser.colours import changed
from tests.browser.conftest import Opener
from tests.browser.shown import Shown
from tests.browser.test_reading import rg_in

_OFFERED = """() => {
  const all = document.querySelectorAll(
    '#space button, #space input, #space select, #space canvas, #space [tabindex="0"]');
  const offered = [...all].filter((one) => one.checkVisibility() && !one.disabled &&
    !(one.type === 'radio' && !one.checked)); // arrows lead to the others
  offered.forEach((one, k) => (one.dataset.place = k));
  return offered.length;
}"""
_WHERE = "document.activeElement.dataset.place ?? null"
_LIT = """() => {
  const style = getComputedStyle(document.activeElement);
  return [style.outlineStyle, parseFloat(style.outlineWidth)];
}"""

_COVERED = """() => {
  const { activeElement } = document;
  const { left, top, width, height } = activeElement.getBoundingClientRect();
  const at = (y) => document.elementFromPoint(left + width / 2, y);
  return ![at(top + 2), at(top + height / 2), at(top + height - 2)]
    .some((one) => activeElement.contains(one));
}"""


@pytest.fixture
def dunlin(opened: Opener) -> Shown:
    shown = opened("dunlin")
    shown.canvas.focus()
    return shown


def keys(shown: Shown, *pressed: str) -> None:
    for key in pressed:
        shown.page.keyboard.press(key)
    shown.frame()


@pytest.mark.parametrize("name", ["dunlin", "turnstone-drilled", "twelve"])
def test_tab_reaches_every_control_in_the_order_of_the_page(opened: Opener, name: str) -> None:
    shown = opened(name)
    shown.cut("free")
    count = shown.page.evaluate(_OFFERED)
    assert count > 25
    shown.canvas.focus()
    reached = [shown.page.evaluate(_WHERE)]
    for _ in range(count - 1):
        shown.page.keyboard.press("Tab")
        reached.append(shown.page.evaluate(_WHERE))
    assert reached == [str(k) for k in range(count)]
    shown.page.keyboard.press("Tab")
    assert shown.page.evaluate(_WHERE) is None  # and on it goes
    shown.page.keyboard.press("Shift+Tab")
    assert shown.page.evaluate(_WHERE) == str(count - 1)


def test_the_first_tab_offers_to_skip_to_the_verdict(opened: Opener) -> None:
    shown = opened("dunlin", fresh=True)
    shown.page.keyboard.press("Tab")
    link = shown.page.locator("a.skip")
    box = link.bounding_box()
    assert shown.page.evaluate("document.activeElement.className") == "skip"
    assert box is not None
    assert box["x"] >= 0
    assert box["y"] >= 0
    shown.page.keyboard.press("Enter")
    assert shown.page.evaluate("document.querySelector(':target').id") == "verdict"


@pytest.mark.parametrize("dark", [False, True])
def test_whatever_has_the_focus_is_outlined(opened: Opener, dark: bool) -> None:
    shown = opened("turnstone-drilled", dark=dark)
    shown.cut("free")
    count = shown.page.evaluate(_OFFERED)
    shown.canvas.focus()
    for _ in range(count):
        style, width = shown.page.evaluate(_LIT)
        assert style not in ("none", "auto")
        assert width >= 2.0
        shown.page.keyboard.press("Tab")


@pytest.mark.parametrize("width", [390, 800])
def test_nothing_covers_what_has_the_focus(opened: Opener, width: int) -> None:
    """WCAG 2.2, 2.4.11; back from the end as well, when the page scrolls up."""
    shown = opened("dunlin", width=width)
    count = shown.page.evaluate(_OFFERED)
    shown.canvas.focus()
    for key in ["Tab"] * (count - 1) + ["Shift+Tab"] * (count - 1):
        shown.page.keyboard.press(key)
        covered = shown.page.evaluate(_COVERED)
        assert not covered, (key, shown.page.evaluate("document.activeElement.outerHTML")[:200])


def test_the_outline_of_the_focus_is_seen(dunlin: Shown) -> None:
    """By pixels, round the picture, a button, a box, a slider, the choice and a table."""
    page = dunlin.page
    places = [
        dunlin.canvas,
        page.get_by_role("button", name="Reset"),
        dunlin.box("cover"),
        dunlin.box("Position"),
        dunlin.plane,
        page.get_by_role("region").first,
    ]
    for place in places:
        place.scroll_into_view_if_needed()
        box = place.bounding_box()
        assert box is not None
        clip: FloatRect = {
            "x": max(box["x"] - 6, 0),
            "y": max(box["y"] - 6, 0),
            "width": box["width"] + 12,
            "height": min(box["height"] + 12, 690 - max(box["y"] - 6, 0)),
        }
        page.evaluate("document.activeElement.blur()")
        before = pixels(page.screenshot(clip=clip))
        place.focus()
        page.keyboard.press("Shift+Tab")
        page.keyboard.press("Tab")
        after = pixels(page.screenshot(clip=clip))
        assert changed(before, after, 60).sum() > box["width"], place


def pixels(png: bytes) -> Any:
    return np.array(Image.open(io.BytesIO(png)).convert("RGB"), dtype=np.int64)


def test_arrows_turn_the_ball_as_a_hand_would(dunlin: Shown) -> None:
    for key, azimuth, elevation in (
        ("ArrowRight", -63, 20),
        ("ArrowLeft", -58, 20),
        ("ArrowDown", -58, 25),
        ("ArrowUp", -58, 20),
    ):
        keys(dunlin, key)
        view = dunlin.told("view")
        assert (view["azimuth_deg"], view["elevation_deg"]) == (azimuth, elevation), key


def test_shift_and_arrows_move_it(dunlin: Shown) -> None:
    for key, due in (
        ("Shift+ArrowRight", (20, 0)),
        ("Shift+ArrowUp", (20, -20)),
        ("Shift+ArrowLeft", (0, -20)),
        ("Shift+ArrowDown", (0, 0)),
    ):
        keys(dunlin, key)
        camera = dunlin.camera
        moved = np.array(camera.seen([0, 0, 0])) - camera.size_px / 2.0
        assert moved == pytest.approx(due, abs=1e-6), key


def test_plus_and_minus_zoom_and_home_resets_the_view(dunlin: Shown) -> None:
    first = dunlin.told("view")
    keys(dunlin, "+")
    assert dunlin.told("view")["mm_per_px"] == pytest.approx(first["mm_per_px"] / 1.15)
    keys(dunlin, "-", "-")
    assert dunlin.told("view")["mm_per_px"] == pytest.approx(first["mm_per_px"] * 1.15)
    keys(dunlin, "=", "ArrowLeft", "Shift+ArrowUp", "Home")
    assert dunlin.told("view") == first


def test_keys_do_not_scroll_the_page_under_the_picture(dunlin: Shown) -> None:
    before = dunlin.page.evaluate("scrollY")
    keys(dunlin, "ArrowDown", "ArrowDown", "ArrowUp", "Home")
    assert dunlin.page.evaluate("scrollY") == before


def choose(shown: Shown, word: str) -> None:
    """What a click does, by keys: from the dot that is chosen on with arrows."""
    shown.box("Turn").focus()
    for _ in range(["Turn", "Read a point", "Measure"].index(word)):
        shown.page.keyboard.press("ArrowRight")
    assert shown.box(word).is_checked()
    shown.canvas.focus()


def test_a_point_is_read_by_cross_hair_and_enter(dunlin: Shown) -> None:
    """The first arrow shows it in the middle; it goes by tens of pixels, with Shift by one."""
    choose(dunlin, "Read a point")
    keys(dunlin, "ArrowRight", "ArrowRight", "ArrowRight", "ArrowUp", "Shift+ArrowRight")
    keys(dunlin, "Enter")
    camera = dunlin.camera
    x, y = camera.size_px / 2.0 + [21, -10]
    read = dunlin.told("reading")
    assert camera.seen(read["at_mm"]) == pytest.approx((x, y), abs=0.01)
    assert read["rg_in"] == pytest.approx(rg_in(dunlin, read["at_mm"]), abs=2e-6)
    assert f"{read['rg_in']:.4f} in" in dunlin.reading
    view = dunlin.told("view")
    assert (view["azimuth_deg"], view["elevation_deg"]) == (-58, 20)  # it turned nothing
    cross, stage = (dunlin.page.locator(one).bounding_box() for one in (".sp-cross", ".sp-stage"))
    assert cross is not None
    assert stage is not None
    middle = [cross["x"] + cross["width"] / 2.0, cross["y"] + cross["height"] / 2.0]
    assert np.subtract(middle, [stage["x"], stage["y"]]) == pytest.approx([x, y], abs=1.5)


def test_a_distance_is_measured_by_cross_hair_and_enter(dunlin: Shown) -> None:
    choose(dunlin, "Measure")
    keys(dunlin, "ArrowRight", "ArrowLeft", "Enter", *["ArrowDown"] * 6, "Enter")
    measured = dunlin.told("reading")
    a, b = (np.array(measured[key]["at_mm"]) for key in ("from", "to"))
    assert measured["mm"] == pytest.approx(float(np.linalg.norm(a - b)))
    assert measured["mm"] > 10.0
    keys(dunlin, "Escape")
    assert dunlin.told("reading") is None
    assert not dunlin.page.locator(".sp-cross").is_visible()


def test_the_cross_hair_stays_in_the_picture(dunlin: Shown) -> None:
    choose(dunlin, "Read a point")
    keys(dunlin, *["ArrowLeft"] * 60, "Enter")
    assert dunlin.told("reading") is None
    assert "No part is there" in dunlin.reading


def test_controls_answer_to_keys(dunlin: Shown) -> None:
    """A box, a slider, the choice and a button, as a keyboard works them."""
    dunlin.box("cover").focus()
    keys(dunlin, "Space")
    assert [one["part"] for one in dunlin.told("section")["faces"]] == ["inner core", "outer core"]
    dunlin.box("Position").focus()
    keys(dunlin, "ArrowRight", "ArrowRight", "ArrowRight")
    assert dunlin.told("section")["offset_mm"] == pytest.approx(0.03 * 25.4)
    dunlin.plane.focus()
    keys(dunlin, "ArrowUp")
    assert dunlin.told("section")["normal"] == [1, 0, 0]
    dunlin.page.get_by_role("button", name="Below", exact=True).focus()
    keys(dunlin, "Enter")
    assert dunlin.told("view")["elevation_deg"] == -90


def test_the_help_tells_the_keys_of_what_a_click_does(dunlin: Shown) -> None:
    described = dunlin.canvas.get_attribute("aria-describedby")
    told = dunlin.page.locator(f"#{described}")
    assert "arrows turn" in told.inner_text()
    choose(dunlin, "Measure")
    assert "Enter sets a point" in told.inner_text()
