"""The surface laid flat: distances and directions from the middle are true, the fingers are up."""

from __future__ import annotations

import io
from collections import Counter
from functools import cache
from math import acos, pi

import numpy as np
import pytest
from matplotlib.figure import Figure
from PIL import Image

from pipeline.drilled import Drilled
from pipeline.errors import OutputError
from pipeline.polar_map import MAPS, Flat, about_axis_point, about_pin, draw_map, polar_map
from pipeline.surface_lines import marks
from shapes.moments import Array
from tests.pipeline.drilled_text import (
    GRIP,
    HOLE,
    MARKED,
    PLAIN,
    RADIUS,
    ROUND,
    UNEVEN,
    drilled,
    holes,
    swapped,
)

BALLS = {
    "right": (GRIP, ROUND),
    "left": (swapped(GRIP, ("hand: right", "hand: left")), ROUND),
    "marked": (MARKED, UNEVEN),
    "one hole": (holes(HOLE), ROUND),
    "no lines": (holes(HOLE), "shape: sphere, diameter: 4"),
}
GRIPPED = ["right", "left", "marked"]
IN = 25.4
G = np.random.default_rng(2)
POINTS = G.normal(size=(60, 3))
POINTS *= RADIUS / np.linalg.norm(POINTS, axis=1)[:, None]


@cache
def made(name: str) -> Drilled:
    return drilled(*BALLS[name])


def both(name: str) -> list[Flat]:
    return [about_axis_point(made(name)), about_pin(made(name))]


def texts(name: str, flat: Flat) -> list[str]:
    """Every name that is written on the map, those that share a place apart."""
    axes = Figure().add_subplot()
    draw_map(axes, made(name), flat)
    return [word for text in axes.texts for word in text.get_text().split(", ")]


def frame(name: str) -> Array:
    found = made(name).laid.frame
    assert found is not None
    return found


@pytest.mark.parametrize("name", GRIPPED)
def test_a_map_has_right_handed_axes(name: str) -> None:
    """Seen from outside: right x up is out of the ball."""
    for flat in both(name):
        axes = np.array([flat.right, flat.up, flat.middle])
        assert axes @ axes.T == pytest.approx(np.eye(3), abs=1e-12)
        assert np.linalg.det(axes) == pytest.approx(1.0)


@pytest.mark.parametrize("name", GRIPPED)
def test_distances_from_the_middle_are_arcs(name: str) -> None:
    for flat in both(name):
        found = np.hypot(*flat.place(POINTS, RADIUS).T)
        due = [RADIUS * acos(p @ flat.middle / RADIUS) / IN for p in POINTS]
        assert found == pytest.approx(due, abs=1e-6)


@pytest.mark.parametrize("name", GRIPPED)
def test_directions_from_the_middle_are_those_on_the_ball(name: str) -> None:
    """The angle to the way up, by the tangents' dot product, and the side that is to the right."""
    for flat in both(name):
        along = POINTS - np.outer(POINTS @ flat.middle, flat.middle)
        along /= np.linalg.norm(along, axis=1)[:, None]
        found = flat.place(POINTS, RADIUS)
        found /= np.hypot(*found.T)[:, None]
        assert found[:, 1] == pytest.approx(along @ flat.up, abs=1e-9)
        assert found[:, 0] == pytest.approx(along @ np.cross(flat.up, flat.middle), abs=1e-9)


@pytest.mark.parametrize("arc_in", [0.5, 3.0, 6.7])
def test_a_circle_round_the_middle_is_a_circle(arc_in: float) -> None:
    flat = about_pin(made("right"))
    t, a = np.linspace(0.0, 2.0 * pi, 50), arc_in * IN / RADIUS
    ring = np.outer(np.cos(t), flat.right) + np.outer(np.sin(t), flat.up)
    found = flat.place(RADIUS * (np.cos(a) * flat.middle + np.sin(a) * ring), RADIUS)
    assert np.hypot(*found.T) == pytest.approx(arc_in, abs=1e-9)


def test_the_middle_is_in_the_middle() -> None:
    flat = about_pin(made("right"))
    assert flat.place(RADIUS * flat.middle[None], RADIUS)[0].tolist() == [0.0, 0.0]


def test_points_need_not_lie_on_the_surface() -> None:
    flat = about_pin(made("right"))
    assert flat.place(0.3 * POINTS, RADIUS) == pytest.approx(flat.place(POINTS, RADIUS))


@pytest.mark.parametrize("name", GRIPPED)
def test_the_way_to_the_fingers_is_up(name: str) -> None:
    """The pole of the midline, towards the fingers, is straight above the middle."""
    for flat in both(name):
        x, y = flat.place(RADIUS * frame(name)[:, 2][None], RADIUS)[0]
        assert x == pytest.approx(0.0, abs=1e-9)
        assert y > 0.0


@pytest.mark.parametrize("name", GRIPPED)
def test_the_fingers_are_above_the_thumb(name: str) -> None:
    for flat in both(name):
        heights = {h.name: flat.place(h.entry_mm[None], RADIUS)[0][1] for h in made(name).holes}
        assert min(heights["middle"], heights["ring"]) > heights["thumb"] + 1.0


@pytest.mark.parametrize(("name", "side"), [("right", -1.0), ("left", 1.0)])
def test_seen_from_its_axis_point_a_right_hand_is_on_the_left(name: str, side: float) -> None:
    flat = about_axis_point(made(name))
    x, _ = flat.place(RADIUS * frame(name)[:, 0][None], RADIUS)[0]
    assert np.sign(x) == side


@pytest.mark.parametrize("name", ["right", "marked"])
@pytest.mark.parametrize("which", MAPS)
def test_every_mark_that_is_in_sight_is_named_once(name: str, which: str) -> None:
    """A name may hold a comma; the high-RG mark is a quarter from the pin, on that map's edge."""
    flat = MAPS[which](made(name))
    due = Counter(
        word
        for mark in marks(made(name))
        if mark.at_mm @ flat.middle > -1e-6
        for word in mark.name.split(", ")
    )
    names = {word for mark in marks(made(name)) for word in mark.name.split(", ")}
    found = Counter(word for word in texts(name, flat) if word in names)
    assert found == due


@pytest.mark.parametrize("which", MAPS)
def test_every_hole_that_is_in_sight_is_named_once(which: str) -> None:
    flat = MAPS[which](made("right"))
    near = {
        h.name for h in made("right").holes
        if acos(h.entry_mm @ flat.middle / RADIUS) * RADIUS < pi / 2.0 * RADIUS - 20.0
    }  # fmt: skip
    found = Counter(texts("right", flat))
    assert near
    assert {name: found[name] for name in near} == dict.fromkeys(near, 1)


def test_circles_are_an_inch_apart() -> None:
    found = texts("right", about_pin(made("right")))
    assert [word for word in found if word.endswith(" in")] == [f"{k} in" for k in range(1, 7)]


def test_without_an_axis_point_there_is_no_map_about_it() -> None:
    with pytest.raises(OutputError, match="Dunlin has no axis point"):
        polar_map(made("one hole"), "axis-map")


def test_without_a_grip_the_ball_s_own_axis_is_up() -> None:
    """The pin is at +Z itself, so that up is another axis, and always the same."""
    flat = about_pin(made("one hole"))
    assert np.abs(flat.up).max() == pytest.approx(1.0)


def test_a_map_is_a_picture() -> None:
    image = Image.open(io.BytesIO(polar_map(made("right"), "axis-map")))
    assert image.format == "PNG"
    assert np.asarray(image.convert("L")).std() > 4.0


def test_a_uniform_grip_has_a_map_as_well() -> None:
    flat = about_axis_point(drilled(GRIP, PLAIN))
    assert flat.place(RADIUS * flat.middle[None], RADIUS)[0].tolist() == [0.0, 0.0]


def test_a_ball_without_any_line_is_mapped_without_a_word(
    capfd: pytest.CaptureFixture[str],
) -> None:
    """No legend, and no warning about one."""
    assert polar_map(made("no lines"), "pin-map").startswith(b"\x89PNG")
    assert capfd.readouterr().err == ""
