"""On wide, middling and narrow screens nothing is cut off, and nothing lies over anything else."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from tests.browser.conftest import Opener
from tests.browser.designs import NAMES
from tests.browser.shown import Shown

WIDTHS = (1280, 800, 390, 320)
BALLS = NAMES[:4]
_CONTROLS = """() => {
  const all = [...document.querySelectorAll(
    '#space button, #space input, #space select, #space label, #space output, #space legend, ' +
    '#space .sp-note, #space .sp-axes li, #space .sp-help')]
    .filter((one) => one.checkVisibility() && one.getClientRects().length);
  const told = all.map((one) => {
    const { left, top, right, bottom } = one.getBoundingClientRect();
    const what = `${one.localName} ${one.id} ${one.textContent.slice(0, 40)}`.trim();
    const cut = one.localName !== 'input' && one.scrollWidth > one.clientWidth + 1 &&
      getComputedStyle(one).display !== 'inline';
    return { what, left, top, right, bottom, cut };
  });
  const over = [];
  all.forEach((one, k) => all.slice(0, k).forEach((other, j) => {
    const [a, b] = [told[k], told[j]];
    const across = Math.min(a.right, b.right) - Math.max(a.left, b.left);
    const upright = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
    if (across > 0.5 && upright > 0.5 && !one.contains(other) && !other.contains(one))
      over.push([a.what, b.what]);
  }));
  return { told, over };
}"""
_TARGETS = """() => {
  const all = [...document.querySelectorAll('#space button, #space input, #space select, nav a')]
    .filter((one) => one.checkVisibility() && one.getClientRects().length)
    .map((one) => {
      const { left, top, right, bottom } = one.getBoundingClientRect();
      return { left, top, right, bottom, x: (left + right) / 2, y: (top + bottom) / 2,
        small: Math.min(right - left, bottom - top) < 23.9, what: one.outerHTML.slice(0, 80) };
    });
  const near = [];
  for (const one of all.filter(({ small }) => small)) {
    for (const other of all) {
      if (one === other) continue;
      const away = other.small
        ? Math.hypot(one.x - other.x, one.y - other.y) - 12
        : Math.hypot(Math.max(other.left - one.x, 0, one.x - other.right),
          Math.max(other.top - one.y, 0, one.y - other.bottom));
      if (away < 11.9) near.push([one.what, other.what]);
    }
  }
  return near;
}"""


def at_every_width(shown: Shown) -> Iterator[int]:
    """The page at one width after another."""
    for width in WIDTHS:
        shown.page.set_viewport_size({"width": width, "height": 800})
        shown.page.wait_for_timeout(100)
        shown.frame()
        yield width


def controls(shown: Shown) -> Any:
    found = shown.page.evaluate(_CONTROLS)
    assert len(found["told"]) > 40
    return found


@pytest.mark.parametrize("name", BALLS)
def test_no_page_scrolls_sideways(opened: Opener, name: str) -> None:
    shown = opened(name)
    for width in at_every_width(shown):
        assert shown.page.evaluate("document.scrollingElement.scrollWidth") <= width
        assert shown.page.evaluate("innerWidth") == width  # and it was not zoomed out for it


@pytest.mark.parametrize("name", BALLS)
def test_no_control_is_cut_off(opened: Opener, name: str) -> None:
    shown = opened(name)
    shown.cut("free")
    for width in at_every_width(shown):
        found = controls(shown)["told"]
        assert [one["what"] for one in found if one["cut"]] == [], width
        beyond = [one["what"] for one in found if one["left"] < 0 or one["right"] > width]
        assert beyond == [], width


@pytest.mark.parametrize("name", BALLS)
def test_no_control_lies_over_another(opened: Opener, name: str) -> None:
    shown = opened(name)
    shown.cut("free")
    for width in at_every_width(shown):
        assert controls(shown)["over"] == [], width


@pytest.mark.parametrize("name", ["turnstone-drilled", "twelve"])
def test_what_is_pressed_is_large_or_stands_apart(opened: Opener, name: str) -> None:
    """WCAG 2.2, 2.5.8: 24 pixels, or a circle of that width that meets no other target."""
    shown = opened(name)
    shown.cut("free")
    for width in at_every_width(shown):
        assert shown.page.evaluate(_TARGETS) == [], width


def test_the_picture_is_large_enough_and_within_the_screen(opened: Opener) -> None:
    shown = opened("dunlin")
    for width in at_every_width(shown):
        box = shown.page.locator(".sp-stage").bounding_box()
        assert box is not None
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= width
        assert box["width"] >= 0.5 * width
        assert box["height"] <= 700
        ratio = shown.scene["radius_mm"] / shown.camera.mm_per_px / min(box["width"], box["height"])
        assert 0.3 < ratio < 0.5, width


def test_wide_tables_scroll_within_themselves(opened: Opener) -> None:
    shown = opened("turnstone-drilled")
    for width in at_every_width(shown):
        found = shown.page.evaluate("""() => [...document.querySelectorAll('.table')].map((one) => {
          const wide = one.scrollWidth > one.clientWidth;
          one.scrollLeft = 1e6;
          const { left, right } = one.getBoundingClientRect();
          return { left, right, wide, moved: one.scrollLeft > 0, name: one.ariaLabel,
            tall: one.scrollHeight > one.clientHeight + 1 };
        })""")
        assert len(found) > 12
        assert all(one["left"] >= 0 and one["right"] <= width for one in found)
        assert [one["name"] for one in found if one["wide"] != one["moved"]] == []
        assert [one["name"] for one in found if one["tall"]] == []
        assert any(one["wide"] for one in found) or width > 400


@pytest.mark.parametrize("name", BALLS[:3])
def test_no_words_run_out_of_the_column(opened: Opener, name: str) -> None:
    """Headings, paragraphs, captions, terms, links, however long a name is."""
    shown = opened(name)
    for width in at_every_width(shown):
        stick = shown.page.evaluate("""() => {
          const { left, right } = document.querySelector('main').getBoundingClientRect();
          return [...document.querySelectorAll('h1, h2, p, li, dt, dd, figcaption, nav a')]
            .filter((one) => one.checkVisibility() && !one.closest('.sp-overlay'))
            .filter((one) => {
              const range = document.createRange();
              range.selectNodeContents(one);
              return [...range.getClientRects()].some((box) => box.width > 0 &&
                (box.left < left - 1 || box.right > right + 1));
            }).map((one) => one.textContent.slice(0, 80));
        }""")
        assert stick == [], width


def test_with_letters_twice_as_large_the_page_still_fits(opened: Opener) -> None:
    """WCAG 1.4.4."""
    shown = opened("turnstone-drilled", width=1280, policy=False, fresh=True)
    shown.page.add_style_tag(content="html { font-size: 200% }")
    shown.page.wait_for_timeout(100)
    shown.frame()
    assert shown.page.evaluate("document.scrollingElement.scrollWidth") <= 1280
    found = controls(shown)
    assert [one["what"] for one in found["told"] if one["right"] > 1280] == []
    assert found["over"] == []
