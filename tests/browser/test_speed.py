"""Size and speed: the limits leave room for a busy machine; what was measured is listed."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from pathlib import Path

from tests.browser.conftest import Opener

Note = Callable[[str, str], None]
MOST_BYTES = 3_000_000


def test_the_demo_ball_s_page_is_under_3_megabytes(
    pages: Mapping[str, Path], measured: Note
) -> None:
    size = pages["dunlin"].stat().st_size
    measured("the demo ball's page", f"{size / 1e6:.2f} MB")
    assert size < MOST_BYTES


def test_a_page_is_ready_soon(opened: Opener, measured: Note) -> None:
    """From asking for the file until a whole frame has been drawn; the best of three."""
    best = 1e9
    for _ in range(3):
        start = time.monotonic()
        opened("dunlin", width=1280, height=900, fresh=True)
        best = min(best, time.monotonic() - start)
    measured("the demo ball's page, ready", f"{best:.2f} s")
    assert best < 5.0


def test_a_section_keeps_up_with_the_hand(opened: Opener, measured: Note) -> None:
    """Frames drawn while the position's slider is dragged to and fro for two seconds."""
    shown = opened("dunlin", width=1280, height=900)
    slider = shown.box("Position")
    slider.scroll_into_view_if_needed()
    box = slider.bounding_box()
    assert box is not None
    mouse, y = shown.page.mouse, box["y"] + box["height"] / 2.0
    middle, reach = box["x"] + box["width"] / 2.0, 0.4 * box["width"]
    mouse.move(middle, y)
    mouse.down()
    mouse.move(middle + 5.0, y)
    before = int(shown.page.locator("#space").get_attribute("data-frames") or 0)
    start, step = time.monotonic(), 0
    while time.monotonic() - start < 2.0:
        step += 1
        there = (step % 80) / 40.0
        mouse.move(middle + reach * (1.0 - abs(there - 1.0) * 2.0), y)
        shown.page.wait_for_timeout(8)
    seconds = time.monotonic() - start
    frames = int(shown.page.locator("#space").get_attribute("data-frames") or 0) - before
    mouse.move(middle + reach, y)
    mouse.up()
    measured("a section dragged", f"{frames / seconds:.1f} frames a second")
    assert frames / seconds > 4.0
    assert shown.told("section")["offset_mm"] > 40.0  # it was the slider that was held
