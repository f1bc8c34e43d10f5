"""Fingers: one turns, two move and zoom, a short one picks."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
from playwright.sync_api import CDPSession

from tests.browser.conftest import Opener
from tests.browser.shown import Shown


@pytest.fixture
def touched(opened: Opener) -> tuple[Shown, CDPSession]:
    shown = opened("dunlin", width=390, height=800, touch=True)
    shown.canvas.scroll_into_view_if_needed()
    return shown, shown.page.context.new_cdp_session(shown.page)


def moved(
    shown: Shown, session: CDPSession, starts: Sequence[Sequence[float]],
    ends: Sequence[Sequence[float]], steps: int = 8,
) -> None:  # fmt: skip
    """Fingers that go straight from starts to ends, pixels from the canvas's middle."""
    box = shown.canvas.bounding_box()
    assert box is not None
    middle = np.array([box["x"] + box["width"] / 2.0, box["y"] + box["height"] / 2.0])

    def send(kind: str, share: float | None) -> None:
        places = [] if share is None else [
            middle + (1.0 - share) * np.array(a) + share * np.array(b)
            for a, b in zip(starts, ends, strict=True)
        ]  # fmt: skip
        points = [{"x": float(x), "y": float(y), "id": k} for k, (x, y) in enumerate(places)]
        session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    send("touchStart", 0.0)
    for k in range(1, steps + 1):
        send("touchMove", k / steps)
    send("touchEnd", None)
    shown.frame()


def test_one_finger_turns(touched: tuple[Shown, CDPSession]) -> None:
    shown, session = touched
    scrolled = shown.page.evaluate("scrollY")
    moved(shown, session, [(-40, 0)], [(40, 30)])
    view = shown.told("view")
    assert view["azimuth_deg"] < -58 - 20
    assert view["elevation_deg"] > 20 + 6
    assert shown.page.evaluate("scrollY") == scrolled  # the page stays


def test_two_fingers_that_part_zoom_in(touched: tuple[Shown, CDPSession]) -> None:
    shown, session = touched
    before = shown.told("view")
    moved(shown, session, [(-30, 0), (30, 0)], [(-60, 0), (60, 0)])
    after = shown.told("view")
    assert before["mm_per_px"] / after["mm_per_px"] == pytest.approx(2.0, rel=0.08)
    assert after["azimuth_deg"] == before["azimuth_deg"]


def test_two_fingers_that_close_zoom_out(touched: tuple[Shown, CDPSession]) -> None:
    shown, session = touched
    before = shown.told("view")
    moved(shown, session, [(0, -60), (0, 60)], [(0, -40), (0, 40)])
    ratio = before["mm_per_px"] / shown.told("view")["mm_per_px"]
    assert ratio == pytest.approx(2.0 / 3.0, rel=0.08)


def test_two_fingers_move_the_ball_along(touched: tuple[Shown, CDPSession]) -> None:
    shown, session = touched
    before = np.array(shown.camera.seen([0, 0, 0]))
    moved(shown, session, [(-30, 0), (30, 0)], [(-5, 30), (55, 30)])
    after = np.array(shown.camera.seen([0, 0, 0]))
    assert after - before == pytest.approx([25, 30], abs=3.0)


def test_a_tap_reads_a_point(touched: tuple[Shown, CDPSession]) -> None:
    shown, session = touched
    shown.box("Read a point").check()
    shown.canvas.scroll_into_view_if_needed()
    moved(shown, session, [(0, 20)], [(0, 20)], steps=0)
    assert shown.told("reading")["part"] == "inner core"


def test_the_picture_stays_in_sight_while_the_controls_are_used(
    touched: tuple[Shown, CDPSession],
) -> None:
    shown, _ = touched
    for name in ("cover", "Position", "Principal axes", "Measure"):
        control = shown.box(name)
        control.evaluate("(one) => one.scrollIntoView({ block: 'end' })")
        stage = shown.page.locator(".sp-stage").bounding_box()
        box = control.bounding_box()
        assert stage is not None
        assert box is not None
        assert stage["y"] >= -1, name
        assert stage["y"] + stage["height"] <= box["y"] + 1, name  # and does not cover it
