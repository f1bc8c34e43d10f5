"""Points that are picked: part, place, angles and RG, worked out anew.

From the tensor of the data, and from the exact spheres and planes that a pixel's ray meets.
"""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pytest

from shapes.moments import Array
from tests.browser.conftest import Opener
from tests.browser.shown import Shown

IN = 25.4
COVER_MM, OUTER_MM = 8.55 * IN / 2.0, 7.05 * IN / 2.0


@pytest.fixture(params=["dunlin", "turnstone-drilled"])
def reader(request: pytest.FixtureRequest, opened: Opener) -> Shown:
    shown = opened(request.param)
    shown.box("Read a point").check()
    return shown


def rg_in(shown: Shown, point_mm: Any) -> float:
    """About the line through the centre of gravity and a point, from the figures of the data.

    By the cross product with the line: the sum of m r^2 with r the distance from it, which of a
    tensor with the second moments J = tr(I)/2 - I is u' (tr(J) - J) u.
    """
    figures = shown.data["figures"]
    inertia = np.array(figures["inertia_lb_in2"])
    second = np.trace(inertia) / 2.0 * np.eye(3) - inertia
    arm = np.asarray(point_mm) / IN - np.array(figures["centre_of_gravity_in"])
    line = arm / np.linalg.norm(arm)
    about = np.trace(second) - line @ second @ line
    return float(np.sqrt(about / figures["mass_lb"]))


def check_point(
    shown: Shown, read: dict[str, Any], due_mm: Array, part: str, within: float
) -> None:
    """A reading against the exact point behind the pixel that was clicked."""
    assert read["mode"] == "read"
    assert read["part"] == part
    at = np.array(read["at_mm"])
    assert float(np.linalg.norm(at - due_mm)) < within
    assert read["radius_mm"] == pytest.approx(float(np.linalg.norm(at)), abs=1e-9)
    assert read["rg_in"] == pytest.approx(rg_in(shown, at), abs=2e-6)
    azimuth = np.degrees(np.arctan2(at[1], at[0]))
    assert read["azimuth_deg"] == pytest.approx(azimuth, abs=1e-9)
    from_z = np.degrees(np.arctan2(np.hypot(at[0], at[1]), at[2]))
    assert read["from_z_deg"] == pytest.approx(from_z, abs=1e-6)


def spots(shown: Shown) -> list[tuple[float, float]]:
    """Pixels spread over the ball's disc, not too near to its edge."""
    camera = shown.camera
    reach = COVER_MM / camera.mm_per_px
    middle = camera.size_px / 2.0
    return [
        (round(middle[0] + reach * u) + 0.0, round(middle[1] + reach * v) + 0.0)
        for u, v in ((0.02, 0.03), (0.5, 0.31), (-0.42, 0.55), (-0.61, -0.4), (0.1, -0.8))
    ]


def where(shown: Shown, x: float, y: float) -> tuple[float, float]:
    """A click lands on whole pixels of the page, beside which the canvas may stand."""
    box = shown.canvas.bounding_box()
    assert box is not None
    return np.round(box["x"] + x) - box["x"], np.round(box["y"] + y) - box["y"]


def is_hole(shown: Shown, at: Array) -> bool:
    """Whether a point of the surface lies at a hole's mouth, or nearly."""
    return any(
        np.linalg.norm(np.cross(at - np.array(hole["entry_mm"]), hole["way"]))
        < 0.5 * hole["diameter_mm"] + 4.0
        for hole in shown.scene["holes"]
    )


def test_points_of_the_surface_are_read_as_they_lie_on_the_sphere(reader: Shown) -> None:
    reader.cut("none")
    count = 0
    for side in ("Slanting", "Back"):
        reader.press(side)
        for x, y in spots(reader):
            due = reader.camera.on_sphere(*where(reader, x, y), COVER_MM)
            if is_hole(reader, due):
                continue
            read = reader.click(x, y)
            check_point(reader, read, due, "cover", 0.6)
            assert (read["outer"], read["face"]) == (True, False)
            assert read["radius_mm"] == pytest.approx(COVER_MM, abs=1e-9)
            count += 1
    assert count >= 6


def test_points_of_a_section_face_are_read_as_they_lie_in_the_plane(opened: Opener) -> None:
    """Dunlin's core, outer core and cover in turn."""
    shown = opened("dunlin")
    shown.box("Read a point").check()
    shown.press("Slanting")
    shown.cut("square to Y", 0.35)
    camera = shown.camera
    for part, (x_mm, z_mm) in {
        "inner core": (12.0, -21.0),
        "outer core": (-70.0, 33.0),
        "cover": (34.0, 93.0),
    }.items():
        x, y = (round(n) + 0.0 for n in camera.seen([x_mm, 0.35 * IN, z_mm]))
        read = shown.click(x, y)
        due = camera.on_plane(*where(shown, x, y), [0, 1, 0], 0.35 * IN)
        check_point(shown, read, due, part, 0.02)
        assert (read["outer"], read["face"]) == (False, True)
        assert read["at_mm"][1] == pytest.approx(0.35 * IN, abs=1e-6)
        assert f"{part}, section face" in shown.reading


def test_a_part_within_is_read_when_the_others_are_hidden(opened: Opener) -> None:
    shown = opened("dunlin")
    shown.box("Read a point").check()
    shown.cut("none")
    shown.box("cover").uncheck()
    for x, y in spots(shown)[:3]:
        due = shown.camera.on_sphere(*where(shown, x, y), OUTER_MM)
        check_point(shown, shown.click(x, y), due, "outer core", 0.6)


def test_a_click_into_a_hole_reads_its_wall_or_floor(opened: Opener) -> None:
    shown = opened("turnstone-drilled")
    shown.box("Read a point").check()
    shown.cut("none")
    seen = 0
    for side in ("Slanting", "Front", "Left", "Right", "Back"):
        shown.press(side)
        for hole in shown.scene["holes"]:
            entry = np.array(hole["entry_mm"])
            if float(shown.camera.toward @ entry) < 0.8 * COVER_MM or hole["diameter_mm"] < 10:
                continue
            read = shown.click(*shown.camera.seen(entry))
            assert read["outer"] is False
            assert read["radius_mm"] < COVER_MM - 2.0
            seen += 1
    assert seen


def test_the_words_are_the_figures_that_were_read(reader: Shown) -> None:
    reader.cut("none")
    read = reader.click(*spots(reader)[3])
    told = dict(
        zip(
            reader.page.locator(".sp-told > span").all_inner_texts(),
            reader.page.locator(".sp-told > b").all_inner_texts(),
            strict=True,
        )
    )
    told = {key.strip(): value.replace("\u2212", "-") for key, value in told.items()}
    assert told["Part"] == "cover, the ball's surface"
    radius = read["radius_mm"]
    assert told["From centre"] == f"{radius / IN:.2f} in ({radius:.1f} mm)"
    assert told["RG"] == f"{rg_in(reader, read['at_mm']):.4f} in"
    assert told["Azimuth"] == f"{read['azimuth_deg']:.1f}\u00b0"
    assert told["From +Z"] == f"{read['from_z_deg']:.1f}\u00b0"


def test_a_click_beside_the_ball_reads_nothing_and_says_so(reader: Shown) -> None:
    reader.click(*spots(reader)[0])
    assert reader.click(8, 8) is None
    assert "No part is there" in reader.reading


def test_where_a_click_turns_it_reads_nothing(opened: Opener) -> None:
    shown = opened("dunlin")
    assert shown.click(*spots(shown)[0]) is None
    assert "Dragging turns the ball" in shown.reading


def test_a_drag_still_turns_and_reads_nothing(reader: Shown) -> None:
    reader.drag(40, 10)
    assert reader.told("reading") is None
    assert reader.told("view")["azimuth_deg"] != -58


def test_at_the_pole_the_azimuth_is_undefined(opened: Opener) -> None:
    shown = opened("dunlin")
    shown.box("Read a point").check()
    shown.cut("square to the low axis", 0.0)
    shown.press("Above, at the pin")
    shown.page.evaluate("([x, y]) => corewrightSpace.pick(x, y)", list(shown.camera.size_px / 2.0))
    assert re.search(r"Azimuth\s*undefined", shown.reading)
