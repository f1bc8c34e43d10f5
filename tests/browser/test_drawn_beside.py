"""What is drawn beside the parts: axes, labels, ellipsoid, marks, holes; each by its own switch."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from tests.browser.cameras import Camera
from tests.browser.colours import changed
from tests.browser.conftest import Opener
from tests.browser.shown import Pixels, Shown


@pytest.fixture
def dunlin(opened: Opener) -> Shown:
    return opened("dunlin")


@pytest.fixture
def drilled(opened: Opener) -> Shown:
    return opened("turnstone-drilled")


def with_and_without(shown: Shown, name: str) -> tuple[Pixels, Pixels]:
    """The picture with a box ticked, and without."""
    shown.box(name).check()
    drawn = shown.picture()
    shown.box(name).uncheck()
    return drawn, shown.picture()


def near(camera: Camera, points: list[Any], picture: Pixels) -> Pixels:
    """The pixels within two of where points are seen; shape (n, 5, 5, 3)."""
    found = []
    for point in points:
        x, y = (int(n) for n in camera.seen(point))
        found.append(picture[y - 2 : y + 3, x - 2 : x + 3])
    return np.array(found)


@pytest.mark.parametrize("name", ["dunlin", "turnstone-drilled"])
def test_axes_are_drawn_through_the_centre_of_gravity_along_their_ways(
    opened: Opener, name: str
) -> None:
    """What changes with the switch lies on the lines, and the lines change beside the ball."""
    shown = opened(name)
    figures = shown.data["figures"]
    drawn, bare = with_and_without(shown, "Principal axes")
    cg = np.array(figures["centre_of_gravity_in"]) * 25.4
    ways = [np.array(way) for way in figures["axes"].values() if way is not None]
    assert len(ways) == (1 if name == "dunlin" else 3)
    here = np.argwhere(changed(drawn, bare))[:, ::-1] + 0.5
    camera = shown.camera
    away = []
    for way in ways:
        start, end = np.array(camera.seen(cg)), np.array(camera.seen(cg + way))
        line = (end - start) / np.linalg.norm(end - start)
        away.append(np.abs((here - start) @ np.array([-line[1], line[0]])))
        beyond = cg + 1.12 * shown.scene["radius_mm"] * way  # on the shaft, outside of the ball
        assert changed(near(camera, [beyond], drawn), near(camera, [beyond], bare)).any()
    assert float(np.min(away, axis=0).max()) < 11.0  # px: the heads are some as wide


@pytest.mark.parametrize("name", ["dunlin", "turnstone-drilled", "hostile"])
def test_labels_of_axes_tell_the_figures_of_the_data(opened: Opener, name: str) -> None:
    shown = opened(name)
    figures = shown.data["figures"]
    due = {
        f"{axis} RG {figures['rg_in'][axis]:.4f} in"
        for axis, way in figures["axes"].items()
        if way is not None
    }
    shown.press("Slanting")
    words = {one for one in shown.labels if " RG " in one}
    assert words <= due
    assert words
    told = shown.page.locator(".sp-axes li").all_inner_texts()
    assert {one.removesuffix(", axis undefined") for one in told} == {
        f"{axis} RG {rg:.4f} in" for axis, rg in figures["rg_in"].items()
    }
    assert {one for one in told if not one.endswith("undefined")} == due


def test_labels_of_axes_go_with_the_axes(dunlin: Shown) -> None:
    assert any(" RG " in one for one in dunlin.labels)
    dunlin.box("Principal axes").uncheck()
    assert not any(" RG " in one for one in dunlin.labels)
    dunlin.box("Principal axes").check()
    assert any(" RG " in one for one in dunlin.labels)


def test_labels_lie_in_the_picture_and_clear_of_one_another(drilled: Shown) -> None:
    for side in ("Slanting", "Front", "Left", "Above, at the pin", "Low axis"):
        drilled.press(side)
        stage = drilled.page.locator(".sp-stage").bounding_box()
        boxes = [
            one.bounding_box() for one in drilled.page.locator(".sp-label:not(.sp-away)").all()
        ]
        assert boxes, side
        for k, a in enumerate(boxes):
            assert a is not None
            assert stage is not None
            assert a["x"] >= stage["x"]
            assert a["y"] >= stage["y"]
            assert a["x"] + a["width"] <= stage["x"] + stage["width"]
            assert a["y"] + a["height"] <= stage["y"] + stage["height"]
            for b in boxes[:k]:
                assert b is not None
                apart = (
                    a["x"] + a["width"] <= b["x"]
                    or b["x"] + b["width"] <= a["x"]
                    or a["y"] + a["height"] <= b["y"]
                    or b["y"] + b["height"] <= a["y"]
                )
                assert apart, side


def test_the_ellipsoid_is_as_wide_and_high_as_the_sentence_says(dunlin: Shown) -> None:
    """Half axes as 1 / RG (Poinsot), their differences so many times as large as told."""
    dunlin.alone()
    dunlin.press("Right")
    dunlin.cut("none")
    drawn, bare = with_and_without(dunlin, "Inertia ellipsoid")
    dunlin.box("Inertia ellipsoid").check()
    words = dunlin.page.get_by_text("half axis of the ellipsoid").inner_text()
    times = float(words.split("drawn ")[1].split(" times")[0])
    rows, columns = (np.flatnonzero(changed(drawn, bare, 3).any(axis=k)) for k in (1, 0))
    high, wide = (float(np.ptp(one)) + 1.0 for one in (rows, columns))
    rg = dunlin.data["figures"]["rg_in"]
    due = 1.0 - times * (1.0 - rg["low"] / rg["high"])
    assert wide / high == pytest.approx(due, abs=0.012)
    assert 0.6 < due < 0.8  # so that it is seen
    middle_y = (rows[0] + rows[-1] + 1) / 2.0
    cg = np.array(dunlin.data["figures"]["centre_of_gravity_in"]) * 25.4
    assert middle_y == pytest.approx(dunlin.camera.seen(cg)[1], abs=1.5)


def test_the_sentence_of_the_ellipsoid_goes_with_it(dunlin: Shown) -> None:
    told = dunlin.page.get_by_text("half axis of the ellipsoid")
    assert not told.is_visible()
    dunlin.box("Inertia ellipsoid").check()
    assert told.is_visible()


def dots(shown: Shown) -> list[tuple[float, float]]:
    shown.frame()
    found: list[list[float]] = shown.page.evaluate(
        "[...document.querySelectorAll('#space circle.sp-mark')]"
        ".map((one) => [one.cx.baseVal.value, one.cy.baseVal.value])"
    )
    return sorted((x, y) for x, y in found)


def test_marks_stand_where_the_data_have_them(drilled: Shown) -> None:
    """Those on the side that is seen; the centre of gravity lies within and is hidden."""
    drilled.cut("none")
    figures = drilled.data["figures"]
    drilling = figures["drilling"]
    marks = {
        "pin": figures["undrilled"]["pin_in"],
        "mark": figures["undrilled"]["psa_in"],
        "grip centre": drilling["grip_centre_in"],
        "axis point": drilling["axis_point_in"],
        "CG mark": figures["cg_mark_in"],
    }
    for side in ("Slanting", "Front", "Left", "Back", "Above, at the pin"):
        drilled.press(side)
        camera = drilled.camera
        towards = {k: float(camera.toward @ np.array(v)) / 4.275 for k, v in marks.items()}
        due = sorted(
            camera.seen(np.array(at) * 25.4) for k, at in marks.items() if towards[k] > 0.08
        )
        found = dots(drilled)
        assert len(found) - len(due) in (0, sum(0 <= t <= 0.08 for t in towards.values())), side
        for place in due:
            away = min(np.hypot(place[0] - x, place[1] - y) for x, y in found)
            assert away < 0.6, side
        named = [one for one in drilled.labels if one in marks]
        assert named, side
        assert all(towards[one] > -0.05 for one in named), side


def test_marks_go_with_their_switch(dunlin: Shown) -> None:
    assert dots(dunlin)
    assert {"pin", "CG"} <= set(dunlin.labels)
    dunlin.box("Marks").uncheck()
    assert dots(dunlin) == []
    assert not {"pin", "CG", "CG mark"} & set(dunlin.labels)


def test_the_centre_of_gravity_is_marked_when_a_section_lays_it_open(dunlin: Shown) -> None:
    cg = np.array(dunlin.data["figures"]["centre_of_gravity_in"]) * 25.4
    assert "CG" in dunlin.labels  # the section lies through the axis, and so through it
    place = dunlin.camera.seen(cg)
    assert min(np.hypot(place[0] - x, place[1] - y) for x, y in dots(dunlin)) < 0.6
    dunlin.cut("none")
    assert "CG" not in dunlin.labels


def test_holes_are_named_and_their_axes_drawn(drilled: Shown) -> None:
    drilled.cut("none")
    holes = drilled.data["figures"]["drilling"]["holes"]
    assert len(holes) > 3
    named: set[str] = set()
    for side in ("Slanting", "Front", "Right", "Back", "Left"):
        drilled.press(side)
        drawn, bare = with_and_without(drilled, "Holes")
        camera = drilled.camera
        drilled.box("Holes").check()
        labels = drilled.labels
        shown = [one for one in holes if one["name"] in labels]
        for hole in shown:
            entry, way = np.array(hole["entry_in"]), np.array(hole["way"])
            line = [25.4 * (entry + s * way) for s in np.linspace(-0.5, 0.5, 15)]
            moved = changed(near(camera, line, drawn), near(camera, line, bare))
            assert moved.any(axis=(1, 2)).mean() > 0.4, (side, hole["name"])  # it is dashed
        named |= {one["name"] for one in shown}
    assert named == {one["name"] for one in holes}
    drilled.box("Holes").uncheck()
    assert not {one["name"] for one in holes} & set(drilled.labels)


def test_a_ball_without_holes_has_no_switch_for_them(dunlin: Shown) -> None:
    assert dunlin.box("Holes").count() == 0
